#include "headjoint/assess/engine_input.h"
#include "headjoint/assess/operation_table.h"
#include "headjoint/assess/option_reader.h"
#include "headjoint/assess/results_document.h"
#include "headjoint/assess/results_document_faces.h"
#include "headjoint/assess/straightedge_reading.h"
#include "headjoint/faces/face_points.h"
#include "headjoint/faces/straightedge.h"

namespace headjoint::assess {
namespace {

Result<Reply> run_straightedge(const Request& request) {
  OptionReader options(request);
  LinesQuestion question;
  question.source = request.source;
  question.limit = options.positive<Length>("limit");
  question.limit_source = "given with --limit";
  question.local_limit = options.positive<Length>("local-limit");
  question.window = options.positive<Length>("window");
  question.uncertainty = options.positive<Length>("uncertainty");
  if (question.local_limit && !question.window) options.refuse("--window", "a local limit needs its length", "--window \"100 mm\"");
  if (!request.input.is_text()) options.refuse("", "the lines are missing", "a CSV table as text");
  if (has_errors(options.problems())) return options.problems();
  question.table = request.input.text();
  if (!faces::looks_like_lines(question.table) && question.table.find("z") != std::string_view::npos &&
      faces::read_face_points(question.table, request.source))
    return Problem{{request.source, 0, 0, {}}, "this is a table of points, not of lines", {}, "run headjoint flatness " + request.source};
  const auto found = judge_lines(question);
  if (!found) return found.problems();
  Reply reply;
  reply.document = answer();
  merge_members(reply.document, to_document(*found));
  reply.answer_is_no = found->decision == "fail" || found->lines_decision == "fail";
  reply.warnings = found.problems();
  reply.content = *found;
  return reply;
}

}  // namespace

Operation straightedge_operation() {
  return {
      .name = "straightedge",
      .summary = "lines under a straightedge: how straight each is, how flat the face can be, and what they cannot have seen",
      .argument = "FILE",
      .input = InputKind::kText,
      .options = {{"limit", "LENGTH", "largest flatness deviation allowed: \"0.05 mm\""},
                  {"local-limit", "LENGTH", "most that any stretch as long as the window may be out of straight: \"0.02 mm\""},
                  {"window", "LENGTH", "length of that stretch: \"100 mm\""},
                  {"uncertainty", "LENGTH", "expanded uncertainty of blade, edge and dirt, without the steps of the blades (k = 2)"}},
      .keys =
          "lines[]{line, length_mm, straightness_low_mm, straightness_high_mm, bend, decision}, flatness_low_mm, flatness_high_mm, "
          "not_seen[], closure{}, decision, lines_decision, to_settle[]",
      .run = run_straightedge,
  };
}

}  // namespace headjoint::assess
