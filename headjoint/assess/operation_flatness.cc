#include "headjoint/assess/face_reading.h"
#include "headjoint/assess/operation_table.h"
#include "headjoint/assess/option_reader.h"
#include "headjoint/assess/results_document.h"

namespace headjoint::assess {

Result<Reply> run_flatness(const Request& request) {
  OptionReader options(request);
  FaceQuestion question;
  question.source = request.source;
  question.part.clear();  // a table of points does not say which face it is
  question.limit = options.positive<Length>("limit");
  question.limit_source = "given with --limit";
  question.uncertainty = options.positive<Length>("uncertainty");
  if (!request.input.is_text()) options.refuse("", "the points are missing", "a CSV table as text");
  if (has_errors(options.problems())) return options.problems();
  question.table = request.input.text();
  const auto flatness = judge_face(question);
  if (!flatness) return flatness.problems();
  Reply reply;
  reply.document = answer();
  merge_members(reply.document, to_document(*flatness));
  reply.answer_is_no = flatness->decision == "fail";
  reply.warnings = flatness.problems();
  reply.content = *flatness;
  return reply;
}

}  // namespace headjoint::assess
