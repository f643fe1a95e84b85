#pragma once

#include "headjoint/units/points.h"
#include "headjoint/units/quantity.h"

namespace headjoint::machining {

/// What must come off so that an intake manifold between two banks fits again.
struct ManifoldCut {
  Length intake_face;  ///< off each head's intake face, or off each side of the manifold
  Length end_rails;    ///< off the manifold where it sits on the block: how far it must come down
};

/// Both heads have come down their bank's axis by the same amount, and so nearer to each other.
///
/// With half the vee angle a and the intake face leaning g = a + face_lean from the upright:
/// intake face: lowered sin a / cos g; end rails: lowered cos(a - g) / cos g. In line (vee angle 0): 0 and lowered.
///
/// @param vee_angle  between the banks; 0 to 180 deg
/// @param face_lean  how far the intake face leans past square to the face of the joint, away from the middle
/// @throws InputError naming vee_angle or face_lean where the faces lie flat (a + face_lean at 90 deg or beyond)
/// @par Source  plane geometry, derived in docs/theory/machining.md; the trade's figures 1.23 and 1.71 at 90 and 10 degrees
[[nodiscard]] ManifoldCut manifold_cut(Length lowered, Angle vee_angle, Angle face_lean);

}  // namespace headjoint::machining
