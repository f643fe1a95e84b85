#pragma once

#include <array>
#include <cstddef>
#include <vector>

#include "headjoint/faces/internal/convex_hull.h"

namespace headjoint::faces::internal {

/// Delaunay triangles of different places, counter-clockwise; none when they lie on one line.
///
/// Points are swept from the left and joined to what they see of the hull; then every side whose circle holds the point beyond is turned,
/// until none is left.
[[nodiscard]] std::vector<std::array<std::size_t, 3>> delaunay(const std::vector<Vector2>& places);

}  // namespace headjoint::faces::internal
