#pragma once

#include <vector>

#include "headjoint/diagnosis/internal/factor_graph.h"

namespace headjoint::diagnosis::internal {

/// One bucket of variable elimination: the variable and the later ones its table spans.
struct Bucket {
  Variable variable = 0;
  std::vector<Variable> rest;  ///< in order of elimination
};

/// Order in which variables are summed out, with the tables that makes.
struct Elimination {
  std::vector<Bucket> buckets;    ///< in order of elimination
  std::vector<std::size_t> rank;  ///< [variable] position in the order
  double cells = 0;               ///< sum of the sizes of all tables
};

/// What the greedy search makes small at each step.
enum class Greed {
  kFill,   ///< the weight of the edges that elimination adds (weighted min-fill)
  kTable,  ///< the table that elimination makes (min-weight)
};

/// Greedy order. Variables of a lower stage go before those of a higher one; ties go to the lower index, so the order is repeatable.
/// @param stage  one per variable, or empty: all alike
/// @param limit  gives up, with only `cells` to be used, once there are so many cells
[[nodiscard]] Elimination order_greedily(const FactorGraph& graph, const std::vector<int>& stage, Greed greed, double limit);

/// The order with the fewest cells among several stagings and both kinds of greed.
[[nodiscard]] Elimination best_order(const FactorGraph& graph, const std::vector<std::vector<int>>& stagings);

}  // namespace headjoint::diagnosis::internal
