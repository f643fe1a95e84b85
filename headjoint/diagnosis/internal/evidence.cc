#include "headjoint/diagnosis/internal/evidence.h"

#include <algorithm>
#include <cmath>

#include "headjoint/base/error.h"

namespace headjoint::diagnosis::internal {

std::size_t felt_instance(const InstanceNetwork& network, std::size_t instance) {
  const int measured = network.instances[instance].measures;
  return measured >= 0 ? static_cast<std::size_t>(measured) : instance;
}

std::vector<double> through_confusion(const Finding& finding, const std::vector<double>& own) {
  std::vector<double> result;
  for (const auto& row : finding.confusion) {
    double sum = 0;
    for (std::size_t t = 0; t < own.size(); ++t) sum += row[t] * own[t];
    result.push_back(sum);
  }
  return result;
}

std::vector<Look> looks_of(const InstanceNetwork& network, const std::vector<Observation>& observations) {
  require(!has_errors(check_observations(network, observations)), "observations do not fit the network");
  std::vector<Look> looks;
  for (const Observation& observation : observations) {
    const auto instance = static_cast<std::size_t>(network.find(observation.finding, observation.place));
    const bool reads = network.instances[instance].measures >= 0;
    looks.push_back({felt_instance(network, instance), reads && !observation.over_measured
                                                           ? through_confusion(network.finding(instance), observation.likelihood)
                                                           : observation.likelihood});
  }
  return looks;
}

Likelihoods combined(const InstanceNetwork& network, const std::vector<Look>& looks, const std::vector<bool>& used) {
  Likelihoods result(network.instances.size());
  for (std::size_t i = 0; i < looks.size(); ++i) {
    if (!used.empty() && !used[i]) continue;
    std::vector<double>& product = result[looks[i].instance];
    if (product.empty()) product.assign(looks[i].likelihood.size(), 1.0);
    for (std::size_t s = 0; s < product.size(); ++s) product[s] *= looks[i].likelihood[s];
  }
  return result;
}

StateTrials state_trials(const InstanceNetwork& network, const CompiledNetwork& compiled, std::size_t instance) {
  StateTrials result;
  const std::size_t states = network.instances[instance].states;
  const int variable = compiled.variable(instance);
  result.coefficient.resize(states);
  const auto add = [&](CompiledNetwork::Term term, std::size_t plus, std::size_t minus) {
    result.terms.push_back(std::move(term));
    for (std::size_t k = 0; k < states; ++k) result.coefficient[k].push_back(k == plus ? 1.0 : (k == minus ? -1.0 : 0.0));
  };
  for (std::size_t k = 0; k < states; ++k) {
    if (variable >= 0) {
      std::vector<double> only(states, 0.0);
      only[k] = 1;
      CompiledNetwork::Term term;
      term.trial.weighted.push_back({static_cast<Variable>(variable), only});
      add(std::move(term), k, states);
    } else if (k + 1 == states) {
      add({}, k, states);
    } else {
      for (CompiledNetwork::Term& term : compiled.at_most(instance, k)) add(std::move(term), k, k + 1);
    }
  }
  return result;
}

CauseChances::CauseChances(const InstanceNetwork& network, CompiledNetwork& compiled) : compiled_(compiled) {
  for (std::size_t i = 0; i < network.instances.size(); ++i) {
    if (!network.instances[i].is_cause) continue;
    all_.push_back(instances_.size());
    instances_.push_back(i);
    flag_of_.push_back(-1);
    if (compiled.variable(i) >= 0) continue;
    Trial absent;
    compiled.hold_absent(absent, i);
    flag_of_.back() = static_cast<int>(flag_absent_.size());
    flag_absent_.push_back(std::move(absent));
  }
}

CauseChances::Chances CauseChances::under(const Trial& trial, const std::vector<std::size_t>& others) { return of(all_, trial, others); }

CauseChances::Chances CauseChances::of(const std::vector<std::size_t>& positions, const Trial& trial,
                                       const std::vector<std::size_t>& others) {
  std::vector<Variable> wanted;
  std::vector<Trial> absent;
  for (std::size_t p : positions) {
    if (flag_of_[p] < 0)
      wanted.push_back(static_cast<Variable>(compiled_.variable(instances_[p])));
    else
      absent.push_back(flag_absent_[static_cast<std::size_t>(flag_of_[p])]);
  }
  for (std::size_t i : others) wanted.push_back(static_cast<Variable>(compiled_.variable(i)));
  const Marginals marginals = compiled_.tree().evaluate(trial, {wanted, absent});
  Chances result{marginals.total, {}, {}, marginals.disagreement};
  if (marginals.total.sign == 0) return result;
  std::size_t next = 0;
  std::size_t next_flag = 0;
  for (std::size_t p : positions) {
    if (flag_of_[p] < 0)
      result.present.push_back(1 - marginals.values[next++][0]);
    else
      result.present.push_back(1 - marginals.on_top[next_flag++].over(marginals.total));
  }
  result.others.assign(marginals.values.begin() + static_cast<std::ptrdiff_t>(next), marginals.values.end());
  return result;
}

double clamped(double chance) { return std::clamp(chance, 0.0, 1.0); }

}  // namespace headjoint::diagnosis::internal
