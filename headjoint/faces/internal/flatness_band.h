#pragma once

#include <limits>
#include <vector>

#include "headjoint/faces/internal/line_system.h"

namespace headjoint::faces::internal {

/// Least and greatest flatness deviation of places whose readings lie in intervals.
struct FlatnessBand {
  double low = 0;
  double high = std::numeric_limits<double>::infinity();
  bool is_exact = false;       ///< both ends are reached; else the band is wider than need be
  double widened = 0;          ///< by so much every interval was widened, because no heights met them all
  std::vector<double> widens;  ///< [reading] share of its interval in the upper end
};

/// @param system  whose places span a plane
[[nodiscard]] FlatnessBand flatness_band(const LineSystem& system);

}  // namespace headjoint::faces::internal
