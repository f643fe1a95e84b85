#include <fmt/format.h>

#include <cmath>

#include "headjoint/assess/clamp_input.h"
#include "headjoint/assess/knowledge.h"
#include "headjoint/assess/operation_table.h"
#include "headjoint/assess/results_document.h"
#include "headjoint/assess/results_document_clamp.h"
#include "headjoint/base/text.h"
#include "headjoint/clamp/tightening.h"

namespace headjoint::assess {
namespace {

std::vector<int> order_asked(const Request& request, OptionReader& options, std::size_t bolts) {
  std::vector<int> order;
  const std::string text = request.option("order");
  if (text.empty()) return order;
  for (const std::string_view part : split(text, text.find(';') == std::string::npos ? ',' : ';')) {
    const auto number = parse_number(trimmed(part));
    if (number && *number >= 1 && *number <= static_cast<double>(bolts) && *number == std::floor(*number)) {
      order.push_back(static_cast<int>(*number));
      continue;
    }
    options.refuse("--order", "there is no bolt \"" + std::string(trimmed(part)) + "\"",
                   fmt::format("every bolt from 1 to {} once", bolts));
    return order;
  }
  return order;
}

/// Maker's stages when no preload was asked for, else the preload again and again.
clamp::TighteningPlan plan_of(const Request& request, OptionReader& options, const ClampInput& input) {
  constexpr int kUsualPasses = 3, kMostPasses = 20;
  const bool by_stages = !input.model.stages.empty() && request.option("preload").empty();
  int passes = by_stages ? static_cast<int>(input.model.stages.size()) : kUsualPasses;
  if (const std::string text = request.option("passes"); !text.empty()) {
    const auto number = parse_number(text);
    if (number && *number >= 1 && *number <= kMostPasses && *number == std::floor(*number))
      passes = static_cast<int>(*number);
    else
      options.refuse("--passes", "\"" + text + "\" is not understood", "a whole number from 1 to 20");
  }
  const std::string state = lower_case(request.option("untightened", "snug"));
  if (state != "snug" && state != "loose") options.refuse("--untightened", "\"" + state + "\" is not known", "snug or loose");
  std::vector<int> order = order_asked(request, options, input.model.bolts.at.size());
  if (has_errors(options.problems())) return {};
  clamp::TighteningPlan plan =
      by_stages ? clamp::plan_of_model(input.model, passes) : clamp::even_plan(input.model, *input.model.preload, passes);
  if (!order.empty()) plan.order = std::move(order);
  plan.untightened = state == "loose" ? clamp::Untightened::kLoose : clamp::Untightened::kSnug;
  plan.head_face = input.loads.head_face;
  plan.block_face = input.loads.block_face;
  return plan;
}

std::string sentence_of(const TighteningAnswer& answer) {
  if (answer.passes.empty()) return "The head finds no place of rest while it is tightened.";
  const TightenedPass& last = answer.passes.back();
  return fmt::format("After pass {} the bolts carry {} to {} kN, scattered by {} kN ({} % of the mean).", answer.passes.size(),
                     number_text(last.min_N * 1e-3, 3), number_text(last.max_N * 1e-3, 3), number_text(last.std_N * 1e-3, 2),
                     number_text(last.mean_N > 0 ? 100 * last.std_N / last.mean_N : 0, 2));
}

/// Force at which orders are compared: the preload, else what the tightening came to.
double advice_target(const ClampInput& input, const TighteningAnswer& answer) {
  if (input.model.preload) return input.model.preload->si();
  return answer.passes.empty() ? 0 : answer.passes.back().mean_N;
}

void add_advice(const ClampInput& input, TighteningAnswer& answer) {
  const double target = advice_target(input, answer);
  if (!(target > 0)) return;
  const clamp::ClampOptions coarse{.grid = std::max(input.options.grid, Length::from_si(0.008))};
  const clamp::TighteningAdvice advice = clamp::advise_tightening(input.model, Force::from_si(target), 0.01, 6, coarse);
  answer.recommended_order = advice.recommended.order;
  answer.recommended_passes = advice.recommended.passes;
  answer.recommended_text =
      fmt::format("{} At a full level it takes {} passes to leave the bolts within {} % of each other (standard deviation).", advice.reason,
                  advice.recommended.passes, number_text(100 * advice.recommended.std_N / target, 2));
  answer.compensated_N = advice.compensated_N;
}

Result<Reply> run_tighten(const Request& request) {
  const auto input = clamp_input(request, false);
  if (!input) return input.problems();
  OptionReader options(request);
  TighteningAnswer answer;
  answer.engine = input->engine;
  answer.head = input->model.head;
  answer.notes = input->notes;
  try {
    const clamp::TighteningPlan plan = plan_of(request, options, *input);
    if (has_errors(options.problems())) return options.problems();
    clamp::ClampedJoint joint(input->model, input->options);
    const clamp::TighteningResult result = clamp::tighten(joint, plan);
    answer.order = result.order;
    answer.order_from = !request.option("order").empty() ? "asked" : input->model.order.empty() ? "from the middle" : "maker";
    for (std::size_t p = 0; p < result.passes.size(); ++p) {
      const clamp::BoltForces& f = result.passes[p];
      answer.passes.push_back({plan.passes[p].text, f.force_N, f.min_N, f.max_N, f.mean_N, f.std_N});
    }
    answer.clamped = clamped_state(result.clamped, input->model);
    if (!result.message.empty()) answer.notes.push_back(result.message);
    if (result.passes.empty()) answer.clamped.status = to_string(result.status);
    add_advice(*input, answer);
    if (plan.yield_preload && !answer.passes.empty() && answer.passes.back().max_N > 0.99 * plan.yield_preload->si())
      answer.notes.emplace_back("The last stage takes bolts into yield: they stretch for good. Use them once.");
  } catch (const InputError& error) {
    return option_problem(error);
  }
  if (answer.order_from == "asked" && !input->model.order.empty() && answer.order != input->model.order)
    answer.notes.emplace_back("This is not the maker's order. The maker's comes first.");
  answer.sentence = sentence_of(answer);
  answer.cautions = cautions_of({"stretched_bolts"});
  Reply reply;
  reply.document = assess::answer();
  merge_members(reply.document, to_document(answer));
  reply.answer_is_no = answer.passes.empty();
  reply.warnings = input->warnings;
  reply.content = std::move(answer);
  return reply;
}

}  // namespace

Operation tighten_operation() {
  std::vector<OptionSpec> options = clamp_options(false);
  options.push_back({"order", "LIST", "bolt numbers, 3,8,7,2; the maker's, else from the middle outwards, when not given"});
  options.push_back({"passes", "COUNT", "stages of the maker, or times to the preload; 1 to 20"});
  options.push_back({"untightened", "WORD", "snug or loose: bolts not turned yet; snug when not given"});
  return {
      .name = "tighten",
      .summary = "tightening bolt by bolt: what each bolt still carries after every pass, and which order and passes even it out",
      .argument = "ENGINE",
      .input = InputKind::kDocument,
      .options = std::move(options),
      .keys =
          "order[], passes[]{stage, bolts[]{number, force_N}, min_N, max_N, mean_N, std_N}, recommended{order, passes, text}, "
          "compensated[]{number, force_N}, clamped{…}, notes[], cautions[]",
      .run = run_tighten,
  };
}

}  // namespace headjoint::assess
