#include "headjoint/assess/repair_reply.h"

#include "headjoint/assess/proof.h"
#include "headjoint/assess/repair_plan.h"
#include "headjoint/jobs/job_file.h"
#include "headjoint/traces/digest.h"

namespace headjoint::assess {

std::string hash_of(const jobs::Job& job) {
  traces::Digest digest;
  digest.add(write_json(jobs::write_job(job), -1));
  return digest.hex();
}

Result<Assessment> with_repair(Assessment all) {
  all.plan = plan_of_repair(all);
  all.job_hash = hash_of(all.job);
  const bool is_opened = all.job.head_off || all.after_skim;
  if (is_opened || all.job.repair || !all.job.proof_readings.empty() || !all.job.proof_signs.empty()) {
    const auto proof = proof_of(all);
    if (!proof) return proof.problems();
    all.proof = *proof;
  }
  return all;
}

}  // namespace headjoint::assess
