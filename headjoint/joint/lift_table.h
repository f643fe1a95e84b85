#pragma once

#include <optional>
#include <span>

#include "headjoint/base/problem.h"
#include "headjoint/joint/engine.h"

namespace headjoint::joint {

/// Why a measured lift table cannot be used, or empty when it can.
///
/// Three points or more, crank degrees rising over no more than a cycle, no lift below zero, and a valve that begins and ends
/// shut: the first and the last lift at most 0.02 mm or a hundredth of the greatest, whichever is more. A table that begins at a
/// checking lift does not say where the flanks run between there and the seat.
[[nodiscard]] std::optional<Problem> lift_table_fault(std::span<const LiftPoint> table);

}  // namespace headjoint::joint
