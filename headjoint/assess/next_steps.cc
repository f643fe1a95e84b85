#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "headjoint/assess/chance_words.h"
#include "headjoint/assess/finding.h"
#include "headjoint/assess/knowledge.h"
#include "headjoint/diagnosis/repair_order.h"

namespace headjoint::assess {
namespace {

constexpr const char* kTarget = "joint_failed";
constexpr const char* kJointDecision = "open_joint";
constexpr double kLiveQuestion = 0.10;  ///< chance below which a repair is no question of the day
constexpr double kLeastNet = 1.0;       ///< workshop minutes a check must save over its cost to be offered
constexpr double kNotKnown = std::numeric_limits<double>::quiet_NaN();

using diagnosis::InstanceNetwork;
using diagnosis::Observation;

double odds(double chance) { return chance / std::max(1 - chance, 1e-12); }

/// Expected loss of a decision at another chance; its loss when left is taken to go with the chance.
double loss_of(const diagnosis::Decision& decision, double chance) {
  const double left = decision.probability > 0 ? decision.left_minutes * chance / decision.probability : 0;
  return std::min(decision.put_right_minutes, left);
}

/// What knowing the outcome saves on one decision.
double saving_on(const diagnosis::NextChecks& ranked, const diagnosis::Check& check, std::size_t decision) {
  double saving = loss_of(ranked.decisions[decision], ranked.decisions[decision].probability);
  for (std::size_t outcome = 0; outcome < check.outcome_probability.size(); ++outcome) {
    if (check.decision_probability[outcome].empty()) continue;
    saving -= check.outcome_probability[outcome] * loss_of(ranked.decisions[decision], check.decision_probability[outcome][decision]);
  }
  return saving;
}

/// What the joint's decision comes to once the head is off.
constexpr const char* kRenewWithHeadOff = "renew the joint, both faces measured first";

/// The decision on which the check saves most; the network's first when there is none.
std::size_t decision_served(const diagnosis::NextChecks& ranked, const diagnosis::Check& check) {
  std::size_t best = 0;
  for (std::size_t d = 1; d < ranked.decisions.size(); ++d)
    if (saving_on(ranked, check, d) > saving_on(ranked, check, best)) best = d;
  return best;
}

/// That decision, with where each outcome would take its chance.
std::string why_text(const InstanceNetwork& network, const diagnosis::NextChecks& ranked, const diagnosis::Check& check) {
  if (ranked.decisions.empty()) return {};
  const std::size_t served = decision_served(ranked, check);
  const diagnosis::Finding& finding = network.finding(check.instance);
  std::string text = decision_text(ranked.decisions[served].name) + ": now " + chance_text(ranked.decisions[served].probability);
  for (std::size_t outcome = check.decision_probability.size(); outcome-- > 0;) {
    if (check.decision_probability[outcome].empty()) continue;
    text += ", " + chance_text(check.decision_probability[outcome][served]) + " if " + finding.states[outcome];
  }
  return text;
}

/// Whether the evidence has raised a decision: what was never in question is no question of the day.
/// Once the joint is settled, a rival is a question only from one in five.
bool is_live(const diagnosis::NextChecks& ranked, std::size_t served, bool anything_seen) {
  constexpr double kSettled = 0.9;
  constexpr double kLiveBesideTheJoint = 0.2;
  const diagnosis::Decision& decision = ranked.decisions[served];
  constexpr double kRaised = 1.5;  // factor on the odds
  constexpr double kLiveRival = 0.15;
  const double least = decision.name == kJointDecision ? kLiveQuestion : (ranked.target_now > kSettled ? kLiveBesideTheJoint : kLiveRival);
  if (decision.probability < least) return false;
  return !anything_seen || decision.name == kJointDecision || odds(decision.probability) > kRaised * odds(decision.before);
}

/// A check is offered when it can be done as the engine stands and serves a decision that is a live question.
bool is_worth_offering(const InstanceNetwork& network, const diagnosis::NextChecks& ranked, const diagnosis::Check& check, bool head_off,
                       bool anything_seen) {
  const diagnosis::Finding& finding = network.finding(check.instance);
  if (head_off && finding.needs != "head_off" && finding.minutes > 0) return false;
  if (ranked.decisions.empty()) return false;
  return is_live(ranked, decision_served(ranked, check), anything_seen);
}

/// Whether the decision would be taken at another chance.
bool is_taken_at(const diagnosis::Decision& decision, double chance) {
  return decision.probability > 0 && decision.left_minutes * chance / decision.probability > decision.put_right_minutes;
}

/// Whether some outcome of the check would turn that decision.
bool could_turn(const diagnosis::NextChecks& ranked, const diagnosis::Check& check, std::size_t decision) {
  for (std::size_t outcome = 0; outcome < check.decision_probability.size(); ++outcome) {
    if (check.decision_probability[outcome].empty()) continue;
    if (is_taken_at(ranked.decisions[decision], check.decision_probability[outcome][decision]) != ranked.decisions[decision].take)
      return true;
  }
  return false;
}

/// Chances below this are no outcome worth a line.
constexpr double kLeastOutcome = 0.005;

std::vector<CheckOutcome> outcomes_of(const InstanceNetwork& network, const diagnosis::NextChecks& ranked, const diagnosis::Check& check) {
  const diagnosis::Finding& row = network.finding(check.instance);
  std::vector<CheckOutcome> outcomes;
  for (std::size_t o = check.outcome_probability.size(); o-- > 0;) {
    if (check.decision_probability[o].empty() || check.outcome_probability[o] < kLeastOutcome) continue;
    CheckOutcome outcome{
        row.states[o], check.outcome_probability[o], check.target_probability.empty() ? kNotKnown : check.target_probability[o], {}};
    const std::size_t served = decision_served(ranked, check);
    if (is_taken_at(ranked.decisions[served], check.decision_probability[o][served]))
      outcome.then = decision_text(ranked.decisions[served].name);
    outcomes.push_back(std::move(outcome));
  }
  return outcomes;
}

NextCheck next_check_of(const InstanceNetwork& network, const diagnosis::NextChecks& ranked, const diagnosis::Check& check) {
  const diagnosis::Finding& row = network.finding(check.instance);
  NextCheck next;
  next.check = row.name;
  next.where = network.place(check.instance);
  next.text = network.text(check.instance);
  next.question = row.question;
  next.net_value = check.net_minutes;
  next.value = check.value_minutes;
  next.cost = check.cost_minutes;
  next.minutes = row.minutes;
  next.why = why_text(network, ranked, check);
  next.cannot_see = row.cannot_see;
  next.outcomes = outcomes_of(network, ranked, check);
  std::vector<std::string> ids = row.cautions;
  if (const int set_up = network.pattern.set_up(row.set_up); set_up >= 0) {
    for (const std::string& id : network.pattern.set_ups[static_cast<std::size_t>(set_up)].cautions)
      if (std::find(ids.begin(), ids.end(), id) == ids.end()) ids.push_back(id);
  }
  next.cautions = cautions_of(ids);
  return next;
}

// ---- packs and the end of checking ----

void add_packs(const InstanceNetwork& network, const diagnosis::NextChecks& ranked, bool head_off, bool anything_seen, NextSteps& steps) {
  constexpr std::size_t kMostPacks = 3;
  for (const diagnosis::Pack& pack : ranked.packs) {
    if (steps.packs.size() == kMostPacks || !(pack.net_minutes >= kLeastNet)) break;
    CheckPack found{{}, {}, pack.net_minutes, pack.value_minutes, pack.cost_minutes};
    bool offered = true;
    for (const std::size_t c : pack.checks) {
      const std::size_t instance = ranked.checks[c].instance;
      offered = offered && is_worth_offering(network, ranked, ranked.checks[c], head_off, anything_seen);
      found.checks.push_back(network.instances[instance].name);
      found.text += (found.text.empty() ? "" : "; ") + network.text(instance);
    }
    if (offered) steps.packs.push_back(std::move(found));
  }
}

using Advised = std::vector<const RepairOption*>;

/// The joint first, where it is to be opened: much of the rest is reached only then. Then most chance for its cost.
Advised in_order(Advised advised) {
  std::vector<double> chance, cost;
  for (const RepairOption* option : advised) {
    chance.push_back(option->chance);
    cost.push_back(option->put_right);
  }
  Advised ordered;
  for (const std::size_t i : diagnosis::best_repair_order(chance, cost)) ordered.push_back(advised[i]);
  std::stable_partition(ordered.begin(), ordered.end(), [](const RepairOption* option) { return option->option == kJointDecision; });
  return ordered;
}

/// At most three of them, and how many more.
std::string named(const Advised& advised, const std::string& between, bool with_chance) {
  constexpr std::size_t kMostNamed = 3;
  std::string text;
  for (std::size_t i = 0; i < std::min(kMostNamed, advised.size()); ++i)
    text += (i == 0 ? "" : between) + advised[i]->text + (with_chance ? " (" + chance_text(advised[i]->chance) + ")" : "");
  return advised.size() <= kMostNamed ? text : text + fmt::format(", and {} more", advised.size() - kMostNamed);
}

/// What to do when no check is worth its cost any more.
std::string stop_text(const NextSteps& steps) {
  constexpr double kLikelyEnough = 0.3;  // below, a cheap repair is a precaution and no finding
  if (!steps.checks.empty() || !steps.packs.empty()) return {};
  Advised found, precautions;
  for (const RepairOption& option : steps.options) {
    if (!option.is_advised) continue;
    (option.option == kJointDecision || option.chance >= kLikelyEnough ? found : precautions).push_back(&option);
  }
  const std::string along =
      precautions.empty() ? std::string() : " Cheap against what they may cost: " + named(in_order(precautions), "; ", true) + ".";
  if (!found.empty()) return "Enough is known: " + named(in_order(found), "; then ", false) + "." + along;
  if (!along.empty()) return "Enough is known for now: no repair is likely to be needed." + along;
  return "Enough is known for now: no repair is likely enough to be worth it, and no check is expected to save more than it costs. Run it, "
         "and "
         "look again when a sign comes.";
}

}  // namespace

NextSteps next_steps(const InstanceNetwork& network, const std::vector<Observation>& observations, bool head_off) {
  constexpr std::size_t kMost = 8;
  diagnosis::CheckOptions options;
  options.target = kTarget;
  options.roots = head_off;  // a face or a crack that does not leak yet is decided on the bench
  if (head_off) {
    options.conditions.insert("head_off");
    options.set_ups_done.insert("head_off");
  } else {
    options.openings.insert("head_off");
  }
  const diagnosis::NextChecks ranked = diagnosis::rank_checks(network, observations, options);
  NextSteps steps;
  std::vector<bool> open(ranked.decisions.size(), false);
  for (const diagnosis::Check& check : ranked.checks) {
    if (!(check.net_minutes >= kLeastNet)) break;
    if (!is_worth_offering(network, ranked, check, head_off, !observations.empty())) continue;
    for (std::size_t d = 0; d < open.size(); ++d) open[d] = open[d] || could_turn(ranked, check, d);
    if (steps.checks.size() == kMost) continue;
    steps.checks.push_back(next_check_of(network, ranked, check));
    steps.checks.back().behind_opening = !head_off && network.finding(check.instance).needs == "head_off";
  }
  add_packs(network, ranked, head_off, !observations.empty(), steps);
  for (std::size_t d = 0; d < ranked.decisions.size(); ++d) {
    const diagnosis::Decision& decision = ranked.decisions[d];
    const bool is_open = head_off && decision.name == kJointDecision;
    steps.options.push_back({decision.name, is_open ? kRenewWithHeadOff : decision_text(decision.name), decision.probability,
                             decision.put_right_minutes, decision.left_minutes, decision.take && !open[d],
                             !decision.take ? "not yet" : (open[d] ? "check first" : "advised")});
    if (decision.name == kJointDecision && decision.left_minutes > 0)
      steps.joint_turns_at = ranked.target_now * decision.put_right_minutes / decision.left_minutes;
  }
  std::stable_sort(steps.options.begin(), steps.options.end(),
                   [](const RepairOption& a, const RepairOption& b) { return std::round(a.chance * 1e9) > std::round(b.chance * 1e9); });
  if (ranked.status == diagnosis::Status::kDone) steps.stop = stop_text(steps);
  steps.ranked = ranked;
  return steps;
}

}  // namespace headjoint::assess
