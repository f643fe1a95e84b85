#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "headjoint/faces/face_points.h"
#include "headjoint/faces/flatness.h"
#include "headjoint/units/quantity.h"

/// The least metal that must come off a face so that a cutter touches all of it.
///
/// z points out of the metal, on a head as on a block: a cut takes away everything above its plane, so the plane must lie at or below the
/// deepest hollow. A head measured as it sits in the engine (z up, into the metal) is turned over first (turned_over).
namespace headjoint::faces {

/// What the cut is held parallel to, in the frame of the points.
struct CutDatum {
  enum class Kind {
    kNone,  ///< the machine may set the part up as it likes
    kFace,  ///< `direction` is the normal of the face, its z not negative
    kLine,  ///< `direction` runs along the line (cam bores, crank bores); across it the cut may tilt
  };
  Kind kind = Kind::kNone;
  std::array<double, 3> direction{0, 0, 1};
  std::size_t points = 0;     ///< measured for it; 0 when it was not measured
  Length spread = kNoLength;  ///< how far its own points lie apart square to it; not a number with too few points to tell
};

/// The plane the points were measured from: z = 0.
[[nodiscard]] CutDatum measuring_plane();

/// A datum face (at least 3 points not on one line) or line (at least 2 points on one line) by least squares.
///
/// @param points  in the frame of the face that is to be cut
/// @throws InputError "datum" for fewer points, all at one place, or a face on edge
[[nodiscard]] CutDatum datum_of(const FacePoints& points);

enum class CutStatus {
  kNotRun,
  kLeast,      ///< proved: no allowed plane cleans the face with less
  kNotProved,  ///< cleans the face; the least lies between `at_least` and `depth`
};

/// A plane that cleans the face.
struct Cut {
  CutStatus status = CutStatus::kNotRun;
  Plane plane;                       ///< everything above it is removed
  Length depth = kNoLength;          ///< most that is removed anywhere: height of the highest point over the plane
  Length at_least = kNoLength;       ///< proved lower limit of that depth for any allowed plane
  Length mean_depth = kNoLength;     ///< over the points: what the volume of the chambers loses per area
  Length out_of_parallel{};          ///< end to end over the points, against the datum; 0 without one
  std::vector<std::size_t> highest;  ///< points at which the whole depth is removed
  std::vector<std::size_t> deepest;  ///< points that the cut only just reaches
};

/// The cut of least depth when the machine may tilt the part.
///
/// A plane at or below all points whose highest point stands least over it: the lower plane of the minimum zone, and the depth is the
/// flatness deviation itself (FLTt, MZPL). No cut that cleans the face can take less at its deepest.
///
/// @param points  as for minimum_zone_flatness
/// @throws InputError "points"
[[nodiscard]] Cut least_cut(const FacePoints& points);

/// The cut of least depth held parallel to a datum, within an allowance.
///
/// In a frame on the datum let (a, b) be the slopes of the plane. The depth, max (w - a u - b v) - min (w - a u - b v), is convex in them.
/// The best allowed plane is the free one when the allowance holds it; else it lies on the rim of the allowance, where one slope is fixed
/// and the other found exactly from a convex hull in two dimensions. Proved by duality: weights on the touching points give a depth that no
/// allowed plane can go below.
///
/// @param datum      kNone gives least_cut
/// @param allowance  most the plane may be out of parallel with the datum from end to end of the points, lengthwise and crosswise; >= 0
/// @throws InputError "points", "allowance", or "datum" when it stands across the face
[[nodiscard]] Cut least_cut_held(const FacePoints& points, const CutDatum& datum, Length allowance = {});

/// Heights over a cut in a given direction that goes `depth` below the highest point: negative where the cutter does not reach.
/// @param depth  >= 0
/// @returns one per point, mm
/// @throws InputError "depth"
[[nodiscard]] std::vector<double> over_cut_mm(const FacePoints& points, const std::array<double, 3>& normal, Length depth);

/// The face seen from the other side: z into the metal becomes z out of it; x stays, y turns over, so that right stays right.
[[nodiscard]] FacePoints turned_over(FacePoints points);

}  // namespace headjoint::faces
