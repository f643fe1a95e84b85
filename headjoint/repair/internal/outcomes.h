#pragma once

#include <vector>

#include "headjoint/repair/shop_prices.h"

namespace headjoint::repair {

/// One way an option can come out.
struct Outcome {
  Span cost;
  double chance = 0;
};

/// Ways an option can come out; chances sum to 1.
using Outcomes = std::vector<Outcome>;

[[nodiscard]] double mean_of(const Outcomes& outcomes);

/// The cost that `share` of the cases stay at or below; each outcome at its low, likely and high price with Swanson's weights.
[[nodiscard]] double quantile_of(const Outcomes& outcomes, double share);

}  // namespace headjoint::repair
