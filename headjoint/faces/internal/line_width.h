#pragma once

#include <array>
#include <span>
#include <vector>

#include "headjoint/faces/internal/convex_hull.h"

namespace headjoint::faces::internal {

/// Two parallel lines w = slope s + lower and ... + upper that hold points (s, w) of a profile.
struct LineZone {
  double slope = 0;
  double lower = 0;
  double upper = 0;
  [[nodiscard]] double height() const { return upper - lower; }
};

/// The zone of least height along w, its slope between two bounds. Exact: the height is convex in the slope and bends only at edges of
/// the convex hull, so that the least stands on an edge or at a bound.
///
/// @param points  at least one
/// @param least,most  bounds of the slope, least <= most; may be infinite when the points do not share one s
[[nodiscard]] LineZone least_line_zone(std::vector<Vector2> points, double least, double most);

}  // namespace headjoint::faces::internal
