#include "headjoint/diagnosis/repair_order.h"

#include <algorithm>
#include <numeric>

#include "headjoint/base/error.h"

namespace headjoint::diagnosis {

double expected_repair_cost(std::span<const double> chance, std::span<const double> cost, std::span<const std::size_t> order) {
  require(chance.size() == cost.size() && order.size() == cost.size(), "one chance, one cost and one place in the order for each repair");
  double sum = 0;
  double not_cured = 1;
  for (std::size_t i : order) {
    require(i < cost.size(), "no such repair");
    sum += cost[i] * not_cured;
    not_cured -= chance[i];
  }
  return sum;
}

std::vector<std::size_t> best_repair_order(std::span<const double> chance, std::span<const double> cost) {
  require(chance.size() == cost.size(), "one chance and one cost for each repair");
  std::vector<std::size_t> order(chance.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return chance[a] * cost[b] > chance[b] * cost[a]; });
  return order;
}

}  // namespace headjoint::diagnosis
