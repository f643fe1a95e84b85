#include <fmt/format.h>

#include "headjoint/assess/clamp_input.h"
#include "headjoint/assess/operation_table.h"
#include "headjoint/assess/results_document.h"
#include "headjoint/assess/results_document_clamp.h"
#include "headjoint/base/text.h"

namespace headjoint::assess {
namespace {

/// Does it seal? In one sentence, with the place.
std::string sentence_of(const ClampedState& state) {
  if (!state.stands()) return state.status_text;
  std::vector<int> rings, passages;
  for (const RingLoad& ring : state.rings)
    if (ring.margin && *ring.margin < 1) rings.push_back(ring.bore);
  for (const PassagePressure& passage : state.passages)
    if (passage.margin && *passage.margin < 1) passages.push_back(passage.number);
  const RingLoad* weakest = state.weakest_ring();
  if (!rings.empty())
    return fmt::format("Under these loads the {} less than needed: {} N/mm at the weakest place, {} times the need.",
                       rings.size() == 1 ? fmt::format("fire ring of bore {} gets", rings[0])
                                         : fmt::format("fire rings of bores {} get", numbers_text(rings)),
                       number_text(weakest->least_N_per_mm, 3), number_text(*weakest->margin, 2));
  if (!passages.empty())
    return fmt::format("The fire rings hold, but the gasket round passage {} is pressed too little.", numbers_text(passages));
  if (weakest == nullptr) return "The joint stands; the engine file has no fire rings to judge.";
  if (!weakest->margin) return "The joint stands; the engine file does not say what a fire ring needs, so there is no verdict.";
  return fmt::format("Every fire ring gets what it needs; bore {} has the least to spare, {} times its need.", weakest->bore,
                     number_text(*weakest->margin, 3));
}

/// Bolts past yield: the springs of the model know no yield, so the figures flatter them.
std::optional<std::string> yield_note(const ClampedState& state) {
  std::vector<int> past;
  for (const ClampedBolt& bolt : state.bolts)
    if (bolt.utilisation && *bolt.utilisation > 1) past.push_back(bolt.number);
  if (past.empty()) return std::nullopt;
  return fmt::format("Bolt {} would be past yield: the model takes them as springs, so in truth they give more and hold less.",
                     numbers_text(past));
}

/// Depth of the cut asked for: a length, or "full".
std::optional<Length> skim_depth(const Request& request, OptionReader& options, const ClampInput& input) {
  const std::string text = request.option("skim");
  if (text.empty()) return std::nullopt;
  if (!input.loads.head_face) {
    options.refuse("--skim", "a cut is shown on a measured face only", "--face head.csv beside it");
    return std::nullopt;
  }
  if (lower_case(text) == "full") return input.loads.head_face->full_cut();
  return options.positive<Length>("skim");
}

Result<Reply> run_clamp(const Request& request) {
  const auto input = clamp_input(request, true);
  if (!input) return input.problems();
  OptionReader options(request);
  const auto skim = skim_depth(request, options, *input);
  if (has_errors(options.problems())) return options.problems();
  Clamping answer;
  answer.engine = input->engine;
  answer.head = input->model.head;
  answer.loads = input->said;
  answer.notes = input->notes;
  answer.grid_mm = input->options.grid.si() * 1e3;
  try {
    clamp::ClampedJoint joint(input->model, input->options);
    const clamp::ClampResult result = joint.solve(input->loads);
    answer.state = clamped_state(result, input->model);
    for (const std::string& warning : result.warnings) answer.notes.push_back(warning);
    if (auto note = yield_note(answer.state)) answer.notes.push_back(std::move(*note));
    if (skim) {
      clamp::ClampLoads cut = input->loads;
      cut.head_face = cut.head_face->cut(*skim);
      answer.skim_mm = skim->si() * 1e3;
      answer.after_skim = clamped_state(joint.solve(cut), input->model);
    }
  } catch (const InputError& error) {
    return option_problem(error);
  }
  answer.sentence = sentence_of(answer.state);
  if (answer.after_skim)
    answer.sentence += fmt::format(" After a cut of {} mm: {}", number_text(*answer.skim_mm, 2), sentence_of(*answer.after_skim));
  Reply reply;
  reply.document = assess::answer();
  merge_members(reply.document, to_document(answer));
  reply.answer_is_no = !answer.state.seals();
  reply.warnings = input->warnings;
  reply.content = std::move(answer);
  return reply;
}

}  // namespace

Operation clamp_operation() {
  std::vector<OptionSpec> options = clamp_options(true);
  options.push_back({"skim", "LENGTH", "beside it the same joint after the measured face was cut so deep; \"full\": until it cleans up"});
  return {
      .name = "clamp",
      .summary = "the joint clamped on the computer: line load of every fire ring, pressure round every passage, bolts, what lifts off",
      .argument = "ENGINE",
      .input = InputKind::kDocument,
      .options = std::move(options),
      .keys =
          "status, steps, residual, reaction_N, applied_N, contact_area_mm2, exact_area_mm2, open_area_fraction, deflection_max_mm, "
          "fire_rings[]{bore, line_load_min_N_per_mm, line_load_mean_N_per_mm, line_load_max_N_per_mm, angle_of_min_deg, force_N, margin}, "
          "passages[]{number, kind, pressure_min_MPa, margin}, bolts[]{number, force_N, movement_mm, utilisation}, after_skim{…}, notes[]",
      .run = run_clamp,
  };
}

}  // namespace headjoint::assess
