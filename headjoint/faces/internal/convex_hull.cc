#include "headjoint/faces/internal/convex_hull.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace headjoint::faces::internal {
namespace {

double turn(const Vector2& a, const Vector2& b, const Vector2& c) { return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]); }

double reach(const std::vector<Vector2>& points, const Vector2& direction) {
  double farthest = -std::numeric_limits<double>::infinity();
  for (const Vector2& p : points) farthest = std::max(farthest, p[0] * direction[0] + p[1] * direction[1]);
  return farthest;
}

constexpr std::size_t kWorthThinning = 500;  // points from which it pays to drop the inner ones before sorting

std::vector<Vector2> sorted(std::vector<Vector2> points) {
  std::sort(points.begin(), points.end());
  points.erase(std::unique(points.begin(), points.end()), points.end());
  return points;
}

/// Hull of different points in rising order: lower chain, then upper chain back.
std::vector<Vector2> hull_of_sorted(std::vector<Vector2> points) {
  if (points.size() < 3) return points;
  std::vector<Vector2> hull;
  const auto extend = [&hull](const Vector2& p, std::size_t keep) {
    while (hull.size() >= keep + 2 && turn(hull[hull.size() - 2], hull.back(), p) <= 0) hull.pop_back();
    hull.push_back(p);
  };
  for (const Vector2& p : points) extend(p, 0);
  const std::size_t below = hull.size() - 1;
  for (auto p = points.rbegin() + 1; p != points.rend(); ++p) extend(*p, below);
  hull.pop_back();
  return hull;
}

/// Drops the points strictly inside the octagon of the eight outermost ones: none of them is a corner.
void drop_inner_points(std::vector<Vector2>& points) {
  std::vector<Vector2> outermost;
  for (const Vector2& d : {Vector2{1, 0}, {0, 1}, {1, 1}, {1, -1}}) {
    const auto [low, high] = std::minmax_element(points.begin(), points.end(), [&d](const Vector2& a, const Vector2& b) {
      return a[0] * d[0] + a[1] * d[1] < b[0] * d[0] + b[1] * d[1];
    });
    outermost.insert(outermost.end(), {*low, *high});
  }
  const std::vector<Vector2> octagon = hull_of_sorted(sorted(std::move(outermost)));
  if (octagon.size() < 3) return;
  std::erase_if(points, [&octagon](const Vector2& p) {
    for (std::size_t i = 0; i < octagon.size(); ++i)
      if (turn(octagon[i], octagon[(i + 1) % octagon.size()], p) <= 0) return false;
    return true;
  });
}

/// Unit vectors square to every edge and along it; for a hull of two corners both ways.
void add_directions(const std::vector<Vector2>& hull, double side, std::vector<Vector2>& directions) {
  for (std::size_t i = 0; i < hull.size(); ++i) {
    const Vector2& a = hull[i];
    const Vector2& b = hull[(i + 1) % hull.size()];
    const double length = std::hypot(b[0] - a[0], b[1] - a[1]);
    if (length == 0) continue;
    directions.push_back({side * (b[1] - a[1]) / length, side * (a[0] - b[0]) / length});
  }
}

}  // namespace

std::vector<Vector2> convex_hull(std::vector<Vector2> points) {
  if (points.size() > kWorthThinning) drop_inner_points(points);
  return hull_of_sorted(sorted(std::move(points)));
}

double signed_area(const std::vector<Vector2>& corners) {
  double twice = 0;
  for (std::size_t i = 0; i + 1 < corners.size(); ++i) twice += turn(corners[0], corners[i], corners[i + 1]);
  return twice / 2;
}

Narrowest narrowest_of(const std::vector<Vector2>& hull) {
  std::vector<Vector2> directions;
  add_directions(hull, 1, directions);
  if (directions.empty()) return {};
  Narrowest narrowest{std::numeric_limits<double>::infinity(), {}};
  for (const Vector2& d : directions) {
    const double width = reach(hull, d) + reach(hull, {-d[0], -d[1]});
    if (width < narrowest.width) narrowest = {width, d};
  }
  return narrowest;
}

double overlap_depth(const std::vector<Vector2>& upper, const std::vector<Vector2>& lower) {
  // The support of the difference in direction d is the reach of upper along d plus the reach of lower against d; its least value over all
  // directions stands on an edge of the difference, and each such edge is parallel to an edge of one of the hulls.
  std::vector<Vector2> directions;
  add_directions(upper, 1, directions);
  add_directions(lower, -1, directions);
  const std::size_t square_on = directions.size();
  for (std::size_t i = 0; i < square_on; ++i) {
    const Vector2 along{-directions[i][1], directions[i][0]};
    directions.push_back(along);
    directions.push_back({-along[0], -along[1]});
  }
  if (!upper.empty() && !lower.empty()) {
    const Vector2 apart{upper[0][0] - lower[0][0], upper[0][1] - lower[0][1]};
    const double distance = std::hypot(apart[0], apart[1]);
    if (directions.empty()) return -distance;
  }
  double depth = std::numeric_limits<double>::infinity();
  for (const Vector2& d : directions) depth = std::min(depth, reach(upper, d) + reach(lower, {-d[0], -d[1]}));
  return depth;
}

}  // namespace headjoint::faces::internal
