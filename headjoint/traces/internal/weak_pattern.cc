#include "headjoint/traces/internal/weak_pattern.h"

#include <algorithm>
#include <cmath>

namespace headjoint::traces {
namespace {

using Pair = std::pair<int, int>;

std::vector<Pair> neighbours_of(const CrankingQuestion& question) {
  if (!question.neighbours.empty()) return question.neighbours;
  std::vector<Pair> pairs;
  for (int i = 1; i < question.cylinders; ++i) pairs.emplace_back(i, i + 1);
  return pairs;
}

/// Every pair of neighbours whose places are those two, for every way in which the events may belong to the cylinders.
std::vector<Pair> pairs_at(int first, int second, const RelativeCompression& result, const CrankingQuestion& question) {
  std::vector<Pair> found;
  const int n = question.cylinders;
  if (question.firing_order.size() != static_cast<std::size_t>(n)) return found;
  const auto place_of = [&](int cylinder) {
    const std::vector<int>& order = result.order.empty() ? question.firing_order : result.order;
    return static_cast<int>(std::find(order.begin(), order.end(), cylinder) - order.begin()) + 1;
  };
  for (const Pair& pair : neighbours_of(question)) {
    const int a = place_of(pair.first), b = place_of(pair.second);
    if (a > n || b > n) continue;
    const bool same = !result.order.empty() && (std::pair(a, b) == std::pair(first, second) || std::pair(b, a) == std::pair(first, second));
    const int step = ((second - first) % n + n) % n, forward = ((b - a) % n + n) % n;
    const bool may_be = result.order.empty() && (step == forward || step == (n - forward) % n);
    if (same || may_be) found.push_back(pair);
  }
  return found;
}

/// Share of the departures from 1 that repeats every turn of the crank.
double share_of_every_turn(const std::vector<RelativeValue>& values) {
  const std::size_t half = values.size() / 2;
  double even = 0, odd = 0;
  for (std::size_t i = 0; i < half; ++i) {
    const double a = values[i].value, b = values[i + half].value;
    odd += (a - b) * (a - b) / 2;
  }
  double mean = 0;
  for (const RelativeValue& value : values) mean += value.value / static_cast<double>(values.size());
  for (std::size_t i = 0; i < half; ++i) {
    const double both = (values[i].value + values[i + half].value) / 2 - mean;
    even += 2 * both * both;
  }
  return even + odd > 0 ? even / (even + odd) : 0;
}

}  // namespace

void name_pattern(RelativeCompression& result, const CrankingQuestion& question) {
  std::vector<int> weak;
  for (const RelativeValue& value : result.values)
    if (value.is_weak) weak.push_back(value.place);
  const int n = question.cylinders;
  result.notes.emplace_back("A loss that all cylinders share does not show here: take one compression reading with a gauge beside it.");
  if (weak.empty()) return;
  result.pattern = weak.size() == 1 ? WeakPattern::kOne : WeakPattern::kSeveral;
  constexpr double kMostlyEveryTurn = 0.9;
  if (weak.size() >= 2 && n % 2 == 0 && share_of_every_turn(result.values) > kMostlyEveryTurn) {
    result.pattern = WeakPattern::kEveryTurn;
    if (weak.size() == 2) result.pairs = pairs_at(weak[0], weak[1], result, question);
    result.notes.emplace_back(
        "What is weak repeats every turn of the crank. A breach between two cylinders that rise together looks like this, and so does a "
        "worn ring "
        "gear or a dragging crank: a gauge or a leak-down on these cylinders decides.");
  } else if (weak.size() == 2) {
    result.pairs = pairs_at(weak[0], weak[1], result, question);
    if (!result.pairs.empty()) result.pattern = WeakPattern::kNeighbours;
  }
  if (result.order.empty() && !result.is_half_synchronised)
    result.notes.emplace_back("Without a sync channel the weak event cannot be given to a cylinder: only its place in the cycle is known.");
}

}  // namespace headjoint::traces
