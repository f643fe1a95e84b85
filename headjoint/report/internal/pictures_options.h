#pragma once

#include <vector>

#include "headjoint/report/pictures.h"

namespace headjoint::report {

/// The expected cost of each option with its range.
[[nodiscard]] std::vector<Picture> draw(const assess::OptionsReply& reply);

}  // namespace headjoint::report
