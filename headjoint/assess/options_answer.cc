#include "headjoint/assess/options_answer.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "headjoint/assess/chance_words.h"
#include "headjoint/assess/knowledge.h"
#include "headjoint/repair/decision.h"

namespace headjoint::assess {
namespace {

using repair::Option;

constexpr const char* kCheckMore = "check_more";
constexpr std::size_t kMostTurns = 6;
constexpr std::size_t kMostWeights = 5;

const char* note_of(Option option) {
  switch (option) {
    case Option::kRetighten:
      return "Only to the maker's sheet and order, engine cold unless it says otherwise.";
    case Option::kStopLeak:
      return "A way home, not a repair: it restores no clamping, can block heater, radiator and narrow passages, and hides the signs. Tell "
             "the "
             "owner in writing, note it on the job, and flush it out before the repair.";
    case Option::kGasketOnly:
      return "Only on faces that are clean and measured within the limit, with nothing else found wrong when the head is off.";
    case Option::kGasketAndHeadService:
      return "Have the head cleaned, pressure-tested and its hardness and height measured before metal comes off; measure the block too.";
    case Option::kExchangeHead:
      return "For a head that is cracked, soft or below its least height. Check the block's face before paying for it.";
    case Option::kExchangeEngine:
      return "Test or renew radiator, cap and thermostat: what cooked the first engine cooks the next.";
    case Option::kCureRival:
      return "Then run it hot and look again; the joint stays under suspicion as far as its chance says.";
    case Option::kDriveOn:
      return "Never with the gauge in the red, white cloud, a knock, or oil gone milky: stop there. Cap shut until it is cold.";
  }
  return "";
}

OptionLine line_of(const repair::OptionCost& cost, const RepairInHand& in_hand) {
  OptionLine line;
  line.option = repair::name_of(cost.option);
  line.text = repair::words_of(cost.option);
  if (cost.option == Option::kCureRival && in_hand.cured.leading < in_hand.repair_case.rivals.size())
    line.text = "leave the joint, " + in_hand.repair_case.rivals[in_hand.cured.leading].text;
  if (cost.option == Option::kDriveOn) line.text += fmt::format(" {:.0f} km", in_hand.repair_case.distance_km);
  line.state = !cost.forbidden.empty() ? "forbidden" : cost.is_a_repair ? "possible" : "way home";
  line.forbidden = cost.forbidden;
  line.expected_cost = cost.expected_cost;
  line.low = cost.low;
  line.high = cost.high;
  line.second_failure = cost.second_failure;
  line.engine_lost = cost.engine_lost;
  for (const repair::CostItem& item : cost.items) line.items.push_back({item.what, item.cost});
  for (const repair::Driver& driver : cost.drivers) line.drivers.push_back({driver.what, driver.share});
  line.note = note_of(cost.option);
  return line;
}

/// Rivals as they stand after one outcome of a check.
RepairInHand after_outcome(const RepairInHand& in_hand, const diagnosis::NextChecks& ranked, const diagnosis::Check& check,
                           std::size_t outcome, RepairChances chances) {
  RepairInHand after = in_hand;
  after.repair_case.leaks = std::move(chances.leaks);
  after.repair_case.parts = std::move(chances.parts);
  for (repair::Rival& rival : after.repair_case.rivals)
    for (std::size_t d = 0; d < ranked.decisions.size(); ++d) {
      if (ranked.decisions[d].name != rival.decision) continue;
      const double now = check.decision_probability[outcome][d];
      rival.left *= rival.chance > 0 ? now / rival.chance : 0.0;
      rival.chance = now;
    }
  const double coming_back = repair::cost_of_coming_back(after.repair_case, after.prices);
  after.cured = repair::worth_curing(after.repair_case.rivals, after.prices, coming_back);
  // Which cooling faults are cured with the joint stays: the chances of the parts were worked out for those left in.
  for (std::size_t i = 0; i < after.repair_case.rivals.size(); ++i)
    if (after.repair_case.rivals[i].overheats) after.cured.with_joint[i] = in_hand.cured.with_joint[i];
  return after;
}

/// What is cured otherwise than now: "; also renew the thermostat; not renew the injector sleeves".
std::string cures_apart(const RepairInHand& now, const RepairInHand& after, Option option) {
  const bool is_renewed = repair::renews_the_joint(option);
  std::string text;
  for (std::size_t i = 0; i < now.repair_case.rivals.size(); ++i) {
    const bool before = is_renewed ? now.cured.with_joint[i] : now.cured.always[i];
    const bool then = is_renewed ? after.cured.with_joint[i] : after.cured.always[i];
    if (before != then) text += (then ? "; also " : "; no need to ") + now.repair_case.rivals[i].text;
  }
  return text;
}

/// Expected cost of one option with every cause counted, those too that no option cures now.
double whole_cost(const RepairInHand& in_hand, const repair::Cured& cured, Option option) {
  repair::RepairCase whole = in_hand.repair_case;
  for (repair::Rival& rival : whole.rivals) rival.is_background = false;
  return repair::option_costs(whole, in_hand.prices, cured, repair::Detail::kExpectedCost)[static_cast<std::size_t>(option)].expected_cost;
}

/// One check tried on the options: their costs after each outcome, through the table of decisions.
struct TriedCheck {
  CheckFirst shown;
  double low = 0;
  double high = 0;
  double second_failure = 0;
  double engine_lost = 0;
};

std::optional<TriedCheck> tried(const RepairInHand& in_hand, const diagnosis::InstanceNetwork& network,
                                const std::vector<diagnosis::Observation>& observations, const diagnosis::NextChecks& ranked,
                                const diagnosis::Check& check, Option now) {
  const diagnosis::Finding& finding = network.finding(check.instance);
  TriedCheck result;
  result.shown = {finding.name,
                  network.place(check.instance),
                  network.text(check.instance),
                  in_hand.prices.cost_of_minutes(check.cost_minutes),
                  0,
                  0,
                  {}};
  repair::CostTable costs(2);  // decided now, decided after the look: one column for each outcome
  std::vector<double> likely;
  for (std::size_t o = 0; o < check.outcome_probability.size(); ++o) {
    const double chance = check.outcome_probability[o];
    if (!(chance > 0) || check.decision_probability[o].empty()) continue;
    const diagnosis::Observation look{
        finding.name, network.place(check.instance), diagnosis::seen_state(finding.states.size(), o), {}, false};
    auto chances = chances_after(network, observations, look, in_hand);
    if (!chances) return std::nullopt;
    const RepairInHand after = after_outcome(in_hand, ranked, check, o, std::move(*chances));
    const std::vector<repair::OptionCost> options = repair::option_costs(after.repair_case, after.prices, after.cured);
    const repair::OptionCost& best = options[repair::choice_of(options)];
    costs[0].push_back(whole_cost(after, in_hand.cured, now));
    costs[1].push_back(std::min(whole_cost(after, after.cured, best.option), costs[0].back()));
    likely.push_back(chance);
    result.shown.outcomes.push_back(fmt::format("{} ({}): {}{}", finding.states[o], chance_text(chance), line_of(best, after).text,
                                                cures_apart(in_hand, after, best.option)));
    result.low = likely.size() == 1 ? best.low : std::min(result.low, best.low);
    result.high = std::max(result.high, best.high);
    result.second_failure += chance * best.second_failure;
    result.engine_lost += chance * best.engine_lost;
  }
  result.shown.value = repair::expected_cost(costs[0], likely) - repair::expected_cost(costs[1], likely);
  result.shown.net_value = result.shown.value - result.shown.cost;
  return result;
}

/// The check worth most among the first few on offer. What serves no live question is no option, however it is reckoned.
std::optional<TriedCheck> best_check(const RepairInHand& in_hand, const diagnosis::InstanceNetwork& network,
                                     const std::vector<diagnosis::Observation>& observations, const diagnosis::NextChecks& ranked,
                                     const Assessment& assessed, Option now) {
  constexpr std::size_t kTried = 2;
  std::vector<const diagnosis::Check*> list;
  const auto is_offered = [&](const diagnosis::Check& check) {
    return std::any_of(assessed.next_checks.begin(), assessed.next_checks.end(), [&](const NextCheck& next) {
      return next.check == network.finding(check.instance).name && next.where == network.place(check.instance) && !next.behind_opening;
    });
  };
  for (const diagnosis::Check& check : ranked.checks)
    if (list.size() < kTried && is_offered(check)) list.push_back(&check);
  std::optional<TriedCheck> best;
  for (const diagnosis::Check* check : list) {
    auto one = tried(in_hand, network, observations, ranked, *check, now);
    if (one && (!best || one->shown.net_value > best->shown.net_value)) best = std::move(one);
  }
  return best;
}

OptionLine check_line(const std::optional<TriedCheck>& check, const repair::OptionCost& best) {
  OptionLine line;
  line.option = kCheckMore;
  line.text = "check more before deciding";
  if (!check) {
    line.state = "forbidden";
    line.forbidden = "enough is known: no check that is left serves a question that is still open";
    return line;
  }
  if (check->shown.net_value > 0) line.text = "check first: " + check->shown.text;
  line.state = "possible";
  line.expected_cost = best.expected_cost - check->shown.net_value;
  line.low = check->low + check->shown.cost;
  line.high = check->high + check->shown.cost;
  line.second_failure = check->second_failure;
  line.engine_lost = check->engine_lost;
  line.items = {{"the check", check->shown.cost}, {"then the best for what it shows", best.expected_cost - check->shown.value}};
  line.note = check->shown.net_value > 0 ? "Expected to save more than it costs."
                                         : "The best that is left, " + check->shown.text + ", costs more than it is expected to save.";
  return line;
}

std::string choice_sentence(const OptionsAnswer& answer, const OptionLine& best) {
  const std::string figures = fmt::format("{} expected ({} to {}), chance that the joint leaks {} {}",
                                          cost_text(best.expected_cost, answer.unit), cost_text(best.low, {}), cost_text(best.high, {}),
                                          best.option == "cure_rival" || best.option == "drive_on" ? "all the same" : "again within a year",
                                          chance_text(best.second_failure));
  std::string text;
  if (answer.chosen == kCheckMore)
    text = fmt::format("Check first: {}; it is expected to save {} more than it costs. Without it: ", answer.check.text,
                       cost_text(answer.check.net_value, answer.unit));
  std::string then = "Cheapest on these figures: " + best.text;
  if (best.option == "cure_rival") then = "Do not open the engine now: " + best.text;
  if (best.option == "drive_on") then = "Nothing is likely enough to be worth a repair now";
  if (!text.empty()) then.front() = static_cast<char>(then.front() + ('a' - 'A'));
  return text + then + ": " + figures + ".";
}

std::string second_text(const OptionsAnswer& answer) {
  const OptionLine* second = answer.line(answer.second);
  return second == nullptr ? std::string() : fmt::format(" Next best: {}, {} more.", second->text, cost_text(answer.lead, answer.unit));
}

void add_notes(OptionsAnswer& answer, const RepairInHand& in_hand, const RepairTerms& terms) {
  const repair::RepairCase& in_case = in_hand.repair_case;
  if (in_case.heads > 1)
    answer.notes.push_back(fmt::format("Counted for {} heads: where it leaks is not clear enough for fewer.", in_case.heads));
  if (in_case.head_off) answer.notes.emplace_back("The head is off: the hours of taking it off are spent and not counted again.");
  if (in_hand.measured_out & repair::kHeadFaceOut)
    answer.notes.emplace_back(
        "The head face is measured out of limit: it is machined, or its chance of sealing is worked out first (seal-chance).");
  if (in_hand.measured_out & repair::kBlockFaceOut)
    answer.notes.emplace_back("The block face is measured out of limit: no head work mends that; ask the machine shop about the deck.");
  if (terms.sealing_chance)
    answer.notes.push_back(fmt::format("Given: the joint clamped without machining seals with a chance of {}; it stands for the faces.",
                                       chance_text(*terms.sealing_chance)));
  if (const OptionLine* stop_leak = answer.line("stop_leak"); stop_leak != nullptr && stop_leak->forbidden.empty())
    answer.notes.emplace_back(
        "Stop-leak is a way home, never a repair: it is priced here with the job that follows it and is never chosen.");
}

}  // namespace

std::vector<Caution> option_cautions(const OptionsAnswer& answer) {
  if (answer.status != "done") return {};
  const std::string& best = answer.after_check;
  const bool is_opened = best != "cure_rival" && best != "drive_on" && best != "retighten";
  const diagnosis::Pattern& pattern = head_joint_pattern();
  if (is_opened) return cautions_of(pattern.set_ups[static_cast<std::size_t>(pattern.set_up("head_off"))].cautions);
  return cautions_of({best == "retighten" ? "stretched_bolts" : "hot_coolant"});
}

std::string cost_text(double cost, const std::string& unit) {
  if (!std::isfinite(cost)) return "n/a";
  const bool is_small = std::abs(cost) < 100;
  const std::string number = is_small ? fmt::format("{:.1f}", cost) : fmt::format("{:.0f}", cost);
  return unit.empty() ? number : number + " " + unit;
}

OptionsAnswer options_answer(const RepairInHand& in_hand, const diagnosis::InstanceNetwork& network,
                             const std::vector<diagnosis::Observation>& observations, const diagnosis::NextChecks& ranked,
                             const Assessment& assessed, const RepairTerms& terms) {
  OptionsAnswer answer;
  answer.status = in_hand.status;
  answer.unit = in_hand.prices.unit;
  answer.hour_price = in_hand.prices.hour_price;
  answer.prices = terms.prices ? "the shop's table" : "the example table";
  answer.distance_km = terms.distance_km;
  answer.joint_failed = assessed.finding.joint_failed.value;
  if (answer.status != "done") return answer;
  const repair::Options options = repair::repair_options(in_hand.repair_case, in_hand.prices, in_hand.cured,
                                                         assessed.finding.joint_failed.low, assessed.finding.joint_failed.high);
  const std::size_t best = repair::choice_of(options.options);
  const repair::OptionCost& best_cost = options.options[best];
  const auto check = best_check(in_hand, network, observations, ranked, assessed, best_cost.option);
  answer.options.push_back(check_line(check, best_cost));
  for (const repair::OptionCost& cost : options.options) answer.options.push_back(line_of(cost, in_hand));
  if (check) answer.check = check->shown;
  answer.after_check = repair::name_of(best_cost.option);
  answer.chosen = check && check->shown.net_value > 0 ? kCheckMore : answer.after_check;
  for (OptionLine& line : answer.options)
    if (line.option == answer.chosen) line.state = "chosen";
  if (options.second) {
    answer.second = repair::name_of(*options.second);
    answer.lead = options.options[static_cast<std::size_t>(*options.second)].expected_cost - best_cost.expected_cost;
  }
  for (std::size_t i = 0; i < std::min(kMostTurns, options.turns.size()); ++i) {
    const repair::Turn& turn = options.turns[i];
    const std::string name(repair::name_of(turn.then));
    answer.turns.push_back({turn.figure, turn.unit, turn.now, turn.at, name, answer.line(name)->text});
  }
  for (std::size_t i = 0; i < std::min(kMostWeights, options.weights.size()); ++i) {
    const repair::Weight& weight = options.weights[i];
    answer.weights.push_back({weight.figure, weight.unit, weight.now, weight.low, weight.high, weight.swing});
  }
  for (const repair::ShopFigure figure : in_hand.prices.examples) answer.examples.emplace_back(repair::row_of(figure).text);
  answer.sentence = choice_sentence(answer, *answer.line(answer.after_check)) + second_text(answer);
  add_notes(answer, in_hand, terms);
  return answer;
}

}  // namespace headjoint::assess
