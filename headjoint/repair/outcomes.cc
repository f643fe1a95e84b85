#include "headjoint/repair/internal/outcomes.h"

#include <algorithm>
#include <utility>

namespace headjoint::repair {

double mean_of(const Outcomes& outcomes) {
  double sum = 0;
  for (const Outcome& outcome : outcomes) sum += outcome.cost.mean() * outcome.chance;
  return sum;
}

double quantile_of(const Outcomes& outcomes, double share) {
  std::vector<std::pair<double, double>> points;
  for (const Outcome& outcome : outcomes) {
    points.emplace_back(outcome.cost.low, Span::kEnd * outcome.chance);
    points.emplace_back(outcome.cost.likely, (1 - 2 * Span::kEnd) * outcome.chance);
    points.emplace_back(outcome.cost.high, Span::kEnd * outcome.chance);
  }
  std::sort(points.begin(), points.end());
  constexpr double kRounding = 1e-12;
  double below = 0;
  for (const auto& [cost, chance] : points) {
    below += chance;
    if (below + kRounding >= share) return cost;
  }
  return points.empty() ? 0 : points.back().first;
}

}  // namespace headjoint::repair
