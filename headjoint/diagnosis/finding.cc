#include "headjoint/diagnosis/finding.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "headjoint/base/error.h"
#include "headjoint/base/text.h"
#include "headjoint/diagnosis/internal/conflict.h"
#include "headjoint/diagnosis/internal/evidence.h"

namespace headjoint::diagnosis {
namespace {

using internal::CauseChances;
using internal::CompiledNetwork;
using internal::Likelihoods;
using internal::LogValue;
using internal::Look;
using internal::Marginals;
using internal::Numbers;
using internal::Trial;
using internal::Variable;

constexpr double kHalfDecade = 3.1622776601683795;  // sqrt 10

/// Value with its odds moved by a factor; 0 and 1 stay.
double with_odds(double value, double factor) { return value <= 0 || value >= 1 ? value : value * factor / (1 - value + value * factor); }

double log10_odds(double p) {
  if (!(p > 0)) return -kLargestWeight;
  if (!(p < 1)) return kLargestWeight;
  return std::clamp(std::log10(p / (1 - p)), -kLargestWeight, kLargestWeight);
}

/// All within rounding of 0 ... 1.
bool sound(const std::vector<double>& chances) {
  return std::all_of(chances.begin(), chances.end(), [](double p) { return p >= -kAccuracy && p <= 1 + kAccuracy; });
}

/// One run of diagnose(): the compiled network and what is filled in step by step.
class Run {
 public:
  Run(const InstanceNetwork& network, const std::vector<Observation>& observations, const DiagnosisOptions& options)
      : network_(network),
        options_(options),
        looks_(internal::looks_of(network, observations)),
        likelihoods_(internal::combined(network, looks_)),
        compiled_(network, likelihoods_, {false, false, looked_at_twice()}),
        prior_(network, Likelihoods(network.instances.size()), {true, false, {}}) {}

  Diagnosis diagnose() {
    if (compiled_.too_large() || prior_.too_large()) return failed(Status::kTooLarge);
    const LogValue total = compiled_.tree().total(true);
    result_.relative_error = total.error;
    if (total.sign == 0 || !(total.error < 1)) {
      find_conflicting();
      return failed(result_.conflicting.empty() ? Status::kInaccurate : Status::kImpossible);
    }
    if (total.sign < 0 || !(total.error <= kErrorBound)) return failed(Status::kInaccurate);
    result_.log_evidence = total.log;
    evidence_ = total;
    if (!find_posteriors()) return failed(Status::kInaccurate);
    choose_leading();
    const double seen = static_cast<double>(looks_.size());
    result_.bands_done = options_.bands && affordable(4 * seen + 2 * static_cast<double>(leading_.size()));
    result_.weights_done = options_.weights && affordable(seen);
    if (result_.weights_done) find_weights();
    if (result_.weights_done) find_explanation();
    if (result_.bands_done) find_bands();
    result_.status = Status::kDone;
    return std::move(result_);
  }

 private:
  [[nodiscard]] bool affordable(double runs) const { return runs * compiled_.cells() <= options_.most_work; }

  [[nodiscard]] std::vector<bool> looked_at_twice() const {
    std::vector<bool> twice(network_.instances.size(), false);
    for (std::size_t i = 0; i < looks_.size(); ++i)
      for (std::size_t j = 0; j < i; ++j)
        if (looks_[i].instance == looks_[j].instance) twice[looks_[i].instance] = true;
    return twice;
  }

  Diagnosis failed(Status status) {
    Diagnosis diagnosis;
    diagnosis.status = status;
    diagnosis.relative_error = result_.relative_error;
    diagnosis.conflicting = result_.conflicting;
    return diagnosis;
  }

  void find_conflicting() {
    result_.conflicting = internal::conflicting_pieces(looks_.size(), [this](const std::vector<bool>& used) {
      CompiledNetwork some(network_, internal::combined(network_, looks_, used), {});
      if (some.too_large()) return false;
      const LogValue total = some.tree().total(true);
      return total.sign > 0 && total.error < 1;
    });
  }

  bool find_posteriors() {
    chances_.emplace(network_, compiled_);
    const CauseChances::Chances now = chances_->under({});
    const CauseChances::Chances before = CauseChances(network_, prior_).under({});
    if (!(now.disagreement <= kAccuracy) || !sound(now.present) || !sound(before.present)) return false;
    result_.states.resize(network_.instances.size());
    for (std::size_t c = 0; c < now.present.size(); ++c) {
      const double posterior = internal::clamped(now.present[c]);
      const std::size_t instance = chances_->instances()[c];
      result_.causes.push_back({instance, internal::clamped(before.present[c]), posterior, posterior, posterior});
      result_.states[instance] = {1 - posterior, posterior};
    }
    find_states();
    return true;
  }

  /// Posterior of the findings that are variables of the tree: hidden and measured nodes.
  void find_states() {
    std::vector<Variable> wanted;
    std::vector<std::size_t> instances;
    for (std::size_t i = 0; i < network_.instances.size(); ++i)
      if (!network_.instances[i].is_cause && compiled_.variable(i) >= 0) {
        instances.push_back(i);
        wanted.push_back(static_cast<Variable>(compiled_.variable(i)));
      }
    const Marginals marginals = compiled_.tree().marginals({}, wanted);
    for (std::size_t k = 0; k < instances.size(); ++k)
      for (double p : marginals.values[k]) result_.states[instances[k]].push_back(internal::clamped(p));
  }

  /// Positions in result_.causes of the leading causes.
  void choose_leading() {
    std::vector<std::size_t> order;
    for (std::size_t c = 0; c < result_.causes.size(); ++c) {
      const Cause& cause = network_.cause(result_.causes[c].instance);
      if (!cause.decision.empty() || cause.layer == Layer::kRoot || cause.layer == Layer::kPath) order.push_back(c);
    }
    std::stable_sort(order.begin(), order.end(),
                     [this](std::size_t a, std::size_t b) { return result_.causes[a].posterior > result_.causes[b].posterior; });
    if (order.size() > options_.leading) order.resize(options_.leading);
    leading_ = std::move(order);
  }

  /// Positions in result_.causes that get a band: the target, the leading ones, then the likeliest.
  void choose_banded() {
    std::vector<std::size_t> order;
    for (std::size_t c = 0; c < result_.causes.size(); ++c) order.push_back(c);
    const auto always = [this](std::size_t c) {
      return network_.instances[result_.causes[c].instance].name == options_.target ||
             std::find(leading_.begin(), leading_.end(), c) != leading_.end();
    };
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
      if (always(a) != always(b)) return always(a);
      return result_.causes[a].posterior > result_.causes[b].posterior;
    });
    for (std::size_t c : order)
      if (always(c) || (result_.causes[c].posterior >= options_.band_floor && banded_.size() < options_.most_bands)) banded_.push_back(c);
    std::sort(banded_.begin(), banded_.end());
  }

  /// Chances of the banded causes under a trial, jointly with what was observed and relative to P(observed).
  struct Joint {
    double all = 0;
    std::vector<double> present;
  };
  [[nodiscard]] Joint joint(const Trial& trial) {
    const CauseChances::Chances chances = chances_->under(trial, banded_);
    Joint result{chances.total.over(evidence_), chances.present};
    for (double& p : result.present) p *= result.all;
    return result;
  }

  void widen(const Joint& moved) {
    if (!(moved.all > 0) || moved.present.empty()) return;
    for (std::size_t b = 0; b < banded_.size(); ++b) {
      const double p = internal::clamped(moved.present[b] / moved.all);
      CausePosterior& cause = result_.causes[banded_[b]];
      cause.low = std::min(cause.low, p);
      cause.high = std::max(cause.high, p);
    }
  }

  void find_bands() {
    std::vector<bool> seen(network_.instances.size(), false);
    for (std::size_t i = 0; i < looks_.size(); ++i)
      if (weighs(i)) seen[looks_[i].instance] = true;
    choose_banded();
    now_ = joint({});
    for (std::size_t i = 0; i < network_.instances.size(); ++i) {
      if (!seen[i]) continue;
      move_strengths(i);
      if (compiled_.feels_leak(i)) move_leak(i);
    }
    for (std::size_t c : leading_) move_leak(result_.causes[c].instance);
  }

  /// Whether an observation moves any of the causes weighed; all do where nothing was weighed.
  [[nodiscard]] bool weighs(std::size_t look) const {
    return result_.weights.empty() || std::any_of(result_.weights.begin(), result_.weights.end(), [&](const Weights& weights) {
             return std::abs(weights.weight[look]) >= options_.band_weight;
           });
  }

  void note(std::size_t instance, bool strengths, bool up, const Joint& moved) {
    if (!(moved.all > 0) || moved.present.empty()) return;
    for (std::size_t b = 0; b < banded_.size(); ++b)
      if (network_.instances[result_.causes[banded_[b]].instance].name == options_.target)
        result_.moved.push_back({instance, strengths, up, internal::clamped(moved.present[b] / moved.all)});
  }

  // ---- the best explanation of few causes ----

  [[nodiscard]] Trial all_there(const CompiledNetwork& compiled, const std::vector<std::size_t>& instances) const {
    Trial trial;
    for (std::size_t i : instances) trial.weighted.push_back({static_cast<Variable>(compiled.variable(i)), {0, 1}});
    return trial;
  }

  /// That all are there with nothing observed; 0 where one of several is a flag, which has no variable then.
  [[nodiscard]] double all_there_before(const std::vector<std::size_t>& instances) {
    for (std::size_t i : instances) {
      if (prior_.variable(i) >= 0) continue;
      if (instances.size() > 1) return 0;
      const auto cause = std::find_if(result_.causes.begin(), result_.causes.end(), [i](const auto& c) { return c.instance == i; });
      return cause->prior;
    }
    return internal::clamped(prior_.tree().total(all_there(prior_, instances)).over({}));
  }

  [[nodiscard]] Explanation explained_by(std::vector<std::size_t> instances) {
    const double posterior = internal::clamped(compiled_.tree().total(all_there(compiled_, instances)).over(evidence_));
    const double before = all_there_before(instances);
    const double factor = before > 0 && before < 1 ? posterior * (1 - before) / (std::max(1 - posterior, 1e-12) * before) : 0.0;
    return {std::move(instances), posterior, factor};
  }

  /// Grown one cause at a time from those the evidence raised, while the factor grows by half.
  void find_explanation() {
    constexpr std::size_t kMostCauses = 3;
    constexpr std::size_t kMostCandidates = 6;
    constexpr double kRaised = 2;
    constexpr double kLeast = 0.05;
    constexpr double kWorthACause = 1.5;
    std::vector<const CausePosterior*> candidates;
    for (const CausePosterior& cause : result_.causes) {
      const Layer layer = network_.cause(cause.instance).layer;
      const bool is_kind = layer == Layer::kAny && network_.instances[cause.instance].name != options_.target;
      if ((layer == Layer::kPath || layer == Layer::kRival || is_kind) && cause.posterior >= kLeast &&
          cause.posterior >= kRaised * cause.prior && compiled_.variable(cause.instance) >= 0)
        candidates.push_back(&cause);
    }
    std::stable_sort(candidates.begin(), candidates.end(),
                     [](const CausePosterior* a, const CausePosterior* b) { return a->posterior > b->posterior; });
    if (candidates.size() > kMostCandidates) candidates.resize(kMostCandidates);
    for (std::size_t size = 1; size <= kMostCauses; ++size) {
      Explanation best;
      for (const CausePosterior* candidate : candidates) {
        std::vector<std::size_t> with = result_.explanation.instances;
        if (std::find(with.begin(), with.end(), candidate->instance) != with.end()) continue;
        with.push_back(candidate->instance);
        Explanation tried = explained_by(std::move(with));
        if (tried.bayes_factor > best.bayes_factor) best = std::move(tried);
      }
      if (!(best.bayes_factor > kWorthACause * std::max(result_.explanation.bayes_factor, 1.0))) return;
      result_.explanation = std::move(best);
    }
  }

  [[nodiscard]] Trial with_numbers(std::size_t instance, const Numbers& numbers) const {
    Trial trial;
    compiled_.replace(trial, instance, likelihoods_[instance], numbers);
    return trial;
  }

  void move_strengths(std::size_t instance) {
    for (double factor : {kHalfDecade, 1 / kHalfDecade}) {
      Numbers numbers = internal::numbers_of(network_.instances[instance]);
      for (auto& strength : numbers.strength)
        for (double& s : strength) s = with_odds(s, factor);
      const Trial trial = with_numbers(instance, numbers);
      if (trial.replaced.empty()) continue;
      const Joint moved = joint(trial);
      widen(moved);
      note(instance, true, factor > 1, moved);
    }
  }

  /// Every joint chance is linear in the leaks of one node. With a single leak two points give the third.
  void move_leak(std::size_t instance) {
    const Numbers numbers = internal::numbers_of(network_.instances[instance]);
    Numbers up = numbers;
    Numbers down = numbers;
    for (double& leak : up.leak) leak = with_odds(leak, kHalfDecade);
    for (double& leak : down.leak) leak = with_odds(leak, 1 / kHalfDecade);
    const Trial trial = with_numbers(instance, up);
    if (trial.replaced.empty()) return;
    const Joint high = joint(trial);
    widen(high);
    const bool is_line = numbers.leak.size() == 1 && !high.present.empty();
    const Joint low =
        is_line ? on_line(high, (down.leak[0] - numbers.leak[0]) / (up.leak[0] - numbers.leak[0])) : joint(with_numbers(instance, down));
    widen(low);
    note(instance, false, true, high);
    note(instance, false, false, low);
  }

  /// now_ + share * (moved - now_).
  [[nodiscard]] Joint on_line(const Joint& moved, double share) const {
    Joint result{now_.all + share * (moved.all - now_.all), now_.present};
    for (std::size_t c = 0; c < result.present.size(); ++c) result.present[c] += share * (moved.present[c] - now_.present[c]);
    return result;
  }

  void find_weights() {
    std::vector<std::size_t> named;
    for (std::size_t c = 0; c < result_.causes.size(); ++c)
      if (network_.instances[result_.causes[c].instance].name == options_.target) named.push_back(c);
    for (std::size_t c : leading_)
      if (std::find(named.begin(), named.end(), c) == named.end()) named.push_back(c);
    for (std::size_t c : named) result_.weights.push_back({result_.causes[c].instance, {}});
    double log_alone = 0;
    for (std::size_t i = 0; i < looks_.size(); ++i) {
      const CauseChances::Chances without = chances_->under(without_look(i), named);
      for (std::size_t n = 0; n < named.size(); ++n)
        result_.weights[n].weight.push_back(without.total.sign <= 0 ? 0.0
                                                                    : std::clamp(log10_odds(result_.causes[named[n]].posterior) -
                                                                                     log10_odds(internal::clamped(without.present[n])),
                                                                                 -kLargestWeight, kLargestWeight));
      const double alone = std::log(prior_chance(looks_[i]));
      log_alone += alone;
      result_.conflict_drop.push_back((alone - (evidence_.log - without.total.log)) / std::log(2.0));
    }
    result_.conflict = (log_alone - evidence_.log) / std::log(2.0);
    find_poor_fit();
  }

  [[nodiscard]] Trial without_look(std::size_t i) const {
    std::vector<bool> used(looks_.size(), false);
    bool others = false;
    for (std::size_t j = 0; j < looks_.size(); ++j) {
      used[j] = j != i && looks_[j].instance == looks_[i].instance;
      others = others || used[j];
    }
    const std::size_t instance = looks_[i].instance;
    Trial trial;
    compiled_.replace(trial, instance, others ? internal::combined(network_, looks_, used)[instance] : std::vector<double>{},
                      internal::numbers_of(network_.instances[instance]));
    return trial;
  }

  /// P(look) with nothing else known.
  double prior_chance(const Look& look) {
    const internal::StateTrials trials = internal::state_trials(network_, prior_, look.instance);
    double chance = 0;
    for (std::size_t t = 0; t < trials.terms.size(); ++t) {
      double weight = 0;
      for (std::size_t s = 0; s < look.likelihood.size(); ++s) weight += look.likelihood[s] * trials.coefficient[s][t];
      if (weight == 0) continue;
      const LogValue value = prior_.tree().total(trials.terms[t].trial);
      chance += weight * trials.terms[t].factor * value.over({});
    }
    return chance;
  }

  void find_poor_fit() {
    for (std::size_t i = 0; i < looks_.size(); ++i)
      if (result_.conflict_drop[i] >= options_.poor_fit_drop) result_.poor_fit.push_back(i);
    std::stable_sort(result_.poor_fit.begin(), result_.poor_fit.end(),
                     [this](std::size_t a, std::size_t b) { return result_.conflict_drop[a] > result_.conflict_drop[b]; });
  }

  const InstanceNetwork& network_;
  const DiagnosisOptions& options_;
  std::vector<Look> looks_;
  Likelihoods likelihoods_;
  CompiledNetwork compiled_;
  CompiledNetwork prior_;
  LogValue evidence_;
  std::optional<CauseChances> chances_;
  std::vector<std::size_t> leading_;
  std::vector<std::size_t> banded_;
  Joint now_;
  Diagnosis result_;
};

}  // namespace

std::vector<double> seen_state(std::size_t states, std::size_t state) {
  require(state < states, "no such state");
  std::vector<double> likelihood(states, 0.0);
  likelihood[state] = 1;
  return likelihood;
}

Problems check_observations(const InstanceNetwork& network, const std::vector<Observation>& observations) {
  Problems problems;
  std::vector<std::string> names;
  for (const Instance& instance : network.instances)
    if (!instance.is_cause) names.push_back(instance.name);
  for (std::size_t i = 0; i < observations.size(); ++i) {
    const Observation& observation = observations[i];
    const std::string name = observation.place.empty() ? observation.finding : observation.finding + "@" + observation.place;
    const auto add = [&](std::string what, std::string allowed, std::string mend) {
      problems.push_back({{"", 0, 0, "/" + std::to_string(i)}, std::move(what), std::move(allowed), std::move(mend)});
    };
    const int found = network.find(name);
    if (found < 0 || network.instances[static_cast<std::size_t>(found)].is_cause) {
      const auto near = nearest_name(name, names);
      add("no finding \"" + name + "\" on this engine", "", near ? "did you mean \"" + *near + "\"?" : "");
      continue;
    }
    auto instance = static_cast<std::size_t>(found);
    if (observation.over_measured) instance = internal::felt_instance(network, instance);
    const std::size_t states = network.instances[instance].states;
    double sum = 0;
    bool fine = observation.likelihood.size() == states;
    for (double value : observation.likelihood) {
      fine = fine && value >= 0 && std::isfinite(value);
      sum += value;
    }
    if (!fine || !(sum > 0))
      add("the likelihood of \"" + name + "\" does not fit", std::to_string(states) + " numbers, at least one above 0, none below", "");
  }
  return problems;
}

Diagnosis diagnose(const InstanceNetwork& network, const std::vector<Observation>& observations, const DiagnosisOptions& options) {
  return Run(network, observations, options).diagnose();
}

}  // namespace headjoint::diagnosis
