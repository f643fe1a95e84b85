#pragma once

#include <array>
#include <cstddef>
#include <span>
#include <string>

#include "headjoint/base/problem.h"
#include "headjoint/faces/face_points.h"
#include "headjoint/units/quantity.h"

/// What a set of points has seen of a face, and what it cannot have seen.
namespace headjoint::faces {

/// A corner of an outline, mm, in the frame of the points.
struct OutlinePoint {
  double x_mm = 0;
  double y_mm = 0;
};

/// How the points lie, roughly.
enum class Pattern {
  kGrid,       ///< rows and columns
  kLines,      ///< on a few straight lines along x or y
  kScattered,  ///< anything else
};

[[nodiscard]] std::string pattern_text(Pattern pattern);

/// Extent and density of a set of points.
struct Coverage {
  std::size_t points = 0;
  std::size_t unmeasured = 0;  ///< planned places without a height
  Length length;               ///< sampled extent, the longer of x and y
  Length width;                ///< sampled extent, the shorter
  Area area;                   ///< inside the convex hull of the points
  Pattern pattern = Pattern::kScattered;
  Length largest_gap;  ///< diameter of the largest round patch inside the hull without a point, within about a fortieth of the length
  double outline_share = -1;  ///< area seen / area of the outline, 0 to 1; -1 when no outline was given
  Problems warnings;          ///< fewer than 60 % of the outline covered; places left out
};

/// Share of the face that must lie within the points before their flatness speaks for the face. Common practice, no source.
inline constexpr double kEnoughOfTheFace = 0.6;

/// Describes what the points cover.
///
/// @param points   at least 3 not on one line; otherwise the area is 0
/// @param outline  corners of the face in order, without crossing; empty when unknown
/// @throws InputError "outline" when it has one or two corners, a corner that is no number, or no area
[[nodiscard]] Coverage coverage_of(const FacePoints& points, std::span<const OutlinePoint> outline = {});

}  // namespace headjoint::faces
