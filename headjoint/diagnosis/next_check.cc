#include "headjoint/diagnosis/next_check.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <set>

#include "headjoint/diagnosis/internal/evidence.h"
#include "headjoint/diagnosis/internal/stakes.h"

namespace headjoint::diagnosis {
namespace {

using internal::CompiledNetwork;
using internal::Joint;
using internal::LogValue;
using internal::StateTrials;
using internal::Trial;

constexpr double kTieMinutes = 1e-6;  // differences below are rounding: the order of the network decides

/// A finding's outcomes as sums of trials: joint(outcome) = sum over terms of coefficient[outcome] * joint(term).
struct Outcomes {
  std::vector<CompiledNetwork::Term> terms;
  std::vector<Joint> joints;                     ///< of the terms, their factors included
  std::vector<std::vector<double>> coefficient;  ///< [outcome][term]
};

/// One run of rank_checks().
class Ranking {
 public:
  Ranking(const InstanceNetwork& network, const std::vector<Observation>& observations, const CheckOptions& options, bool decisions_only)
      : network_(network),
        options_(options),
        decisions_only_(decisions_only),
        compiled_(network, internal::combined(network, internal::looks_of(network, observations)), {true, true, {}}),
        observed_(network.instances.size(), false) {
    for (const Observation& observation : observations)
      observed_[static_cast<std::size_t>(network.find(observation.finding, observation.place))] = true;
  }

  NextChecks rank() {
    if (compiled_.too_large()) {
      result_.status = Status::kTooLarge;
      return result_;
    }
    evidence_ = compiled_.tree().total(true);
    if (!(evidence_.error < 1) || evidence_.sign == 0)
      result_.status = Status::kImpossible;
    else if (!(evidence_.error <= kErrorBound) || evidence_.sign < 0)
      result_.status = Status::kInaccurate;
    if (result_.status != Status::kNotRun) return result_;
    stakes_.emplace(network_, compiled_, options_);
    result_.decisions = stakes_->decisions();
    if (!affordable()) {
      result_.status = Status::kTooLarge;
      return result_;
    }
    now_ = stakes_->joint({}, evidence_);
    fill_decisions();
    if (decisions_only_) {
      result_.status = Status::kDone;
      return std::move(result_);
    }
    find_uncertainty();
    for (std::size_t row = 0; row < network_.pattern.findings.size(); ++row) score_finding(row);
    order_checks();
    find_packs();
    result_.status = Status::kDone;
    return std::move(result_);
  }

 private:
  /// Every finding once per place scored and outcome, in the tree and in those of the events.
  [[nodiscard]] bool affordable() const {
    double runs = 0;
    for (std::size_t row = 0; row < network_.pattern.findings.size(); ++row) {
      const std::size_t places = open_places(row).size();
      runs += static_cast<double>(std::min(places, options_.places_scored) * (network_.pattern.findings[row].states.size() - 1));
    }
    return runs * static_cast<double>(stakes_->runs()) * compiled_.cells() <= options_.most_work;
  }

  /// Instances of a finding that could be looked at now.
  [[nodiscard]] std::vector<std::size_t> open_places(std::size_t row) const {
    const Finding& finding = network_.pattern.findings[row];
    std::vector<std::size_t> places;
    if (finding.kind == FindingKind::kHidden) return places;
    if (!finding.needs.empty() && !options_.conditions.contains(finding.needs) && !options_.openings.contains(finding.needs)) return places;
    for (std::size_t i = 0; i < network_.instances.size(); ++i)
      if (!network_.instances[i].is_cause && network_.instances[i].row == row && !observed_[i]) places.push_back(i);
    return places;
  }

  void fill_decisions() {
    result_.loss_now_minutes = stakes_->loss(now_);
    const std::vector<double> p = stakes_->probabilities(now_);
    for (std::size_t d = 0; d < p.size(); ++d) result_.decisions[d].probability = p[d];
    for (std::size_t e = 0; e < stakes_->events().size(); ++e)
      if (const internal::Event& event = stakes_->events()[e]; event.decision != internal::kNoDecision)
        result_.decisions[event.decision].left_minutes += event.step_minutes * std::max(now_.event[e], 0.0);
    if (stakes_->has_target()) result_.target_now = internal::clamped(now_.event.back());
    for (Decision& decision : result_.decisions) decision.take = decision.left_minutes > decision.put_right_minutes;
  }

  void find_uncertainty() {
    internal::CauseChances causes(network_, compiled_);
    const auto chances = causes.under({});
    present_.assign(network_.instances.size(), 0.0);
    for (std::size_t c = 0; c < chances.present.size(); ++c) present_[causes.instances()[c]] = internal::clamped(chances.present[c]);
  }

  /// How unsettled the causes of an instance are: sum of strength^2 p (1 - p). Only ranks places of one finding.
  [[nodiscard]] double uncertainty(std::size_t i) const {
    double sum = 0;
    for (const Influence& influence : network_.instances[internal::felt_instance(network_, i)].parents) {
      const double p = present_[influence.parent];
      sum += influence.strength.front() * influence.strength.front() * p * (1 - p);
    }
    return sum;
  }

  void score_finding(std::size_t row) {
    std::vector<std::size_t> places = open_places(row);
    if (places.empty()) return;
    const std::size_t open = places.size();
    if (open > options_.places_scored) {
      std::stable_sort(places.begin(), places.end(), [this](std::size_t a, std::size_t b) { return uncertainty(a) > uncertainty(b); });
      places.resize(std::max<std::size_t>(options_.places_scored, 1));
    }
    std::optional<Check> best;
    Outcomes best_outcomes;
    for (std::size_t instance : places) {
      Outcomes of = outcomes(instance);
      Check check = score(instance, of);
      if (best && !(check.net_minutes > best->net_minutes + kTieMinutes)) continue;
      best = std::move(check);
      best_outcomes = std::move(of);
    }
    best->places = open;
    result_.checks.push_back(std::move(*best));
    outcomes_.emplace(result_.checks.back().instance, std::move(best_outcomes));
  }

  Check score(std::size_t instance, const Outcomes& of) {
    Check check;
    check.instance = instance;
    double after = 0;
    for (const Joint& outcome : mix(of.coefficient, of.joints)) {
      after += stakes_->loss(outcome);
      check.outcome_probability.push_back(std::max(outcome.all, 0.0));
      check.decision_probability.push_back(outcome.all > 0 ? stakes_->probabilities(outcome) : std::vector<double>{});
      if (stakes_->has_target())
        check.target_probability.push_back(outcome.all > 0 ? internal::clamped(outcome.event.back() / outcome.all) : 0.0);
    }
    check.value_minutes = result_.loss_now_minutes - after;
    check.cost_minutes = cost_of({instance});
    check.net_minutes = check.value_minutes - check.cost_minutes;
    return check;
  }

  /// Hands-on time and price of all, each set-up not done yet once.
  [[nodiscard]] double cost_of(const std::vector<std::size_t>& instances) const {
    double cost = 0;
    std::set<std::string> set_ups = options_.set_ups_done;
    for (std::size_t instance : instances) {
      const Finding& finding = network_.finding(instance);
      cost += finding.minutes + finding.price_minutes;
      if (!finding.set_up.empty() && set_ups.insert(finding.set_up).second)
        cost += network_.pattern.set_ups[static_cast<std::size_t>(network_.pattern.set_up(finding.set_up))].minutes;
    }
    return cost;
  }

  /// Joint of a term with its factor.
  Joint joint_of(const CompiledNetwork::Term& term) {
    Joint result = term.trial.weighted.empty() ? now_ : stakes_->joint(term.trial, evidence_);
    scale(result, term.factor);
    return result;
  }

  Outcomes outcomes(std::size_t instance) {
    const std::size_t felt = internal::felt_instance(network_, instance);
    StateTrials trials = internal::state_trials(network_, compiled_, felt);
    Outcomes result{std::move(trials.terms), {}, std::move(trials.coefficient)};
    for (const CompiledNetwork::Term& term : result.terms) result.joints.push_back(joint_of(term));
    if (felt == instance) return result;
    const auto& confusion = network_.finding(instance).confusion;
    std::vector<std::vector<double>> by_outcome(network_.instances[instance].states, std::vector<double>(result.terms.size(), 0.0));
    for (std::size_t s = 0; s < confusion.size(); ++s)
      for (std::size_t t = 0; t < by_outcome.size(); ++t)
        for (std::size_t k = 0; k < result.terms.size(); ++k) by_outcome[t][k] += confusion[s][t] * result.coefficient[s][k];
    result.coefficient = std::move(by_outcome);
    return result;
  }

  // ---- packs ----

  /// Both looked at: every pair of terms, those without weights taken over from the other.
  Outcomes together(const Outcomes& a, const Outcomes& b) {
    Outcomes result;
    for (std::size_t i = 0; i < a.terms.size(); ++i)
      for (std::size_t j = 0; j < b.terms.size(); ++j) {
        CompiledNetwork::Term term{a.terms[i].factor * b.terms[j].factor, a.terms[i].trial};
        const auto& more = b.terms[j].trial.weighted;
        term.trial.weighted.insert(term.trial.weighted.end(), more.begin(), more.end());
        Joint joint;
        if (more.empty()) {
          joint = a.joints[i];
          scale(joint, b.terms[j].factor);
        } else if (a.terms[i].trial.weighted.empty()) {
          joint = b.joints[j];
          scale(joint, a.terms[i].factor);
        } else {
          joint = joint_of(term);
        }
        result.terms.push_back(std::move(term));
        result.joints.push_back(std::move(joint));
      }
    for (const auto& row_a : a.coefficient)
      for (const auto& row_b : b.coefficient) {
        result.coefficient.emplace_back();
        for (double x : row_a)
          for (double y : row_b) result.coefficient.back().push_back(x * y);
      }
    return result;
  }

  Pack pack_of(std::vector<std::size_t> checks, const Outcomes& of) const {
    double after = 0;
    for (const Joint& outcome : mix(of.coefficient, of.joints)) after += stakes_->loss(outcome);
    std::vector<std::size_t> instances;
    for (std::size_t c : checks) instances.push_back(result_.checks[c].instance);
    Pack pack{std::move(checks), result_.loss_now_minutes - after, cost_of(instances), 0};
    pack.net_minutes = pack.value_minutes - pack.cost_minutes;
    return pack;
  }

  /// Worth more than its best member alone, and not better done one after the other.
  [[nodiscard]] bool is_worth_it(const Pack& pack) const {
    double best = 0;
    double sum = 0;
    std::set<std::string> set_ups;
    std::size_t shared = 0;
    for (std::size_t c : pack.checks) {
      best = std::max(best, result_.checks[c].net_minutes);
      sum += result_.checks[c].value_minutes;
      const std::string& set_up = network_.finding(result_.checks[c].instance).set_up;
      if (!set_up.empty() && !set_ups.insert(set_up).second) ++shared;
    }
    return pack.net_minutes > best + 1 && (shared + 1 == pack.checks.size() || pack.value_minutes > sum + kTieMinutes);
  }

  /// Pairs of the checks whose worth most exceeds their hands-on time, and the best pair with a third.
  void find_packs() {
    std::vector<std::size_t> candidates(result_.checks.size());
    for (std::size_t c = 0; c < candidates.size(); ++c) candidates[c] = c;
    const auto worth = [this](std::size_t c) {
      const Finding& finding = network_.finding(result_.checks[c].instance);
      return result_.checks[c].value_minutes - finding.minutes - finding.price_minutes;
    };
    std::stable_sort(candidates.begin(), candidates.end(), [&](std::size_t a, std::size_t b) { return worth(a) > worth(b); });
    if (candidates.size() > options_.pack_candidates) candidates.resize(options_.pack_candidates);
    const auto of = [this](std::size_t c) -> const Outcomes& { return outcomes_.at(result_.checks[c].instance); };
    std::optional<Pack> best;
    Outcomes best_outcomes;
    for (std::size_t i = 0; i < candidates.size(); ++i)
      for (std::size_t j = i + 1; j < candidates.size(); ++j) {
        Outcomes both = together(of(candidates[i]), of(candidates[j]));
        Pack pack = pack_of({candidates[i], candidates[j]}, both);
        if (is_worth_it(pack)) result_.packs.push_back(pack);
        if (best && pack.net_minutes <= best->net_minutes) continue;
        best = std::move(pack);
        best_outcomes = std::move(both);
      }
    for (std::size_t third : candidates) {
      if (!best || std::find(best->checks.begin(), best->checks.end(), third) != best->checks.end()) continue;
      Pack pack = pack_of({best->checks[0], best->checks[1], third}, together(best_outcomes, of(third)));
      if (is_worth_it(pack) && pack.net_minutes > best->net_minutes + 1) result_.packs.push_back(std::move(pack));
    }
    std::stable_sort(result_.packs.begin(), result_.packs.end(),
                     [](const Pack& a, const Pack& b) { return a.net_minutes > b.net_minutes; });
  }

  static void scale(Joint& joint, double factor) {
    joint.all *= factor;
    for (double& value : joint.event) value *= factor;
  }

  static std::vector<Joint> mix(const std::vector<std::vector<double>>& coefficient, const std::vector<Joint>& terms) {
    std::vector<Joint> result;
    for (const auto& row : coefficient) {
      Joint sum{0, std::vector<double>(terms.front().event.size(), 0.0)};
      for (std::size_t t = 0; t < terms.size(); ++t) {
        sum.all += row[t] * terms[t].all;
        for (std::size_t e = 0; e < sum.event.size(); ++e) sum.event[e] += row[t] * terms[t].event[e];
      }
      result.push_back(std::move(sum));
    }
    return result;
  }

  void order_checks() {
    const auto worth = [](const Check& check) { return std::round(check.net_minutes / kTieMinutes); };
    std::stable_sort(result_.checks.begin(), result_.checks.end(), [&](const Check& a, const Check& b) { return worth(a) > worth(b); });
    for (std::size_t a = 0; a < result_.checks.size(); ++a)
      for (std::size_t b = 0; b < result_.checks.size(); ++b) {
        const std::string& set_up = network_.finding(result_.checks[a].instance).set_up;
        if (a != b && !set_up.empty() && set_up == network_.finding(result_.checks[b].instance).set_up)
          result_.checks[a].shares_set_up.push_back(b);
      }
  }

  const InstanceNetwork& network_;
  const CheckOptions& options_;
  bool decisions_only_;
  CompiledNetwork compiled_;
  std::vector<bool> observed_;
  LogValue evidence_;
  std::optional<internal::Stakes> stakes_;
  Joint now_;
  std::vector<double> present_;
  std::map<std::size_t, Outcomes> outcomes_;  ///< [instance] of the checks kept
  NextChecks result_;
};

}  // namespace

NextChecks rank_checks(const InstanceNetwork& network, const std::vector<Observation>& observations, const CheckOptions& options) {
  NextChecks ranked = Ranking(network, observations, options, options.decisions_only).rank();
  if (ranked.status != Status::kDone) return ranked;
  const NextChecks before = Ranking(network, {}, options, true).rank();
  for (std::size_t d = 0; d < ranked.decisions.size(); ++d) ranked.decisions[d].before = before.decisions[d].probability;
  return ranked;
}

}  // namespace headjoint::diagnosis
