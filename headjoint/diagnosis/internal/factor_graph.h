#pragma once

#include <cstddef>
#include <vector>

namespace headjoint::diagnosis::internal {

using Variable = std::size_t;

/// A table over some variables, the last one fastest. Entries may be negative (see compiled_network.h).
struct Factor {
  std::vector<Variable> scope;
  std::vector<double> table;
};

/// A function of discrete variables: the product of all factors.
struct FactorGraph {
  std::vector<std::size_t> states;  ///< [variable]
  std::vector<Factor> factors;

  Variable add_variable(std::size_t state_count) {
    states.push_back(state_count);
    return states.size() - 1;
  }
};

}  // namespace headjoint::diagnosis::internal
