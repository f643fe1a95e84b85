#pragma once

#include "headjoint/assess/results_photo.h"
#include "headjoint/joint/engine.h"

namespace headjoint::assess {

/// What each calculation still needs of an engine, asked of the readers that the calculations themselves use.
///
/// `missing` keeps it from running; `better_with` are keys without which it says less or takes a usual value.
[[nodiscard]] Completeness completeness_of(const joint::Engine& engine);

}  // namespace headjoint::assess
