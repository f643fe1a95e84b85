#pragma once

#include <string>

#include "headjoint/joint/engine.h"

namespace headjoint::report {

/// The engine's figures as typed, each with its origin; "" when the file gives none.
[[nodiscard]] std::string figures_part(const joint::Engine& engine);

}  // namespace headjoint::report
