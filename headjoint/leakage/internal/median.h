#pragma once

#include <algorithm>
#include <functional>
#include <vector>

namespace headjoint::leakage {

/// Median of the half that comes first in the given order, the middle one included; the values must not be empty.
template <class Order>
[[nodiscard]] double median_of_first_half(std::vector<double> values, Order order) {
  std::sort(values.begin(), values.end(), order);
  const std::size_t half = (values.size() + 1) / 2;
  return (values[(half - 1) / 2] + values[half / 2]) / 2;
}

}  // namespace headjoint::leakage
