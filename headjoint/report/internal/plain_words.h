#pragma once

#include <string>

#include "headjoint/assess/results.h"

/// What the owner reads: no word of the trade that a driver does not know.
namespace headjoint::report {

/// "Burning gas passes between cylinders 2 and 3."
[[nodiscard]] std::string plain_path(const assess::Suspect& path);

/// What the finding says, in one or two sentences.
/// @param is_mended  told of what was there before a repair
[[nodiscard]] std::string plain_verdict(const assess::Finding& finding, bool is_mended = false);

/// A reading after the repair as an owner understands it: "pressure that each cylinder builds up".
[[nodiscard]] std::string plain_check(const std::string& test);

}  // namespace headjoint::report
