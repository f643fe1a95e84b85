#pragma once

#include <vector>

#include "headjoint/assess/results_repair.h"
#include "headjoint/report/pictures.h"

namespace headjoint::report {

/// Readings beside their bands, and the warm-up with the band of a sound engine.
[[nodiscard]] std::vector<Picture> draw(const assess::Proof& proof);

}  // namespace headjoint::report
