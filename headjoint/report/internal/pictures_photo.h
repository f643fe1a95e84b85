#pragma once

#include <vector>

#include "headjoint/assess/results_photo.h"
#include "headjoint/report/pictures.h"

namespace headjoint::report {

/// What was found in the photograph, on the plan.
[[nodiscard]] std::vector<Picture> draw(const assess::GasketPhoto& answer);

}  // namespace headjoint::report
