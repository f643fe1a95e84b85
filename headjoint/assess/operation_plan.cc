#include "headjoint/assess/operation_table.h"
#include "headjoint/assess/repair_plan.h"
#include "headjoint/assess/results_document.h"
#include "headjoint/assess/results_document_repair.h"
#include "headjoint/jobs/job_file.h"

namespace headjoint::assess {
namespace {

Result<Reply> run_plan(const Request& request) {
  const auto job = jobs::read_job(request.input, request.read_beside);
  if (!job) return job.problems();
  const auto all = assess(*job, job.problems());
  if (!all) return all.problems();
  RepairPlan plan = plan_of_repair(*all);
  Reply reply;
  reply.document = answer();
  merge_members(reply.document, to_document(plan));
  reply.warnings = all->warnings;
  reply.content = std::move(plan);
  return reply;
}

}  // namespace

Operation plan_operation() {
  return {
      .name = "plan",
      .summary = "the repair in the order of work: causes to cure, parts, bolts, cautions before their steps, filling, first heat, proof",
      .argument = "JOB",
      .input = InputKind::kDocument,
      .keys =
          "sentence, bolts, bolts_why, measured_bolts[]{number, length_mm, stretch_low_mm, stretch_high_mm, verdict}, sections[]{name, "
          "title, steps[]{text, why, source, cautions[]}}, missing[]",
      .run = run_plan,
  };
}

}  // namespace headjoint::assess
