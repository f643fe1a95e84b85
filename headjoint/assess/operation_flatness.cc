#include "headjoint/assess/face_reading.h"
#include "headjoint/assess/operation_table.h"
#include "headjoint/assess/option_reader.h"
#include "headjoint/assess/results_document.h"

namespace headjoint::assess {
namespace {

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

}  // namespace

Operation flatness_operation() {
  return {
      .name = "flatness",
      .summary = "flatness of measured points by least squares and by the exact minimum zone",
      .argument = "FILE",
      .input = InputKind::kText,
      .options = {{"limit", "LENGTH", "largest flatness deviation allowed: \"0.05 mm\""},
                  {"uncertainty", "LENGTH", "expanded uncertainty of the measurement (k = 2): \"0.01 mm\""}},
      .keys = "points, least_squares{FLTt_mm, FLTp_mm, FLTv_mm, FLTq_mm}, minimum_zone{FLTt_mm, contact, contact_points}",
      .run = run_flatness,
  };
}

}  // namespace headjoint::assess
