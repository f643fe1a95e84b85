#pragma once

#include <memory>
#include <vector>

#include "headjoint/clamp/clamp_model.h"
#include "headjoint/faces/face_points.h"

/// A measured face as a shape over the whole plan.
namespace headjoint::clamp {

/// How well the measured points cover what has to seal.
struct FaceCover {
  double share = 1;        ///< of the outline that lies within one point spacing of the measured region
  double farthest_mm = 0;  ///< the farthest place of the outline from the measured region
  PlanPoint farthest;
};

/// Height of a face over its own least-squares plane, interpolated between measured points by a thin-plate spline (the shape a thin metal
/// strip would take through the readings); straight on outside them.
///
/// Points are averaged in windows so that at most about 400 carry the spline. Positive: metal stands proud, towards the other face.
class FaceShape {
 public:
  /// @param points      as measured, in plan coordinates
  /// @param outline     of the plan
  /// @returns warnings where the points leave more than 1 % of the outline uncovered (with the place); an error when fewer than half is
  /// covered
  [[nodiscard]] static Result<FaceShape> through(const faces::FacePoints& points, const std::vector<PlanPoint>& outline);
  /// A shape given by a formula, for tests and for worked examples: bow of `height` over the outline's length, middle high when positive.
  [[nodiscard]] static FaceShape bow(Length height, const std::vector<PlanPoint>& outline);

  [[nodiscard]] double height_mm(double x_mm, double y_mm) const;
  [[nodiscard]] const FaceCover& cover() const { return cover_; }
  /// The same face after a flat cut `depth` below its highest measured place, parallel to its plane: everything above is taken away.
  [[nodiscard]] FaceShape cut(Length depth) const;
  /// Depth of cut that leaves no measured place untouched.
  [[nodiscard]] Length full_cut() const;

 private:
  struct Spline;
  std::shared_ptr<const Spline> spline_;
  FaceCover cover_;
  double ceiling_mm_ = 1e9;
};

}  // namespace headjoint::clamp
