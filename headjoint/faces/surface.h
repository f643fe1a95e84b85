#pragma once

#include <array>
#include <cstddef>
#include <string>
#include <utility>
#include <vector>

#include "headjoint/faces/coverage.h"
#include "headjoint/faces/face_points.h"
#include "headjoint/units/quantity.h"

/// Measured points joined by triangles: the face between them taken as straight, for maps, sections and islands left by a cut.
///
/// What lies between two points has not been measured: everything here is as good as the pattern is dense. Figures of flatness never come
/// from here.
namespace headjoint::faces {

/// Largest set that is joined; a map of more points shows no more.
inline constexpr std::size_t kMostJoined = 20'000;

/// Three points, counter-clockwise seen from above.
using Triangle = std::array<std::size_t, 3>;

/// Triangles whose circles hold no other point (Delaunay). Of points at one place the first is used.
///
/// @returns none when the points lie on one line
/// @throws InputError "points" for more than kMostJoined, or a coordinate that is no number
[[nodiscard]] std::vector<Triangle> joined_by_triangles(const FacePoints& points);

/// Outline of a part of the face, in order.
using Patch = std::vector<OutlinePoint>;

/// All of the face between two heights.
struct HeightBand {
  double low_mm = 0;
  double high_mm = 0;
  std::vector<Patch> patches;  ///< one per triangle that has a share; they do not overlap
  double area_mm2 = 0;
};

/// Divides the face at levels.
///
/// @param heights_mm  one per point
/// @param levels_mm   rising; bands lie between neighbours, what is lower or higher belongs to none
/// @throws InputError naming the argument
[[nodiscard]] std::vector<HeightBand> height_bands(const FacePoints& points, const std::vector<Triangle>& triangles,
                                                   const std::vector<double>& heights_mm, const std::vector<double>& levels_mm);

/// A line of one height.
struct Contour {
  double level_mm = 0;
  std::vector<OutlinePoint> line;
  bool is_closed = false;
};

/// Lines at which the face has a level's height, longest first for each level.
[[nodiscard]] std::vector<Contour> contours(const FacePoints& points, const std::vector<Triangle>& triangles,
                                            const std::vector<double>& heights_mm, const std::vector<double>& levels_mm);

/// A patch that a cut does not reach.
struct Island {
  double area_mm2 = 0;
  double deepest_mm = 0;  ///< how far its lowest point stays under the cut
  OutlinePoint deepest_at;
  std::vector<std::size_t> points;  ///< that lie in it
};

/// Connected patches where the height over a cut is below 0, largest first.
/// @param over_mm  as over_cut_mm gives it
[[nodiscard]] std::vector<Island> islands(const FacePoints& points, const std::vector<Triangle>& triangles,
                                          const std::vector<double>& over_mm);

/// A straightedge laid over a section.
struct Section {
  std::string name;  ///< "left edge", "diagonal, front left to rear right"
  OutlinePoint from;
  OutlinePoint to;
  std::vector<std::pair<double, double>> profile;  ///< distance along, height, mm; rising
  double straightness_mm = 0;
  double touch_from_mm = 0;  ///< where the edge rests, over the middle of the section
  double touch_to_mm = 0;
  double largest_gap_mm = 0;  ///< under the edge as it rests
  double gap_at_mm = 0;
};

/// The heights along a line: at points on it and where it crosses the sides of triangles.
/// @returns an empty profile where fewer than 3 spots are crossed
[[nodiscard]] Section section(const FacePoints& points, const std::vector<Triangle>& triangles, const std::vector<double>& heights_mm,
                              OutlinePoint from, OutlinePoint to);

/// The usual placements of a straightedge: both long edges, lengthwise through the middle, both diagonals, front, middle and rear across.
/// Placements that the points do not reach are left out. Front is the low end of x, left the low end of y.
[[nodiscard]] std::vector<Section> usual_sections(const FacePoints& points, const std::vector<Triangle>& triangles,
                                                  const std::vector<double>& heights_mm);

}  // namespace headjoint::faces
