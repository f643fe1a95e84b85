#include "headjoint/assess/after_skim.h"
#include "headjoint/assess/operation_table.h"
#include "headjoint/assess/results_document.h"
#include "headjoint/assess/results_document_machining.h"
#include "headjoint/machining/shim_file.h"

namespace headjoint::assess {
namespace {

Result<Reply> run_shims(const Request& request) {
  if (const Document* engine = request.input.find("engine"); engine != nullptr && engine->is_table())
    return Problem{engine->place(), "this is an engine or a job, no shim file", "a file with valve, drawer and limits",
                   "`headjoint new shims NAME` writes a start; its `engine` may name this file"};
  const auto task = machining::read_shims(request.input, request.read_beside);
  if (!task) return task.problems();
  ShimAnswer plan = judge_shims(*task);
  Reply reply;
  reply.document = answer();
  merge_members(reply.document, to_document(plan));
  reply.answer_is_no = plan.outside > 0;
  reply.warnings = task.problems();
  reply.content = std::move(plan);
  return reply;
}

}  // namespace

Operation shims_operation() {
  return {
      .name = "shims",
      .summary = "which shim goes where: fewest to buy, every lash inside its limits, nearest to target",
      .argument = "FILE",
      .input = InputKind::kDocument,
      .keys = "valves[]{valve, fit_mm, lash_after_mm, from}, buy[]{size_mm, count}, left_over[], outside, moved, proven",
      .run = run_shims,
  };
}

}  // namespace headjoint::assess
