#pragma once

#include "headjoint/assess/gasket_taps.h"
#include "headjoint/assess/results_photo.h"
#include "headjoint/photo/photo.h"

namespace headjoint::assess {

/// The plan of a gasket from its photograph and the taps on it.
///
/// Axes, when neither known points nor [axes] give them: x along the bores from number 1, and the corner with the least
/// coordinates of all that was found at (0, 0).
/// @returns problems when the known figures give no map
[[nodiscard]] Result<GasketPhoto> measure_gasket(const photo::Photo& picture, const GasketTaps& taps);

}  // namespace headjoint::assess
