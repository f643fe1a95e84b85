#pragma once

#include <vector>

#include "headjoint/photo/plan_map.h"

namespace headjoint::photo {

/// A circle through points of its rim.
struct FittedCircle {
  PlanPlace centre;
  double radius_mm = 0;
  double rms_mm = 0;               ///< distance of the points from the rim
  double centre_deviation_mm = 0;  ///< one standard deviation, the worse direction, from the points' own scatter
  double radius_deviation_mm = 0;  ///< one standard deviation
  bool converged = false;          ///< otherwise nothing above may be used
};

/// The circle with the least sum of squared distances from the points; far points count less (Tukey's biweight) when `robust`.
///
/// A linear fit gives the start (Kasa 1976), Gauss-Newton the answer.
/// @param points  at least three, not on a line: else `converged` is false
/// @par Source  Gander, Golub and Strebel, BIT 34 (1994) 558, section 3
/// @par Checked CircleFit.PublishedExample
[[nodiscard]] FittedCircle fit_circle(const std::vector<PlanPlace>& points, bool robust = false);

}  // namespace headjoint::photo
