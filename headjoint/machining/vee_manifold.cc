#include "headjoint/machining/vee_manifold.h"

#include <cmath>
#include <numbers>

#include "headjoint/base/error.h"

namespace headjoint::machining {

ManifoldCut manifold_cut(Length lowered, Angle vee_angle, Angle face_lean) {
  constexpr double kNearlyFlat = 1e-3;
  const double half = 0.5 * vee_angle.radians(), face = half + face_lean.radians();
  if (!(half >= 0 && half <= std::numbers::pi / 2)) throw InputError("vee_angle", "0 deg to 180 deg");
  if (!(std::abs(face) < std::numbers::pi / 2 - kNearlyFlat))
    throw InputError("face_lean", "the intake faces lie flat: no cut brings them together");
  return {lowered * (std::sin(half) / std::cos(face)), lowered * (std::cos(half - face) / std::cos(face))};
}

}  // namespace headjoint::machining
