#include <cmath>

#include "headjoint/assess/after_skim.h"
#include "headjoint/assess/engine_input.h"
#include "headjoint/assess/operation_table.h"
#include "headjoint/assess/option_reader.h"
#include "headjoint/assess/results_document.h"
#include "headjoint/assess/results_document_faces.h"
#include "headjoint/assess/results_document_machining.h"
#include "headjoint/assess/skim.h"
#include "headjoint/base/text.h"
#include "headjoint/faces/straightedge.h"

namespace headjoint::assess {
namespace {

constexpr double kHardest_HB = 1000;

/// A length of 0 or more.
Length not_negative(OptionReader& options, const std::string& name, Length otherwise) {
  const auto typed = options.quantity<Length>(name);
  if (!typed) return otherwise;
  if (typed->value.si() >= 0) return typed->value;
  options.refuse("--" + name, "cannot be negative, got " + typed->text, "0 or more");
  return otherwise;
}

/// One of two words. @returns the index, 0 when it was not given
std::optional<bool> second_word(const Request& request, OptionReader& options, const std::string& name, std::string_view first,
                                std::string_view second) {
  const std::string word = lower_case(request.option(name));
  if (word.empty()) return std::nullopt;
  if (word == first) return false;
  if (word == second) return true;
  options.refuse("--" + name, "\"" + word + "\" is not known", std::string(first) + " or " + std::string(second));
  return std::nullopt;
}

std::vector<double> hardness(const Request& request, OptionReader& options) {
  std::vector<double> values;
  const std::string text = request.option("hardness");
  if (text.empty()) return values;
  for (const std::string_view part : split(text, text.find(';') == std::string::npos ? ',' : ';')) {
    const auto value = parse_number(part);
    if (value && *value > 0 && *value <= kHardest_HB)
      values.push_back(*value);
    else
      options.refuse("--hardness", "\"" + std::string(trimmed(part)) + "\" is no Brinell hardness", "numbers such as 80,78,82");
  }
  return values;
}

faces::CheckRecord check_record(const Request& request, OptionReader& options) {
  faces::CheckRecord record;
  record.hardness_HB = hardness(request, options);
  record.cracks_found = second_word(request, options, "cracks", "none", "found");
  record.cam_line_bow = options.quantity<Length>("cam-line") ? std::optional(not_negative(options, "cam-line", {})) : std::nullopt;
  record.valve_recession = options.positive<Length>("recession");
  record.roughness = options.positive<Length>("roughness");
  record.parallelism = options.quantity<Length>("parallelism") ? std::optional(not_negative(options, "parallelism", {})) : std::nullopt;
  return record;
}

SkimQuestion question_of(const Request& request, OptionReader& options) {
  SkimQuestion question;
  question.source = request.source;
  question.part =
      second_word(request, options, "part", "head", "block").value_or(false) ? faces::MachinedPart::kBlock : faces::MachinedPart::kHead;
  question.is_into_metal = second_word(request, options, "heights", "out", "into").value_or(false);
  question.allowance = not_negative(options, "allowance", {});
  question.finish = not_negative(options, "finish", faces::kUsualFinish_mm * unit_of<Length>("mm"));
  question.depth = options.positive<Length>("depth");
  question.uncertainty = options.positive<Length>("uncertainty");
  question.height = options.positive<Length>("height");
  question.removed_before = options.quantity<Length>("removed") ? std::optional(not_negative(options, "removed", {})) : std::nullopt;
  question.record = check_record(request, options);
  if (const auto datum = request.files.find("datum"); datum != request.files.end()) {
    question.datum_table = datum->second.text;
    question.datum_source = datum->second.source;
  }
  if (!request.input.is_text())
    options.refuse("", "the points are missing", "a CSV table as text");
  else
    question.table = request.input.text();
  return question;
}

/// What the ordered cut changes in the engine: compression, valves, timing.
std::optional<AfterSkim> consequences(const joint::Engine& engine, const SkimQuestion& question, const Skim& skim) {
  machining::Cut cut;
  (question.part == faces::MachinedPart::kHead ? cut.head : cut.deck) = skim.total_mm * unit_of<Length>("mm");
  const auto judged = judge_cut(engine, cut);
  return judged ? std::optional(*judged) : std::nullopt;
}

Result<Reply> run_skim(const Request& request) {
  OptionReader options(request);
  const SkimQuestion question = question_of(request, options);
  if (faces::looks_like_lines(question.table))
    options.refuse("", "this is a table of lines: a cut needs the heights of points over the whole face",
                   "a table of points, x_mm,y_mm,z_mm");
  const auto engine = engine_input(request, "engine");
  if (!engine) options.add(engine.problems());
  if (has_errors(options.problems())) return options.problems();
  auto judged = judge_skim(question, engine->engine);
  if (!judged) return judged.problems();
  const Problems warnings = judged.problems();
  Skim skim = std::move(judged).value();
  skim.after = consequences(engine->engine, question, skim);
  Reply reply;
  reply.document = answer();
  merge_members(reply.document, to_document(skim));
  reply.document.set("after", skim.after ? to_document(*skim.after) : Document());
  reply.answer_is_no = skim.decision == "fail";
  reply.warnings = warnings;
  reply.warnings.insert(reply.warnings.end(), engine->warnings.begin(), engine->warnings.end());
  reply.content = std::move(skim);
  return reply;
}

}  // namespace

Operation skim_operation() {
  return {
      .name = "skim",
      .summary = "the least cut that cleans a measured face, whether the part has the metal for it, and what to check first",
      .argument = "FILE",
      .input = InputKind::kText,
      .options = {{"engine", "ENGINE", "engine or job file: heights, limits, metal, gasket; or as the second file", OptionKind::kFile},
                  {"part", "WORD", "head (as if not given) or block"},
                  {"datum", "FILE", "points of a face or a cam line that the cut is held parallel to, measured in the same set-up",
                   OptionKind::kFile},
                  {"allowance", "LENGTH", "most that the cut may be out of parallel with it, end to end: \"0.05 mm\""},
                  {"heights", "WORD", "out: z points out of the metal (as if not given); into: into it"},
                  {"finish", "LENGTH", "last light pass, 0.02 mm when not given"},
                  {"depth", "LENGTH", "a depth to ask about: what would it leave uncut?"},
                  {"height", "LENGTH", "height of the part now, measured"},
                  {"removed", "LENGTH", "what earlier cuts removed, from the stamp"},
                  {"uncertainty", "LENGTH", "expanded uncertainty of the measured heights (k = 2)"},
                  {"hardness", "LIST", "Brinell hardness at spots on the face: 80,78,82"},
                  {"cracks", "WORD", "none or found"},
                  {"cam-line", "LENGTH", "greatest error between cam bores: \"0.02 mm\""},
                  {"recession", "LENGTH", "of the valves below the face"},
                  {"roughness", "LENGTH", "Ra of the finished face: \"1.2 um\""},
                  {"parallelism", "LENGTH", "of the finished face with the datum, end to end"}},
      .keys = "least_cut_mm, cut_parallel_mm, height_left_mm, decision, after, total_cut_mm, passes, cut_needed, islands[], checks[]",
      .run = run_skim,
      .second_argument = "engine",
  };
}

}  // namespace headjoint::assess
