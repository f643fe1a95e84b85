#include "headjoint/assess/engine_input.h"
#include "headjoint/assess/face_reading.h"
#include "headjoint/assess/operation_table.h"
#include "headjoint/assess/option_reader.h"
#include "headjoint/assess/results_document.h"
#include "headjoint/faces/straightedge.h"

namespace headjoint::assess {
namespace {

/// Limits, outline and plan of the engine whose head was measured; what the options say comes first.
void take_engine(const Request& request, OptionReader& options, FaceQuestion& question, joint::Engine& engine) {
  if (!request.files.contains("engine")) return;
  auto read = engine_input(request, "engine");
  options.add(read.problems());
  if (!read) return;
  engine = std::move(read).value().engine;
  if (!engine.head) return;
  const joint::Head& head = *engine.head;
  const auto take = [](std::optional<Length>& into, std::string& source, const joint::OptionalFigure<Length>& figure) {
    if (into || !figure) return;
    into = figure->value;
    source = figure->source.empty() ? "the engine's record" : figure->source;
  };
  take(question.limit, question.limit_source, head.flatness_limit);
  take(question.local_limit, question.local_limit_source, head.local_flatness_limit);
  std::string ignored;
  take(question.window, ignored, head.local_window);
  question.outline = head.outline;
}

Result<Reply> run_flatness(const Request& request) {
  OptionReader options(request);
  FaceQuestion question;
  question.source = request.source;
  question.part.clear();  // a table of points does not say which face it is
  question.limit = options.positive<Length>("limit");
  question.limit_source = "given with --limit";
  question.uncertainty = options.positive<Length>("uncertainty");
  question.local_limit = options.positive<Length>("local-limit");
  question.local_limit_source = "given with --local-limit";
  question.window = options.positive<Length>("window");
  joint::Engine engine;
  take_engine(request, options, question, engine);
  if (question.local_limit && !question.window) options.refuse("--window", "a local limit needs its window", "--window \"150 mm\"");
  if (!request.input.is_text()) options.refuse("", "the points are missing", "a CSV table as text");
  if (has_errors(options.problems())) return options.problems();
  question.table = request.input.text();
  if (faces::looks_like_lines(question.table))
    return Problem{
        {request.source, 0, 0, {}}, "this is a table of lines, not of points", {}, "run headjoint straightedge " + request.source};
  const auto flatness = judge_face(question);
  if (!flatness) return flatness.problems();
  Reply reply;
  reply.document = answer();
  merge_members(reply.document, to_document(*flatness));
  reply.answer_is_no = flatness->decision == "fail" || flatness->local.decision == "fail";
  reply.warnings = flatness.problems();
  reply.content = FlatnessReply{*flatness, std::move(engine)};
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
                  {"uncertainty", "LENGTH", "expanded uncertainty of the measurement (k = 2): \"0.01 mm\""},
                  {"local-limit", "LENGTH", "largest flatness deviation allowed within the window: \"0.02 mm\""},
                  {"window", "LENGTH", "side of a square that may lie anywhere on the face: \"150 mm\""},
                  {"engine", "ENGINE", "engine or job file whose head this is: limits, outline and plan; or as the second file",
                   OptionKind::kFile}},
      .keys =
          "points, least_squares{FLTt_mm, FLTp_mm, FLTv_mm, FLTq_mm}, minimum_zone{FLTt_mm, contact, contact_points}, local{}, outliers[], "
          "without_each_contact[], sections[], decision, to_settle",
      .run = run_flatness,
      .second_argument = "engine",
  };
}

}  // namespace headjoint::assess
