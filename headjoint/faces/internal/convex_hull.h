#pragma once

#include <array>
#include <vector>

namespace headjoint::faces::internal {

using Vector2 = std::array<double, 2>;

/// Corners of the convex hull, counter-clockwise, without points between corners; 1 or 2 corners when all points coincide or line up.
[[nodiscard]] std::vector<Vector2> convex_hull(std::vector<Vector2> points);

/// Area enclosed by corners in order; positive counter-clockwise.
[[nodiscard]] double signed_area(const std::vector<Vector2>& corners);

/// The two closest parallel lines that hold a hull: their distance and the unit vector square to them.
struct Narrowest {
  double width = 0;
  Vector2 direction{0, 1};
};

/// Where a hull is narrowest; width 0 for fewer than 3 corners, square to the line through two.
[[nodiscard]] Narrowest narrowest_of(const std::vector<Vector2>& hull);

/// How deep the origin lies inside { u - l : u in the hull of upper, l in the hull of lower }.
///
/// Positive: the hulls overlap, and one may be moved that far in any direction before they part. 0: they touch only, or both are too flat
/// to enclose anything. Negative: they are apart by at most that much.
[[nodiscard]] double overlap_depth(const std::vector<Vector2>& upper, const std::vector<Vector2>& lower);

}  // namespace headjoint::faces::internal
