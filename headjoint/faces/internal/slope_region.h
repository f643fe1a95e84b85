#pragma once

#include <vector>

#include "headjoint/faces/internal/convex_hull.h"
#include "headjoint/faces/internal/vector3.h"

namespace headjoint::faces::internal {

/// The slopes (a, b) at which two planes w = a u + b v + c no more than some height apart might still hold all points: a convex polygon,
/// cut smaller by every pair of points that stands too high at some of its slopes.
class SlopeRegion {
 public:
  /// All slopes up to `steepest` either way.
  explicit SlopeRegion(double steepest);

  /// Keeps the slopes at which a point `difference` = (du, dv, dw) over another stands no more than `height` over it, along w.
  void cut(const Vector3& difference, double height);

  /// The corner with the steepest slope.
  [[nodiscard]] Vector2 steepest() const;

 private:
  std::vector<Vector2> corners_;
};

}  // namespace headjoint::faces::internal
