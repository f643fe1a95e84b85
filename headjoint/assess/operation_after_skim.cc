#include <tuple>

#include "headjoint/assess/after_skim.h"
#include "headjoint/assess/engine_input.h"
#include "headjoint/assess/operation_table.h"
#include "headjoint/assess/option_reader.h"
#include "headjoint/assess/results_document.h"
#include "headjoint/assess/results_document_machining.h"
#include "headjoint/base/text.h"

namespace headjoint::assess {
namespace {

/// "0.42,0.44,0.40 mm" or "0.42 mm;0.44 mm": a bare number takes the last unit written.
std::vector<Length> protrusions_of(const std::string& list, OptionReader& options) {
  std::vector<Length> protrusions;
  if (list.empty()) return protrusions;
  const char separator = list.find(';') == std::string::npos ? ',' : ';';
  const std::vector<std::string_view> parts = split(list, separator);
  const std::string unit = split_number_and_unit(parts.back()).unit;
  for (const std::string_view part : parts) {
    const bool is_bare = split_number_and_unit(part).unit.empty();
    const auto length = parse<Length>(is_bare ? std::string(part) + " " + unit : std::string(part));
    if (length && length->si() >= -5e-3 && length->si() <= 5e-3)
      protrusions.push_back(*length);
    else
      options.refuse("--protrusions", "is \"" + std::string(trimmed(part)) + "\"",
                     "one length for each piston, \"0.42,0.44,0.40 mm\", -5 mm to 5 mm");
  }
  return protrusions;
}

/// The cut of the options; of the job where it has one and no option says otherwise.
std::optional<machining::Cut> cut_asked(const EngineInput& input, OptionReader& options, const std::string& protrusions) {
  const auto head = options.quantity<Length>("head"), deck = options.quantity<Length>("deck"), gasket = options.quantity<Length>("gasket");
  const auto scatter = options.quantity<Length>("scatter");
  for (const auto& [name, length, least, most, allowed] :
       {std::tuple{"--head", head, 0.0, 10.0, "0 mm to 10 mm"}, std::tuple{"--deck", deck, 0.0, 10.0, "0 mm to 10 mm"},
        std::tuple{"--gasket", gasket, 0.05, 10.0, "0.05 mm to 10 mm, clamped"},
        std::tuple{"--scatter", scatter, 0.0, 1.0, "0 mm to 1 mm"}})
    if (length && !(length->value.si() * 1e3 >= least && length->value.si() * 1e3 <= most))
      options.refuse(name, "is \"" + length->text + "\"", allowed);
  std::optional<machining::Cut> ordered = input.job ? ordered_cut(*input.job) : std::nullopt;
  machining::Cut cut = ordered.value_or(machining::Cut{});
  if (head) cut.head = head->value;
  if (deck) cut.deck = deck->value;
  if (gasket) cut.gasket_thickness = gasket->value;
  if (scatter) cut.scatter = scatter->value;
  cut.protrusions = protrusions_of(protrusions, options);
  if (!ordered && !head && !deck && !gasket && !has_errors(options.problems()))
    options.refuse("--head", "nothing is to be cut", "--head \"0.30 mm\", --deck \"0.10 mm\" or --gasket \"1.40 mm\"");
  return cut;
}

Result<Reply> run_after_skim(const Request& request) {
  const auto input = engine_input(request);
  if (!input) return input.problems();
  OptionReader options(request);
  const auto cut = cut_asked(*input, options, request.option("protrusions"));
  if (has_errors(options.problems())) return options.problems();
  const auto judged = judge_cut(input->engine, *cut);
  if (!judged) return judged.problems();
  Reply reply;
  reply.document = answer();
  merge_members(reply.document, to_document(*judged));
  reply.answer_is_no = judged->is_out_of_limit;
  reply.warnings = input->warnings;
  reply.content = *judged;
  return reply;
}

}  // namespace

Operation after_skim_operation() {
  return {
      .name = "after-skim",
      .summary = "what a cut of head or deck, or another gasket, changes: before, after, limit, what would restore it",
      .argument = "ENGINE",
      .input = InputKind::kDocument,
      .options = {{"head", "LENGTH", "taken off the head's face: \"0.30 mm\"; a job's own cut when not given"},
                  {"deck", "LENGTH", "taken off the block's deck"},
                  {"gasket", "LENGTH", "thickness of the gasket to be fitted, clamped; the engine's own when not given"},
                  {"protrusions", "LIST", "pistons above the deck before the cut, one each: \"0.42,0.44,0.40 mm\""},
                  {"scatter", "LENGTH", "how much the machine may miss the depth; 0.02 mm when not given"}},
      .keys =
          "compression_ratio{before, after}, squish_mm{before, after}, valve_gap_mm{intake, exhaust}{before, after, at_deg}, "
          "cam_timing_deg{cam, crank}, lash_change_mm, lines[]{line, unit, before, after, band, least, most, limit_source, verdict, "
          "gasket_to_restore_mm, remedies[], missing[], assumed[]}, warnings[]",
      .run = run_after_skim,
  };
}

}  // namespace headjoint::assess
