#include "headjoint/diagnosis/internal/rounding_bound.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace headjoint::diagnosis::internal {
namespace {

constexpr double kUnitRoundoff = std::numeric_limits<double>::epsilon() / 2;
constexpr double kSmall = 1e-7;  // own bounds of the entries are dropped for one relative figure when they are all below

/// The entries without their signs: the table itself where none is below 0.
std::span<const double> magnitudes(std::span<const double> table, bool has_one_sign, std::vector<double>& room) {
  if (has_one_sign) return table;
  room.assign(table.begin(), table.end());
  for (double& value : room) value = std::abs(value);
  return room;
}

}  // namespace

void RoundingBound::add(std::size_t n, std::span<const double> table, std::span<const double> left, std::span<const double> right,
                        const std::vector<int>& exponent) {
  const TreeNode& node = shape_.nodes[n];
  Bound& bound = nodes_[n];
  bound.has_one_sign = std::all_of(table.begin(), table.end(), [](double value) { return value >= 0; });
  if (node.left < 0) {
    bound.relative = (static_cast<double>(node.factors.size()) + 2) * kUnitRoundoff;
  } else {
    static const Bound kExact{true, 0, {}};
    const Bound& l = nodes_[static_cast<std::size_t>(node.left)];
    const Bound& r = node.right < 0 ? kExact : nodes_[static_cast<std::size_t>(node.right)];
    const bool sums = node.plan->cells() > node.size;
    if (l.each.empty() && r.each.empty() && (!sums || (l.has_one_sign && r.has_one_sign))) {
      bound.relative = l.relative + r.relative + kUnitRoundoff * (1 + static_cast<double>(node.plan->cells() / node.size));
    } else {
      const int taken = exponent[n] - exponent[static_cast<std::size_t>(node.left)] -
                        (node.right < 0 ? 0 : exponent[static_cast<std::size_t>(node.right)]);
      sum_each(bound, node, left, right, taken);
      settle(bound, table);
    }
  }
  if (node.parent >= 0) return;
  const double value = std::abs(table.front());
  of_roots_ += bound.each.empty() ? bound.relative : (value > 0 ? bound.each.front() / value : bound.each.front());
}

/// A product adds |a| eb + |b| ea + u |ab|, a sum of n adds n u sum|ab|.
void RoundingBound::sum_each(Bound& bound, const TreeNode& node, std::span<const double> left, std::span<const double> right, int taken) {
  static const Bound kExact{true, 0, {}};
  const Bound& l = nodes_[static_cast<std::size_t>(node.left)];
  const Bound& r = node.right < 0 ? kExact : nodes_[static_cast<std::size_t>(node.right)];
  const double per_product = kUnitRoundoff * (1 + static_cast<double>(node.plan->cells() / node.size));
  std::vector<double> left_room, right_room;
  const std::span<const double> a = magnitudes(left, l.has_one_sign, left_room);
  const std::span<const double> b = magnitudes(right, r.has_one_sign, right_room);
  const double relative = per_product + (l.each.empty() ? l.relative : 0.0) + (r.each.empty() ? r.relative : 0.0);
  bound.each.resize(node.size);
  node.plan->sum_onto(Side::kOut, bound.each, a, b);
  for (double& value : bound.each) value *= relative;
  std::vector<double> more;
  const auto add = [&](std::span<const double> of_a, std::span<const double> of_b) {
    more.resize(node.size);
    node.plan->sum_onto(Side::kOut, more, of_a, of_b);
    for (std::size_t i = 0; i < more.size(); ++i) bound.each[i] += more[i];
  };
  if (!l.each.empty()) add(l.each, b);
  if (!r.each.empty()) add(a, r.each);
  if (taken == 0) return;
  const double factor = std::ldexp(1.0, -taken);
  for (double& value : bound.each) value *= factor;
}

void RoundingBound::settle(Bound& bound, std::span<const double> table) {
  double largest = 0;
  for (std::size_t i = 0; i < table.size(); ++i) {
    if (!(bound.each[i] <= kSmall * std::abs(table[i]))) return;
    if (bound.each[i] > 0) largest = std::max(largest, bound.each[i] / std::abs(table[i]));
  }
  bound.relative = largest;
  bound.each.clear();
}

}  // namespace headjoint::diagnosis::internal
