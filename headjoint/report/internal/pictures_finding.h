#pragma once

#include <vector>

#include "headjoint/report/pictures.h"

namespace headjoint::report {

[[nodiscard]] std::vector<Picture> draw(const assess::Assessment& all);
[[nodiscard]] std::vector<Picture> draw(const assess::FindingReply& reply);

}  // namespace headjoint::report
