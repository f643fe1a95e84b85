#pragma once

#include <vector>

#include "headjoint/assess/results_face_map.h"
#include "headjoint/faces/face_points.h"

namespace headjoint::assess {

/// Points that are mapped and listed; of more an even choice is taken.
inline constexpr std::size_t kMostListed = 2000;

/// Places of the points to show: all of them, or an even choice with `always` among them. Rising.
[[nodiscard]] std::vector<std::size_t> points_to_show(std::size_t count, const std::vector<std::size_t>& always);

/// Bands of equal height about zero, contours between them, triangles and the usual sections.
/// @param heights_mm  one per point, from the middle of the zone
[[nodiscard]] FaceMap face_map(const faces::FacePoints& points, const std::vector<double>& heights_mm);

}  // namespace headjoint::assess
