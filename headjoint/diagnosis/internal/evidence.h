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
  std::vector<CompiledNetwork::Term> terms;
  std::vector<std::vector<double>> coefficient;  ///< [state][term]
};

[[nodiscard]] StateTrials state_trials(const InstanceNetwork& network, const CompiledNetwork& compiled, std::size_t instance);

/// Chances of being there of all causes under a trial: those in the tree by their marginals, flags by holding them absent.
class CauseChances {
 public:
  CauseChances(const InstanceNetwork& network, CompiledNetwork& compiled);

  struct Chances {
    LogValue total;
    std::vector<double> present;              ///< [as in instances()], unclamped; empty when total is 0
    std::vector<std::vector<double>> others;  ///< [as asked][state]
    double disagreement = 0;
  };
  /// @param others  instances that are variables of the tree, whose states are wanted beside the causes
  [[nodiscard]] Chances under(const Trial& trial, const std::vector<std::size_t>& others = {});
  /// The same for some causes only, by position in instances().
  [[nodiscard]] Chances of(const std::vector<std::size_t>& positions, const Trial& trial, const std::vector<std::size_t>& others = {});

  [[nodiscard]] const std::vector<std::size_t>& instances() const { return instances_; }

 private:
  CompiledNetwork& compiled_;
  std::vector<std::size_t> instances_;  ///< all cause instances, in network order
  std::vector<std::size_t> all_;        ///< 0, 1, 2 ...
  std::vector<Trial> flag_absent_;      ///< one per flag
  std::vector<int> flag_of_;            ///< [position] index into flag_absent_, or -1
};

/// To 0 ... 1.
[[nodiscard]] double clamped(double chance);

}  // namespace headjoint::diagnosis::internal
