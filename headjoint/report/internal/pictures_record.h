#pragma once

#include <vector>

#include "headjoint/assess/results_practice.h"
#include "headjoint/assess/results_record.h"
#include "headjoint/report/pictures.h"

namespace headjoint::report {

/// Chances given against what came out, each bin with its range.
[[nodiscard]] std::vector<Picture> draw(const assess::ShopRecord& record);

/// The hidden truth on the joint plan, once it is known; the bare plan before.
[[nodiscard]] std::vector<Picture> draw(const assess::PracticeAnswer& answer);

}  // namespace headjoint::report
