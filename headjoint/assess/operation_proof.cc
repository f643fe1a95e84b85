#include "headjoint/assess/operation_table.h"
#include "headjoint/assess/proof.h"
#include "headjoint/assess/results_document.h"
#include "headjoint/assess/results_document_repair.h"
#include "headjoint/jobs/job_file.h"

namespace headjoint::assess {
namespace {

Result<Reply> run_proof(const Request& request) {
  const auto job = jobs::read_job(request.input, request.read_beside);
  if (!job) return job.problems();
  const auto all = assess(*job, job.problems());
  if (!all) return all.problems();
  auto proof = proof_of(*all);
  if (!proof) return proof.problems();
  Reply reply;
  reply.document = answer();
  merge_members(reply.document, to_document(*proof));
  reply.answer_is_no = proof->says_no();
  reply.warnings = all->warnings;
  reply.content = std::move(proof).value();
  return reply;
}

}  // namespace

Operation proof_operation() {
  return {
      .name = "proof",
      .summary = "what the engine should read after the repair, what it read, and the chance that a fault remains",
      .argument = "JOB",
      .input = InputKind::kDocument,
      .keys =
          "sentence, checks[]{check, expected, accept_low, accept_high, unit, reading, value, verdict, why}, fault_remains, low, high, "
          "remaining[]{fault, where, before, factor, chance, why}, left_undone[], still_to_take[], warm_up, missing[], notes[]",
      .run = run_proof,
  };
}

}  // namespace headjoint::assess
