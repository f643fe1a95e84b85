#pragma once

#include <string>
#include <vector>

#include "headjoint/assess/results.h"

namespace headjoint::report {

/// Whether the engine may be run with what is suspected.
struct DrivingAdvice {
  enum class Level { kDoNotRun, kDoNotDrive, kWithCare, kNothingAgainst };
  Level level = Level::kDoNotRun;
  std::string headline;              ///< one line
  std::vector<std::string> reasons;  ///< why, or what to watch
};

/// The strictest advice that any path calls for whose chance is not below 0.10: a path is taken as there until it is ruled out.
/// Without a finding the engine is not to be run.
/// @par Source  common practice, no source
[[nodiscard]] DrivingAdvice driving_advice(const assess::Finding& finding, joint::CooledBy cooling);

}  // namespace headjoint::report
