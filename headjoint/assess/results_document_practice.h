#pragma once

#include "headjoint/assess/results_practice.h"
#include "headjoint/base/document.h"

namespace headjoint::assess {

/// The state of the game; `score` is null until something was named, and nothing before it tells the truth.
[[nodiscard]] Document to_document(const PracticeAnswer& answer);

}  // namespace headjoint::assess
