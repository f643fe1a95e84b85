#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "headjoint/base/result.h"
#include "headjoint/units/quantity.h"

/// From the picture to the plan: where a pixel lies on the gasket, in millimetres, and how sure that is.
///
/// The gasket is flat and the camera without distortion, so plan and picture are related by a homography. A scan, or a picture
/// taken straight from above, needs only a scale. Every figure carries a band of two standard deviations (about 95 %).
namespace headjoint::photo {

/// A place in the picture: pixels from the middle of its top left pixel, x to the right, y down.
struct PicturePoint {
  double x_px = 0;
  double y_px = 0;
};

/// A place on the plan: x along the crank from the front, y from the left side, as seen from above.
struct PlanPlace {
  double x_mm = 0;
  double y_mm = 0;
};

/// Two places tapped in the picture whose distance was measured on the gasket.
struct KnownDistance {
  PicturePoint from;
  PicturePoint to;
  Length distance;                               ///< > 0
  Length uncertainty = Length::from_si(0.0001);  ///< of the measurement, two standard deviations; > 0
};

/// A place tapped in the picture whose place on the plan is known.
struct KnownPoint {
  PicturePoint tap;
  PlanPlace at;
  Length uncertainty = Length::from_si(0.0001);  ///< of the place, two standard deviations; > 0
};

enum class MapKind {
  kScale,       ///< one scale: a scan, or a picture from straight above
  kTwoScales,   ///< one scale along and one across the picture: a scanner whose feed and carriage differ
  kPerspective  ///< a picture taken at an angle
};

/// How far taps miss, two standard deviations, in pixels.
inline constexpr double kTapUncertainty_px = 1.5;

/// A plan place with its band.
struct PlacedPoint {
  PlanPlace at;
  double uncertainty_mm = 0;  ///< radius, two standard deviations
};

class PlanMap {
 public:
  /// A homography row by row, picture to plan, with the covariance of its nine entries.
  using Matrix = std::array<double, 9>;
  using Covariance = std::array<double, 81>;

  PlanMap() = default;
  PlanMap(MapKind kind, const Matrix& to_plan, const Covariance& covariance, PicturePoint middle);

  [[nodiscard]] MapKind kind() const { return kind_; }

  /// Where a place in the picture lies on the plan; nothing when it lies at or behind the horizon of the gasket's plane.
  [[nodiscard]] std::optional<PlanPlace> place(PicturePoint point) const;

  /// Where a place of the plan is seen; nothing when it is behind the camera.
  [[nodiscard]] std::optional<PicturePoint> picture(PlanPlace place) const;

  /// The same with its band. @param own_px two standard deviations of the place in the picture itself
  [[nodiscard]] std::optional<PlacedPoint> placed(PicturePoint point, double own_px) const;

  /// Two standard deviations of the distance between two places that comes from the map alone, in mm.
  [[nodiscard]] double distance_uncertainty_mm(PicturePoint from, PicturePoint to) const;

  /// Millimetres to a pixel near a place, the mean of both directions; 0 at the horizon.
  [[nodiscard]] double mm_per_px(PicturePoint point) const;

  /// The map whose plan has `origin` at (0, 0) and its x axis turned so that `along` lies on its positive side.
  /// Places are then sure relative to that origin.
  /// @returns nothing when the two coincide or are beyond the horizon
  [[nodiscard]] std::optional<PlanMap> with_axes(PicturePoint origin, PicturePoint along) const;

  /// The map whose plan is moved by (x, y).
  [[nodiscard]] PlanMap moved(double x_mm, double y_mm) const;

  /// The map of a gasket that lies with its underside up: the plan from above is its mirror image.
  [[nodiscard]] PlanMap mirrored() const;

 private:
  [[nodiscard]] PlanMap transformed(const Matrix& change) const;

  MapKind kind_ = MapKind::kScale;
  Matrix to_plan_ = {1, 0, 0, 0, -1, 0, 0, 0, 1};
  Matrix to_picture_ = {1, 0, 0, 0, -1, 0, 0, 0, 1};
  Covariance covariance_ = {};
  PicturePoint middle_;                 ///< of the known places: the side of the horizon that counts
  std::optional<PicturePoint> origin_;  ///< places are judged relative to it
};

/// A map with what its own data say about it.
struct FittedMap {
  PlanMap map;
  int freedom = 0;               ///< known figures beyond the least number
  double error = 0;              ///< rms of what stays unexplained: pixels for known points, mm for known distances; 0 without freedom
  double error_band = 0;         ///< what the rms would stay below in 95 of 100 cases if taps and measurements are as sure as stated
  std::vector<double> residual;  ///< one a known figure, in the unit of `error`
  std::string doubt;             ///< in words, when the figures do not agree within their bands; else empty
};

/// From measured distances: one scale from one; scales along and across from two to four that run in different directions, when a
/// single scale does not explain them; the whole perspective from five or more.
///
/// With one to four distances the picture is taken for a scan or as taken from straight above: a doubt says when they disagree.
/// The plan's x axis lies along the picture, y up; turn it with `with_axes`.
///
/// With five or more, place = A p / (1 + l.p), A upper triangular: five figures, found by Levenberg-Marquardt from several starts.
/// @returns problems: no distance, a distance not above zero, ends that coincide, distances that leave the perspective open
[[nodiscard]] Result<FittedMap> map_from_distances(const std::vector<KnownDistance>& distances, double tap_px = kTapUncertainty_px);

/// From places known on the plan: at least four, no three of the four on a line.
///
/// Normalised direct linear transformation, then Levenberg-Marquardt on the distances in the picture.
/// @returns problems: fewer than four, two taps on one spot, points on one line, points whose order does not match
/// @par Source  Hartley and Zisserman, Multiple View Geometry, 2nd ed., algorithms 4.2 and 4.3
[[nodiscard]] Result<FittedMap> map_from_points(const std::vector<KnownPoint>& points, double tap_px = kTapUncertainty_px);

}  // namespace headjoint::photo
