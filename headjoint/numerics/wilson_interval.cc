#include "headjoint/numerics/wilson_interval.h"

#include <cmath>

#include "headjoint/base/error.h"

namespace headjoint::numerics {

Interval wilson_interval(std::size_t hits, std::size_t cases, double z) {
  require(hits <= cases, "no more hits than cases");
  if (cases == 0) return {};
  const auto n = static_cast<double>(cases);
  const double p = static_cast<double>(hits) / n;
  const double middle = (p + z * z / (2 * n)) / (1 + z * z / n);
  const double half = z / (1 + z * z / n) * std::sqrt(p * (1 - p) / n + z * z / (4 * n * n));
  return {hits == 0 ? 0.0 : middle - half, hits == cases ? 1.0 : middle + half};
}

}  // namespace headjoint::numerics
