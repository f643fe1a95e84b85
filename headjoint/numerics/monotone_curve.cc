#include "headjoint/numerics/monotone_curve.h"

#include <algorithm>
#include <cmath>

#include "headjoint/base/error.h"

namespace headjoint::numerics {
namespace {

/// Harmonic mean of the slopes on both sides, weighted so that the nearer one counts more; 0 at a turn.
double inner_slope(double step_before, double step_after, double rise_before, double rise_after) {
  if (!(rise_before * rise_after > 0)) return 0;
  const double weight_before = 2 * step_after + step_before, weight_after = step_after + 2 * step_before;
  return (weight_before + weight_after) / (weight_before / rise_before + weight_after / rise_after);
}

/// Three-point slope at an end, held to what keeps the curve monotone.
double end_slope(double step, double next_step, double rise, double next_rise) {
  const double slope = ((2 * step + next_step) * rise - step * next_rise) / (step + next_step);
  if (!(slope * rise > 0)) return 0;
  if (!(rise * next_rise > 0) && std::abs(slope) > 3 * std::abs(rise)) return 3 * rise;
  return slope;
}

}  // namespace

MonotoneCurve::MonotoneCurve(std::vector<Point> points) : points_(std::move(points)) {
  require(points_.size() >= 2, "a curve needs at least two points");
  const std::size_t n = points_.size();
  std::vector<double> step(n - 1), rise(n - 1);
  for (std::size_t i = 0; i + 1 < n; ++i) {
    step[i] = points_[i + 1].x - points_[i].x;
    rise[i] = (points_[i + 1].y - points_[i].y) / step[i];
    require(step[i] > 0 && std::isfinite(rise[i]), "a curve needs finite points with rising x");
  }
  slopes_.assign(n, rise.front());
  if (n == 2) return;
  slopes_.front() = end_slope(step[0], step[1], rise[0], rise[1]);
  slopes_.back() = end_slope(step[n - 2], step[n - 3], rise[n - 2], rise[n - 3]);
  for (std::size_t i = 1; i + 1 < n; ++i) slopes_[i] = inner_slope(step[i - 1], step[i], rise[i - 1], rise[i]);
}

double MonotoneCurve::operator()(double x) const {
  if (!(x > points_.front().x)) return std::isnan(x) ? x : points_.front().y;
  if (x >= points_.back().x) return points_.back().y;
  const auto after = std::upper_bound(points_.begin(), points_.end(), x, [](double value, const Point& p) { return value < p.x; });
  const std::size_t i = static_cast<std::size_t>(after - points_.begin()) - 1;
  const double step = points_[i + 1].x - points_[i].x, t = (x - points_[i].x) / step;
  const double t2 = t * t, t3 = t2 * t;
  return points_[i].y * (2 * t3 - 3 * t2 + 1) + step * slopes_[i] * (t3 - 2 * t2 + t) + points_[i + 1].y * (3 * t2 - 2 * t3) +
         step * slopes_[i + 1] * (t3 - t2);
}

}  // namespace headjoint::numerics
