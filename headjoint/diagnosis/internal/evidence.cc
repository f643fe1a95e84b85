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
  for (std::size_t k = 0; k < states; ++k) {
    StateTrials::Term term;
    if (variable >= 0) {
      std::vector<double> only(states, 0.0);
      only[k] = 1;
      term.trial.weighted.push_back({static_cast<Variable>(variable), only});
    } else if (k + 1 < states) {
      term.factor = compiled.hold_at_most(term.trial, instance, k);
    }
    result.terms.push_back(std::move(term));
    std::vector<double> coefficient(states, 0.0);
    coefficient[k] = 1;
    if (variable < 0 && k > 0) coefficient[k - 1] = -1;
    result.coefficient.push_back(coefficient);
  }
  return result;
}

CauseVariables cause_variables(const InstanceNetwork& network, const CompiledNetwork& compiled) {
  CauseVariables result;
  for (std::size_t i = 0; i < network.instances.size(); ++i)
    if (network.instances[i].is_cause) {
      result.instances.push_back(i);
      result.variables.push_back(static_cast<Variable>(compiled.variable(i)));
    }
  return result;
}

double present(const std::vector<double>& marginal) { return std::clamp(1 - marginal[0], 0.0, 1.0); }

}  // namespace headjoint::diagnosis::internal
