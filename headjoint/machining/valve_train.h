#pragma once

#include "headjoint/units/points.h"
#include "headjoint/units/quantity.h"

namespace headjoint::machining {

/// Engines with the cam in the block: the head carries rocker pivot and valve tip down with it, the pushrod stays.

/// Change of the lash at the valve with solid lifters: -(ratio lowered cos(pushrod)) - tip_raised.
///
/// @param lowered        cuts of head and deck less what the gasket gained
/// @param rocker_ratio   valve side over pushrod side; > 0
/// @param pushrod_angle  between pushrod and cylinder axis
/// @param tip_raised     how much higher the valve tip stands after seat work
/// @throws InputError naming rocker_ratio
[[nodiscard]] Length solid_lash_change(Length lowered, double rocker_ratio, Angle pushrod_angle, Length tip_raised = {});

/// Change of the preload of a hydraulic lifter: lowered cos(pushrod) + tip_raised / ratio. The rocker ratio does not multiply the cut.
[[nodiscard]] Length lifter_preload_change(Length lowered, double rocker_ratio, Angle pushrod_angle, Length tip_raised = {});

/// How much shorter the pushrods must be to undo it.
[[nodiscard]] Length pushrod_shortening(Length lowered, Angle pushrod_angle);

}  // namespace headjoint::machining
