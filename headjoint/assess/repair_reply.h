#pragma once

#include "headjoint/assess/results.h"
#include "headjoint/base/result.h"

namespace headjoint::assess {

/// The assessment with the plan of the repair, its proof where there is one, and the job's digest.
/// @returns problems of the signs and readings after the repair
[[nodiscard]] Result<Assessment> with_repair(Assessment all);

/// SHA-256 of the job as the program writes it: 64 hexadecimal digits.
[[nodiscard]] std::string hash_of(const jobs::Job& job);

}  // namespace headjoint::assess
