#pragma once

#include <array>
#include <cstddef>
#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "headjoint/faces/face_points.h"
#include "headjoint/units/quantity.h"

/// Flatness of a probed face: least-squares plane and minimum zone.
///
/// All distances are measured square to the plane, whatever its tilt. Nothing is filtered and nothing is left out: the figures speak of
/// the points given, not of the metal between them.
/// @par Source  terms of ISO 12781-1:2011; zone of ISO 1101 (two parallel planes, orientation free)
namespace headjoint::faces {

/// A length that has not been calculated: no figure can be mistaken for 0.
inline constexpr Length kNoLength = Length::from_si(std::numeric_limits<double>::quiet_NaN());

/// A plane through `through_mm` with a unit normal whose z is not negative.
struct Plane {
  std::array<double, 3> through_mm{};
  std::array<double, 3> normal{0, 0, 1};
};

/// Flatness against the least-squares plane (LSPL): never smaller than the minimum zone.
struct LeastSquaresFlatness {
  Plane plane;
  Length peak_to_valley = kNoLength;       ///< FLTt = FLTp + FLTv
  Length peak_to_reference = kNoLength;    ///< FLTp, highest point over the plane
  Length reference_to_valley = kNoLength;  ///< FLTv, deepest point under the plane, positive
  Length root_mean_square = kNoLength;     ///< FLTq
};

/// How far the width of a minimum zone may be trusted.
enum class ZoneStatus {
  kNotRun,        ///< no figure
  kOptimal,       ///< proved: no two parallel planes hold all points and are closer by more than rounding, whatever their tilt
  kDegenerate,    ///< several zones are equally thin; the true minimum lies between `at_least` and `flatness`
  kNotCertified,  ///< the zone holds all points but was not proved the thinnest: read `flatness` as an upper limit
};

/// What holds the two planes of the zone: points on the upper plane - points on the lower plane.
enum class ContactKind { kNone, kThreeOne, kOneThree, kTwoTwo, kTwoOne, kOneTwo, kOneOne };

/// "3-1", "1-3", "2-2", "2-1", "1-2", "1-1"; "none" when the points lie in one plane.
[[nodiscard]] std::string contact_text(ContactKind kind);

/// The two closest parallel planes that hold all points between them (MZPL), with the evidence that they are the closest.
struct MinimumZone {
  ZoneStatus status = ZoneStatus::kNotRun;
  Length flatness = kNoLength;  ///< FLTt on the minimum zone planes: width of the zone below, measured over all points
  Length at_least = kNoLength;  ///< proved lower limit of the width of any zone
  Plane mid_plane;
  ContactKind contact = ContactKind::kNone;
  std::vector<std::size_t> upper;        ///< the fewest points on the upper plane that prove it, in the numbering of the input
  std::vector<std::size_t> lower;        ///< the same on the lower plane
  std::vector<std::size_t> upper_touch;  ///< every point on the upper plane, within rounding
  std::vector<std::size_t> lower_touch;  ///< every point on the lower plane, within rounding
  int walks = 0;                         ///< times all points were walked through
};

/// Least-squares (orthogonal) plane: through the centroid, normal to the direction of least scatter.
///
/// @param points  at least 4 at different places, not on one line, finite, within 100 m of the origin
/// @throws InputError "points" when that does not hold
/// @par Checked faces tests against closed forms and published plate scans
[[nodiscard]] LeastSquaresFlatness least_squares_flatness(const FacePoints& points);

/// Minimum zone flatness, exact.
///
/// The vertical width of the zone is a linear programme in the slopes of the plane; its simplex bases are the 4-point contacts (3 high and
/// 1 low, 2 and 2, 1 and 3). It is solved on a small working set, the worst outliers of all points join the set until none is left, and
/// the frame is turned into the normal until distances are square to the plane. Optimality is then proved afresh from the touching points
/// (see prove_minimum_zone).
///
/// @param points  as for least_squares_flatness
/// @throws InputError "points" when that does not hold
/// @par Source  Chebyshev alternation for planes (contacts 3-1 and 2-2); dual of the linear programme, any textbook
[[nodiscard]] MinimumZone minimum_zone_flatness(const FacePoints& points);

/// A check of a zone that knows nothing of how it was found.
struct ZoneProof {
  bool holds_all_points = false;  ///< no point outside the planes
  bool contacts_touch = false;    ///< every named contact lies on its plane
  bool contacts_overlap = false;  ///< seen along the normal, the hulls of upper and lower contacts meet: no small tilt thins the zone
  bool no_thinner_zone = false;   ///< not even a large tilt: the contacts overlap by more than the height can make up
  Length overlap = kNoLength;     ///< how far the contacts could be moved apart sideways before a tilt would thin the zone
  Length at_least = kNoLength;    ///< lower limit of the width of any zone that follows
  /// Normal of the farthest zone that may be as thin; empty when proved at once.
  std::optional<std::array<double, 3>> rival_normal;
};

/// Proves a zone from its contacts, or finds why it cannot be proved.
///
/// In the frame of the zone let h be its width and t the slope of any other plane. If the contacts' hulls overlap by r, the vertical width
/// at slope t is at least h + r t, the true width (h + r t) / sqrt(1 + t^2). If the points are W wide in their narrowest direction along
/// the plane, it is also at least (W t - h) / sqrt(1 + t^2). The second bound exceeds h from t = 2 W h / (W^2 - h^2) on; the first must
/// do so up to there. Where it does not, as in grids with ties, all points are asked: each pair that stands too high at the farthest slope
/// still possible cuts that slope off, until it is near enough or a zone as thin is found there.
///
/// @param points  those the zone was made from
/// @param zone    with its contact points; a zone without any (all points in one plane) needs no proof and gets none
/// @throws ContractError when a contact is not one of the points
[[nodiscard]] ZoneProof prove_minimum_zone(const FacePoints& points, const MinimumZone& zone);

/// Signed distance of every point from a plane, mm, positive on the side of the normal.
[[nodiscard]] std::vector<double> residuals_mm(const FacePoints& points, const Plane& plane);

/// Flatness without one of the points that hold the zone.
struct LeftOut {
  std::size_t point = 0;                    ///< the point left out
  ZoneStatus status = ZoneStatus::kNotRun;  ///< of the zone without it; kNotRun when too few points remain
  Length flatness = kNoLength;              ///< minimum zone flatness of all other points
};

/// Minimum zone flatness without each of the points in `zone.upper` and `zone.lower`, largest change first.
///
/// Only these points can change the figure: the zone of all others is the same with or without any further point. A speck of dirt or a slip
/// of the pen shows as one point that holds most of the flatness alone.
///
/// @param zone  of the same points
[[nodiscard]] std::vector<LeftOut> flatness_without_each_contact(const FacePoints& points, const MinimumZone& zone);

}  // namespace headjoint::faces
