#pragma once

#include <string>

#include "headjoint/assess/results.h"

namespace headjoint::report {

/// What each way costs the owner, or what the advised repairs take in working time when no prices are known; "" when nothing is advised.
[[nodiscard]] std::string owner_costs(const assess::Assessment& all);

}  // namespace headjoint::report
