#pragma once

#include "headjoint/units/points.h"
#include "headjoint/units/quantity.h"

namespace headjoint::machining {

/// How much later the valves move. Positive = retarded.
struct TimingShift {
  Angle cam;
  Angle crank;  ///< twice the cam's
};

/// Radius of a sprocket's pitch circle: pitch / (2 sin(180 deg / teeth)) for a roller chain.
/// @param pitch > 0; @param teeth >= 3
/// @throws InputError
/// @par Source  ISO 606 / ANSI B29.1
[[nodiscard]] Length chain_pitch_radius(Length pitch, int teeth);

/// The same for a toothed belt: pitch teeth / (2 pi); the belt's pitch line lies outside the tips of the teeth.
[[nodiscard]] Length belt_pitch_radius(Length pitch, int teeth);

/// Shift of an overhead cam when the head comes down by `lowered`, from the direction of the tight strand.
///
/// The strand keeps its length from a mark on the crank to a mark on the cam, so the cam turns back by lowered cos(strand) over
/// the cam's pitch radius. First order in `lowered`: 1e-5 of the shift for a cut of a millimetre on a usual drive.
///
/// @param lowered     cuts of head and deck less what the gasket gained; negative advances
/// @param cam_radius  of the pitch circle; > 0
/// @param strand      of the tight strand's last free span at the cam, against the way the head sinks
/// @throws InputError naming cam_radius
[[nodiscard]] TimingShift timing_shift(Length lowered, Length cam_radius, Angle strand);

/// The same, exactly, for a straight tight strand between two sprockets.
///
/// With sin b = (r2 - r1)/C and free length L = C cos b the length r1 (b' - t1) + L + r2 (t2 - b') from mark to mark stays, b' being
/// a right angle less b.
/// @param centre_distance  before the cut; > |cam_radius - crank_radius|, also after it
/// @throws InputError
[[nodiscard]] TimingShift timing_shift(Length lowered, Length crank_radius, Length cam_radius, Length centre_distance);

}  // namespace headjoint::machining
