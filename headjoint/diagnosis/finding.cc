#include "headjoint/diagnosis/finding.h"

#include <algorithm>
#include <cmath>

#include "headjoint/base/error.h"
#include "headjoint/base/text.h"
#include "headjoint/diagnosis/internal/case.h"
#include "headjoint/diagnosis/internal/conflict.h"

namespace headjoint::diagnosis {

using internal::Case;
using internal::CauseChances;
using internal::CompiledNetwork;
using internal::Likelihoods;
using internal::LogValue;
using internal::Look;
using internal::Numbers;
using internal::Trial;

namespace internal {
namespace {

/// Instances looked at more than once.
std::vector<bool> looked_at_twice(const InstanceNetwork& network, const std::vector<Look>& looks) {
  std::vector<bool> once(network.instances.size(), false);
  std::vector<bool> twice(network.instances.size(), false);
  for (const Look& look : looks) {
    twice[look.instance] = once[look.instance];
    once[look.instance] = true;
  }
  return twice;
}

}  // namespace

Case::Case(const InstanceNetwork& engine, const std::vector<Observation>& observations, const DiagnosisOptions& wanted)
    : network(engine),
      options(wanted),
      looks(looks_of(engine, observations)),
      likelihoods(combined(engine, looks)),
      compiled(engine, likelihoods, {false, false, looked_at_twice(engine, looks)}),
      prior(engine, Likelihoods(engine.instances.size()), {true, false, {}}),
      chances(engine, compiled) {}

Trial Case::with_numbers(std::size_t instance, const Numbers& numbers) const {
  Trial trial;
  compiled.replace(trial, instance, likelihoods[instance], numbers);
  return trial;
}

}  // namespace internal

namespace {

/// All within rounding of 0 ... 1.
bool sound(const std::vector<double>& chances) {
  return std::all_of(chances.begin(), chances.end(), [](double p) { return p >= -kAccuracy && p <= 1 + kAccuracy; });
}

Diagnosis failed(Case& at_hand, Status status) {
  Diagnosis diagnosis;
  diagnosis.status = status;
  diagnosis.relative_error = at_hand.result.relative_error;
  diagnosis.conflicting = at_hand.result.conflicting;
  return diagnosis;
}

void find_conflicting(Case& at_hand) {
  at_hand.result.conflicting = internal::conflicting_pieces(at_hand.looks.size(), [&](const std::vector<bool>& used) {
    CompiledNetwork some(at_hand.network, internal::combined(at_hand.network, at_hand.looks, used), {});
    if (some.too_large()) return false;
    const LogValue total = some.tree().total(true);
    return total.sign > 0 && total.error < 1;
  });
}

/// Chances of the causes, and the posterior of the findings that are variables of the tree: hidden and measured nodes.
bool find_posteriors(Case& at_hand) {
  const InstanceNetwork& network = at_hand.network;
  std::vector<std::size_t> others;
  for (std::size_t i = 0; i < network.instances.size(); ++i)
    if (!network.instances[i].is_cause && at_hand.compiled.variable(i) >= 0) others.push_back(i);
  const CauseChances::Chances now = at_hand.chances.under({}, others);
  const CauseChances::Chances before = CauseChances(network, at_hand.prior).under({});
  if (!(now.disagreement <= kAccuracy) || !sound(now.present) || !sound(before.present)) return false;
  Diagnosis& result = at_hand.result;
  result.states.resize(network.instances.size());
  for (std::size_t c = 0; c < now.present.size(); ++c) {
    const double posterior = internal::clamped(now.present[c]);
    const std::size_t instance = at_hand.chances.instances()[c];
    result.causes.push_back({instance, internal::clamped(before.present[c]), posterior, posterior, posterior});
    result.states[instance] = {1 - posterior, posterior};
  }
  for (std::size_t k = 0; k < others.size(); ++k)
    for (double p : now.others[k]) result.states[others[k]].push_back(internal::clamped(p));
  return true;
}

void choose_leading(Case& at_hand) {
  const auto& causes = at_hand.result.causes;
  std::vector<std::size_t> order;
  for (std::size_t c = 0; c < causes.size(); ++c) {
    const Cause& cause = at_hand.network.cause(causes[c].instance);
    if (!cause.decision.empty() || cause.layer == Layer::kRoot || cause.layer == Layer::kPath) order.push_back(c);
  }
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return causes[a].posterior > causes[b].posterior; });
  if (order.size() > at_hand.options.leading) order.resize(at_hand.options.leading);
  at_hand.leading = std::move(order);
}

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
  Case at_hand(network, observations, options);
  if (at_hand.compiled.too_large() || at_hand.prior.too_large()) return failed(at_hand, Status::kTooLarge);
  Diagnosis& result = at_hand.result;
  const LogValue total = at_hand.compiled.tree().total(true);
  result.relative_error = total.error;
  if (total.sign == 0 || !(total.error < 1)) {
    find_conflicting(at_hand);
    return failed(at_hand, result.conflicting.empty() ? Status::kInaccurate : Status::kImpossible);
  }
  if (total.sign < 0 || !(total.error <= kErrorBound)) return failed(at_hand, Status::kInaccurate);
  result.log_evidence = total.log;
  at_hand.evidence = total;
  if (!find_posteriors(at_hand)) return failed(at_hand, Status::kInaccurate);
  choose_leading(at_hand);
  const auto affordable = [&](double runs) { return runs * at_hand.compiled.cells() <= options.most_work; };
  const double seen = static_cast<double>(at_hand.looks.size());
  result.bands_done = options.bands && affordable(4 * seen + 2 * static_cast<double>(at_hand.leading.size()));
  result.weights_done = options.weights && affordable(seen);
  if (result.weights_done) internal::find_weights(at_hand);
  if (result.weights_done) internal::find_explanation(at_hand);
  if (result.bands_done) internal::find_bands(at_hand);
  result.status = Status::kDone;
  return std::move(result);
}

}  // namespace headjoint::diagnosis
