#pragma once

#include <vector>

#include "headjoint/assess/results_clamp.h"
#include "headjoint/report/pictures.h"

namespace headjoint::report {

/// Pressure on the plan; beside it the same after the cut, when one was asked for.
[[nodiscard]] std::vector<Picture> draw(const assess::Clamping& answer);
[[nodiscard]] std::vector<Picture> draw(const assess::SealingAnswer& answer);
/// Order with the forces left, the pressure as tightened, and what a pressure film would show.
[[nodiscard]] std::vector<Picture> draw(const assess::TighteningAnswer& answer);

}  // namespace headjoint::report
