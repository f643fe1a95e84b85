#pragma once

#include <iosfwd>

#include "headjoint/assess/operation.h"

namespace headjoint::cli {

/// Plays practice in the terminal: shows the owner's story and the checks, reads a line, answers, until a fault is named, the player quits
/// or the input ends.
/// @param request  with the options seed and level
/// @returns an exit code
[[nodiscard]] int play_practice(const assess::Operation& practice, assess::Request request, std::istream& in, std::ostream& out,
                                std::ostream& err);

}  // namespace headjoint::cli
