#pragma once

#include <cstddef>
#include <functional>
#include <vector>

#include "headjoint/diagnosis/finding.h"

namespace headjoint::diagnosis::testing {

/// Every joint state of a small instance network with its probability: the definition, with nothing clever. For tests only.
class Enumeration {
 public:
  explicit Enumeration(const InstanceNetwork& network) : network_(network) {}

  /// Sum over all states of P(state) * weight(state); readings are not part of the state.
  double sum(const std::function<double(const std::vector<std::size_t>&)>& weight) const {
    std::vector<std::size_t> state(network_.instances.size(), 0);
    double total = 0;
    walk(0, 1.0, state, [&](double p) { total += p * weight(state); });
    return total;
  }

  /// P(what was seen | state).
  double likelihood(const std::vector<std::size_t>& state, const std::vector<Observation>& observations) const {
    double product = 1;
    for (const Observation& observation : observations) {
      const auto i = static_cast<std::size_t>(network_.find(observation.finding, observation.place));
      const int measured = network_.instances[i].measures;
      if (measured < 0) {
        product *= observation.likelihood[state[i]];
        continue;
      }
      const std::size_t truth = state[static_cast<std::size_t>(measured)];
      if (observation.over_measured) {
        product *= observation.likelihood[truth];
        continue;
      }
      double mixed = 0;
      for (std::size_t t = 0; t < observation.likelihood.size(); ++t)
        mixed += network_.finding(i).confusion[truth][t] * observation.likelihood[t];
      product *= mixed;
    }
    return product;
  }

 private:
  /// P(instance i is in state k | its parents' states).
  double conditional(std::size_t i, std::size_t k, const std::vector<std::size_t>& state) const {
    const auto at_most = [&](std::size_t level) {
      if (level + 1 >= network_.instances[i].states) return 1.0;
      double p = 1 - network_.instances[i].leak[level];
      for (const Influence& parent : network_.instances[i].parents)
        if (state[parent.parent] > 0) p *= 1 - parent.strength[level];
      return p;
    };
    return at_most(k) - (k > 0 ? at_most(k - 1) : 0.0);
  }

  void walk(std::size_t i, double p, std::vector<std::size_t>& state, const std::function<void(double)>& leaf) const {
    if (i == network_.instances.size()) return leaf(p);
    if (network_.instances[i].measures >= 0) return walk(i + 1, p, state, leaf);
    for (std::size_t k = 0; k < network_.instances[i].states; ++k) {
      state[i] = k;
      const double here = conditional(i, k, state);
      if (here > 0) walk(i + 1, p * here, state, leaf);
    }
  }

  const InstanceNetwork& network_;
};

}  // namespace headjoint::diagnosis::testing
