#pragma once

#include <vector>

#include "headjoint/diagnosis/finding.h"
#include "headjoint/diagnosis/internal/compiled_network.h"

namespace headjoint::diagnosis::internal {

/// An observation as the network feels it: a likelihood over the states of one noisy node.
struct Look {
  std::size_t instance = 0;
  std::vector<double> likelihood;
};

/// The node an instance's state is a state of: itself, or the one it reads.
[[nodiscard]] std::size_t felt_instance(const InstanceNetwork& network, std::size_t instance);

/// Likelihood over the measured node's states from one over a reading's own states.
[[nodiscard]] std::vector<double> through_confusion(const Finding& finding, const std::vector<double>& own);

/// @throws ContractError when check_observations has errors
[[nodiscard]] std::vector<Look> looks_of(const InstanceNetwork& network, const std::vector<Observation>& observations);

/// Product of the looks at each instance; looks with used[i] false are left out (an empty `used` takes all).
[[nodiscard]] Likelihoods combined(const InstanceNetwork& network, const std::vector<Look>& looks, const std::vector<bool>& used = {});

/// Probability of each state of an instance not seen yet, and the trials that carry it:
/// P(state k, anything) = sum over cumulatives of coefficient[k] * value.
///
/// In the tree as a variable: one trial per state. Summed out: one trial per cumulative, P(y = k) = F_k - F_(k-1).
struct StateTrials {
  struct Term {
    Trial trial;
    double factor = 1;
  };
  std::vector<Term> terms;
  std::vector<std::vector<double>> coefficient;  ///< [state][term]
};

[[nodiscard]] StateTrials state_trials(const InstanceNetwork& network, const CompiledNetwork& compiled, std::size_t instance);

/// Variables of all cause instances and which instance each belongs to.
struct CauseVariables {
  std::vector<std::size_t> instances;
  std::vector<Variable> variables;
};

[[nodiscard]] CauseVariables cause_variables(const InstanceNetwork& network, const CompiledNetwork& compiled);

/// P(present): all states above the lowest, clamped to 0 ... 1.
[[nodiscard]] double present(const std::vector<double>& marginal);

}  // namespace headjoint::diagnosis::internal
