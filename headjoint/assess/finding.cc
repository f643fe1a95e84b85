#include "headjoint/assess/finding.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "headjoint/assess/chance_words.h"
#include "headjoint/assess/knowledge.h"
#include "headjoint/diagnosis/repair_order.h"

namespace headjoint::assess {
namespace {

constexpr const char* kTarget = "joint_failed";
constexpr const char* kJointDecision = "open_joint";
constexpr double kJointSuspected = 0.35;  ///< from here on the sentence speaks of the joint first
constexpr double kWorthNaming = 0.30;     ///< a suspect that the sentence names
constexpr double kSpeaksFor = 1.5;        ///< factor on the odds from which the evidence speaks for the joint
constexpr double kLiveQuestion = 0.10;    ///< chance below which a repair is no question of the day
constexpr double kLeastNet = 1.0;         ///< workshop minutes a check must save over its cost to be offered
constexpr double kNotKnown = std::numeric_limits<double>::quiet_NaN();
constexpr std::size_t kLeading = 6;

using diagnosis::Diagnosis;
using diagnosis::InstanceNetwork;
using diagnosis::Layer;
using diagnosis::Observation;

Suspect suspect_of(const InstanceNetwork& network, const diagnosis::CausePosterior& cause) {
  return {network.cause(cause.instance).name,
          network.place(cause.instance),
          network.text(cause.instance),
          {cause.posterior, cause.low, cause.high},
          cause.prior};
}

/// Chance without its last digits: equal ones keep the network's order whatever the rounding.
double rank_of(const Suspect& suspect) { return std::round(suspect.chance.value * 1e9); }

/// A flag that makes the joint count as failed; those that gather a rival do not.
bool is_kind_of_seal(const InstanceNetwork& network, std::size_t instance) {
  const int target = network.find(kTarget);
  if (target < 0 || network.cause(instance).layer != Layer::kAny) return false;
  const auto& parents = network.instances[static_cast<std::size_t>(target)].parents;
  return std::any_of(parents.begin(), parents.end(), [&](const diagnosis::Influence& parent) { return parent.parent == instance; });
}

void add_suspects(const InstanceNetwork& network, const Diagnosis& diagnosis, Finding& finding) {
  for (const diagnosis::CausePosterior& cause : diagnosis.causes) {
    const diagnosis::Cause& row = network.cause(cause.instance);
    if (row.name == kTarget) {
      finding.joint_failed = {cause.posterior, cause.low, cause.high};
      finding.joint_failed_before = cause.prior;
    }
    if (row.layer == Layer::kPath) finding.paths.push_back(suspect_of(network, cause));
    if (is_kind_of_seal(network, cause.instance)) finding.kinds.push_back(suspect_of(network, cause));
    if (row.layer == Layer::kRoot) finding.causes.push_back(suspect_of(network, cause));
    if (row.layer == Layer::kRival) finding.rivals.push_back(suspect_of(network, cause));
  }
  for (std::vector<Suspect>* list : {&finding.paths, &finding.kinds, &finding.causes, &finding.rivals}) {
    std::stable_sort(list->begin(), list->end(), [](const Suspect& a, const Suspect& b) { return rank_of(a) > rank_of(b); });
  }
}

std::string about_text(const InstanceNetwork& network, std::size_t instance) {
  return network.cause(instance).name == kTarget ? "the joint has failed" : network.text(instance);
}

/// Each observation is shown with the suspect for which it weighs most.
void add_weights(const InstanceNetwork& network, const std::vector<Observation>& observations, const Diagnosis& diagnosis,
                 Finding& finding) {
  for (std::size_t i = 0; i < observations.size(); ++i) {
    const diagnosis::Weights* heaviest = nullptr;
    for (const diagnosis::Weights& weights : diagnosis.weights)
      if (heaviest == nullptr || std::abs(weights.weight[i]) > std::abs(heaviest->weight[i])) heaviest = &weights;
    if (heaviest == nullptr) continue;
    finding.for_and_against.push_back({observations[i].finding, observations[i].place, observations[i].label,
                                       about_text(network, heaviest->instance), heaviest->weight[i], weight_words(heaviest->weight[i])});
  }
  std::stable_sort(finding.for_and_against.begin(), finding.for_and_against.end(),
                   [](const Weight& a, const Weight& b) { return std::abs(a.weight) > std::abs(b.weight); });
}

Conflict conflict_of(const Observation& observation, double bits) {
  return {observation.finding, observation.place, observation.label, bits};
}

/// The likeliest suspects in words, those alone whose chance the evidence has raised.
std::string names_of(const std::vector<Suspect>& suspects, std::size_t most) {
  std::string names;
  std::size_t named = 0;
  for (const Suspect& suspect : suspects) {
    if (named == most || suspect.chance.value < kWorthNaming) break;
    if (suspect.chance.value < suspect.before) continue;
    names += (names.empty() ? "" : ", ") + suspect.text + " (" + chance_text(suspect.chance.value) + ")";
    ++named;
  }
  return names;
}

double odds(double chance) { return chance / std::max(1 - chance, 1e-12); }

std::string joint_words(const Finding& finding) {
  return std::string(chance_adverb(finding.joint_failed.value)) + " failed (" + chance_text(finding.joint_failed.value) + ")";
}

/// Whether the likeliest path stands out from its like at other places.
bool place_is_known(const Finding& finding) {
  constexpr double kKindOverPlace = 1.5;
  constexpr double kClear = 0.5;
  if (finding.paths.empty() || finding.kinds.empty() || finding.paths.front().where.empty()) return true;
  return finding.paths.front().chance.value >= kClear ||
         finding.kinds.front().chance.value < kKindOverPlace * finding.paths.front().chance.value;
}

/// Which seal: the path with its place, else the kind of path, else that it is not clear.
std::string seal_words(const Finding& finding) {
  const bool is_named = place_is_known(finding);
  if (const std::string paths = names_of(finding.paths, 2); !paths.empty() && is_named) return ": " + paths + ".";
  if (const std::string kinds = names_of(finding.kinds, 1); !kinds.empty()) return ": " + kinds + "; which one is not clear yet.";
  return "; which seal is not clear yet.";
}

std::string sentence_of(const Finding& finding, bool anything_seen) {
  if (finding.status == "impossible") return "These signs and readings cannot all be true together; check the ones named under conflicts.";
  if (finding.status != "done") return "The chances could not be worked out: " + finding.status + ".";
  const double joint = finding.joint_failed.value;
  const double before = finding.joint_failed_before;
  if (!anything_seen) {
    return fmt::format("Nothing has been looked at yet. Of engines that come in under suspicion about {:.0f} in 100 have a failed joint.",
                       100 * joint);
  }
  const std::string rivals = names_of(finding.rivals, 2);
  const bool speaks_for_joint = odds(joint) >= kSpeaksFor * odds(before);
  constexpr double kEven = 0.5;
  const bool rival_leads = joint < kEven && !rivals.empty() && finding.rivals.front().chance.value > joint;
  if (joint >= kJointSuspected && !rival_leads && (speaks_for_joint || rivals.empty())) {
    return "The head joint has " + joint_words(finding) + seal_words(finding) + (rivals.empty() ? "" : " Also likely: " + rivals + ".");
  }
  const std::string likelier = rivals.empty() ? "Nothing stands out yet. " : "Likeliest: " + rivals + ". ";
  if (joint < before) return likelier + "The head joint has " + joint_words(finding) + ".";
  return likelier +
         fmt::format("Little speaks for the head joint so far ({}, before any sign {}).", chance_text(joint), chance_text(before));
}

// ---- next check ----

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

/// What to do when no check is worth its cost any more.
std::string stop_text(const NextSteps& steps) {
  if (!steps.checks.empty() || !steps.packs.empty()) return {};
  std::vector<double> chance;
  std::vector<double> cost;
  std::vector<const RepairOption*> advised;
  for (const RepairOption& option : steps.options) {
    if (!option.is_advised) continue;
    advised.push_back(&option);
    chance.push_back(option.chance);
    cost.push_back(option.put_right);
  }
  std::string todo;
  for (const std::size_t i : diagnosis::best_repair_order(chance, cost)) todo += (todo.empty() ? "" : "; then ") + advised[i]->text;
  if (!todo.empty()) return "Enough is known: " + todo + ".";
  return "Enough is known for now: no repair is likely enough to be worth it, and no check is expected to save more than it costs. Run it, "
         "and "
         "look again when a sign comes.";
}

// ---- explanation ----

void add_explanation(const InstanceNetwork& network, const Diagnosis& diagnosis, Finding& finding) {
  for (const std::size_t instance : diagnosis.explanation.instances)
    for (const diagnosis::CausePosterior& cause : diagnosis.causes)
      if (cause.instance == instance) finding.explanation.push_back(suspect_of(network, cause));
  finding.explanation_factor = diagnosis.explanation.bayes_factor;
  for (const diagnosis::Moved& moved : diagnosis.moved) {
    if (network.instances[moved.instance].is_cause) continue;
    const std::string how = moved.strengths
                                ? (moved.up ? ": a stronger sign of its causes" : ": a weaker sign of its causes")
                                : (moved.up ? ": more often there with nothing wrong" : ": less often there with nothing wrong");
    finding.flips.push_back(
        {network.finding(moved.instance).name, network.place(moved.instance), network.text(moved.instance) + how, moved.target});
  }
}

}  // namespace

Finding finding_of(const InstanceNetwork& network, const std::vector<Observation>& observations, std::vector<std::string> not_counted) {
  const Diagnosis diagnosis = diagnosis::diagnose(network, observations, {.target = kTarget, .leading = kLeading});
  Finding finding;
  finding.status = diagnosis::to_text(diagnosis.status);
  finding.log_evidence = diagnosis.status == diagnosis::Status::kDone ? diagnosis.log_evidence : kNotKnown;
  finding.joint_failed = {kNotKnown, kNotKnown, kNotKnown};
  finding.not_counted = std::move(not_counted);
  if (diagnosis.status == diagnosis::Status::kDone) {
    add_suspects(network, diagnosis, finding);
    add_weights(network, observations, diagnosis, finding);
    add_explanation(network, diagnosis, finding);
    for (const std::size_t i : diagnosis.poor_fit) finding.conflicts.push_back(conflict_of(observations[i], diagnosis.conflict_drop[i]));
  }
  for (const std::size_t i : diagnosis.conflicting) finding.conflicts.push_back(conflict_of(observations[i], 0));
  finding.sentence = sentence_of(finding, !observations.empty());
  return finding;
}

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
    steps.options.push_back({decision.name, decision_text(decision.name), decision.probability, decision.put_right_minutes,
                             decision.left_minutes, decision.take && !open[d],
                             !decision.take ? "not yet" : (open[d] ? "check first" : "advised")});
    if (decision.name == kJointDecision && decision.left_minutes > 0)
      steps.joint_turns_at = ranked.target_now * decision.put_right_minutes / decision.left_minutes;
  }
  std::stable_sort(steps.options.begin(), steps.options.end(),
                   [](const RepairOption& a, const RepairOption& b) { return a.chance > b.chance; });
  if (ranked.status == diagnosis::Status::kDone) steps.stop = stop_text(steps);
  steps.ranked = ranked;
  return steps;
}

std::vector<Flip> flips_of(const Finding& finding, double turns_at) {
  std::vector<Flip> flips;
  if (!(turns_at > 0)) return flips;
  for (const Flip& moved : finding.flips)
    if ((moved.joint_failed > turns_at) != (finding.joint_failed.value > turns_at)) flips.push_back(moved);
  std::stable_sort(flips.begin(), flips.end(), [&](const Flip& a, const Flip& b) {
    return std::abs(a.joint_failed - finding.joint_failed.value) > std::abs(b.joint_failed - finding.joint_failed.value);
  });
  return flips;
}

namespace {

/// Observations that were taken in one go: a reading of one test on every cylinder.
bool is_same_entry(const Observation& a, const Observation& b) { return a.finding == b.finding && a.over_measured && b.over_measured; }

VerdictStep step_of(const InstanceNetwork& network, const std::vector<Observation>& observations, std::string entry) {
  diagnosis::DiagnosisOptions options;
  options.bands = options.weights = false;
  const Diagnosis diagnosis = diagnosis::diagnose(network, observations, options);
  VerdictStep step{std::move(entry), kNotKnown, {}, 0};
  if (diagnosis.status != diagnosis::Status::kDone) return step;
  double best = 0;
  for (const diagnosis::CausePosterior& cause : diagnosis.causes) {
    const diagnosis::Cause& row = network.cause(cause.instance);
    if (row.name == kTarget) step.joint_failed = cause.posterior;
    const bool is_kind = row.layer == Layer::kAny && row.name != kTarget;
    if (row.layer != Layer::kPath && row.layer != Layer::kRival && !is_kind) continue;
    if (cause.posterior < kWorthNaming || cause.posterior < cause.prior) continue;
    // A kind of seal leads only where no place of it stands out.
    constexpr double kKindBehindPlace = 0.8;
    const double rank = cause.posterior * (is_kind ? kKindBehindPlace : 1.0);
    if (rank <= best) continue;
    best = rank;
    step.leading = network.text(cause.instance);
    step.leading_chance = cause.posterior;
  }
  return step;
}

}  // namespace

std::vector<VerdictStep> verdict_line(const InstanceNetwork& network, const std::vector<Observation>& observations) {
  std::vector<VerdictStep> line;
  std::vector<Observation> seen;
  line.push_back(step_of(network, seen, "before anything was looked at"));
  for (std::size_t i = 0; i < observations.size(); ++i) {
    seen.push_back(observations[i]);
    if (i + 1 < observations.size() && is_same_entry(observations[i], observations[i + 1])) continue;
    const bool is_one = i == 0 || !is_same_entry(observations[i], observations[i - 1]);
    std::string test = observations[i].finding;
    std::replace(test.begin(), test.end(), '_', ' ');
    line.push_back(step_of(network, seen, is_one ? observations[i].label : test + " of the cylinders"));
  }
  return line;
}

}  // namespace headjoint::assess
