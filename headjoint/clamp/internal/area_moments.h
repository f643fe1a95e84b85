#pragma once

#include <span>
#include <vector>

#include "headjoint/joint/engine.h"

/// Areas of rings, beads, washers and bores inside the cells of a grid, exact by geometry.
namespace headjoint::clamp {

using joint::PlanPoint;
using Polygon = std::vector<PlanPoint>;

/// Area of a region with its first and second moments about a common origin, mm.
struct AreaMoments {
  double area = 0;
  double x = 0, y = 0;
  double xx = 0, xy = 0, yy = 0;

  AreaMoments& operator+=(const AreaMoments& other);
  friend AreaMoments operator-(const AreaMoments& a, const AreaMoments& b);
  friend AreaMoments operator*(double factor, const AreaMoments& a);
  /// The same region seen from an origin at -(dx, dy): everything moves by (dx, dy).
  [[nodiscard]] AreaMoments moved(double dx, double dy) const;
};

struct Rectangle {
  double x0 = 0, y0 = 0, x1 = 0, y1 = 0;
};

/// Of a polygon, counter-clockwise positive; about the plan's origin.
[[nodiscard]] AreaMoments polygon_moments(std::span<const PlanPoint> polygon);
[[nodiscard]] AreaMoments rectangle_moments(const Rectangle& r);
/// Of what a disc and a polygon (counter-clockwise, any shape) have in common; about the plan's origin.
[[nodiscard]] AreaMoments disc_in_polygon_moments(PlanPoint centre, double radius, std::span<const PlanPoint> polygon);
/// Of what a disc and a rectangle have in common.
[[nodiscard]] AreaMoments disc_in_rectangle_moments(PlanPoint centre, double radius, const Rectangle& r);

/// The part of a polygon inside a rectangle; edges along the rectangle's sides may run twice, which leaves moments right.
[[nodiscard]] Polygon clipped(std::span<const PlanPoint> polygon, const Rectangle& r);
/// Counter-clockwise.
[[nodiscard]] Polygon counter_clockwise(std::vector<PlanPoint> polygon);
/// The polygon moved outwards by `distance` with mitred corners (limited to four times the distance).
[[nodiscard]] Polygon widened(const Polygon& counter_clockwise_polygon, double distance);
[[nodiscard]] bool contains(std::span<const PlanPoint> polygon, PlanPoint point);
/// Shortest way from a point to the polygon's edge.
[[nodiscard]] double distance_to_edge(std::span<const PlanPoint> polygon, PlanPoint point);
[[nodiscard]] Polygon convex_hull(std::vector<PlanPoint> points);

/// Four points of equal weight that have the area's centre and second moments exactly; of a full cell they are its Gauss points.
struct FourPoints {
  PlanPoint at[4];
  double area_each = 0;
};
[[nodiscard]] FourPoints four_points(const AreaMoments& moments);

}  // namespace headjoint::clamp
