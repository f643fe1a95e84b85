#include "headjoint/assess/completeness.h"
#include "headjoint/assess/engine_input.h"
#include "headjoint/assess/operation_table.h"
#include "headjoint/assess/results_document.h"
#include "headjoint/assess/results_document_photo.h"

namespace headjoint::assess {
namespace {

Result<Reply> run_completeness(const Request& request) {
  const auto input = engine_input(request);
  if (!input) return input.problems();
  Completeness content = completeness_of(input->engine);
  Reply reply;
  reply.document = answer();
  merge_members(reply.document, to_document(content));
  reply.warnings = input->warnings;
  reply.content = std::move(content);
  return reply;
}

}  // namespace

Operation completeness_operation() {
  return {
      .name = "completeness",
      .summary = "which calculations an engine file is complete enough for, and what each still needs",
      .argument = "ENGINE",
      .input = InputKind::kDocument,
      .keys = "sentence, calculations[]{calculation, what, can_run, missing[]{key, example}, better_with[]{key, example}}",
      .run = run_completeness,
  };
}

}  // namespace headjoint::assess
