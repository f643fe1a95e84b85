#pragma once

#include <string>
#include <vector>

#include "headjoint/assess/results_cranking.h"
#include "headjoint/report/pictures.h"

namespace headjoint::report {

[[nodiscard]] std::vector<Picture> draw(const assess::Compression& compression);
[[nodiscard]] std::vector<Picture> draw(const assess::CrankedEngine& cranked);

}  // namespace headjoint::report
