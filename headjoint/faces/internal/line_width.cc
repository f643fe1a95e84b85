#include "headjoint/faces/internal/line_width.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace headjoint::faces::internal {
namespace {

LineZone zone_at(const std::vector<Vector2>& points, double slope) {
  LineZone zone{slope, std::numeric_limits<double>::infinity(), -std::numeric_limits<double>::infinity()};
  for (const Vector2& p : points) {
    const double offset = p[1] - slope * p[0];
    zone.lower = std::min(zone.lower, offset);
    zone.upper = std::max(zone.upper, offset);
  }
  return zone;
}

/// Heights stretched to the length, so that thinning before the hull keeps few points.
std::vector<Vector2> hull_of_profile(std::vector<Vector2> points) {
  double length = 0;
  double height = 0;
  for (const Vector2& p : points) {
    length = std::max(length, std::abs(p[0]));
    height = std::max(height, std::abs(p[1]));
  }
  const double stretch = height > 0 && length > 0 ? length / height : 1;
  for (Vector2& p : points) p[1] *= stretch;
  std::vector<Vector2> hull = convex_hull(std::move(points));
  for (Vector2& p : hull) p[1] /= stretch;
  return hull;
}

}  // namespace

LineZone least_line_zone(std::vector<Vector2> points, double least, double most) {
  const std::vector<Vector2> hull = hull_of_profile(std::move(points));
  std::vector<double> slopes;
  for (std::size_t i = 0; i < hull.size(); ++i) {
    const Vector2& a = hull[i];
    const Vector2& b = hull[(i + 1) % hull.size()];
    if (a[0] == b[0]) continue;
    const double slope = (b[1] - a[1]) / (b[0] - a[0]);
    if (slope > least && slope < most) slopes.push_back(slope);
  }
  for (const double bound : {least, most})
    if (std::isfinite(bound)) slopes.push_back(bound);
  if (slopes.empty()) slopes.push_back(0);
  std::sort(slopes.begin(), slopes.end());
  std::size_t low = 0;
  std::size_t high = slopes.size() - 1;
  while (high - low > 2) {  // the height is convex in the slope
    const std::size_t middle = (low + high) / 2;
    if (zone_at(hull, slopes[middle]).height() <= zone_at(hull, slopes[middle + 1]).height())
      high = middle + 1;
    else
      low = middle + 1;
  }
  LineZone best = zone_at(hull, slopes[low]);
  for (std::size_t k = low + 1; k <= high; ++k)
    if (const LineZone zone = zone_at(hull, slopes[k]); zone.height() < best.height()) best = zone;
  return best;
}

}  // namespace headjoint::faces::internal
