#pragma once

#include <string>

#include "headjoint/base/problem.h"
#include "headjoint/faces/face_points.h"

namespace headjoint::faces::internal {

/// Warnings about heights that look like slips: one place measured twice with different heights, and a height in the wrong unit.
///
/// @param column  of z in the table, from 1
[[nodiscard]] Problems suspicious_heights(const FacePoints& points, const std::string& source, int column);

/// True when the points stand at `count` or more different places in x and y.
[[nodiscard]] bool has_places(const FacePoints& points, std::size_t count);

}  // namespace headjoint::faces::internal
