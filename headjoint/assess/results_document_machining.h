#pragma once

#include "headjoint/assess/results_machining.h"
#include "headjoint/base/document.h"

/// Cuts and shims as the fixed output keys.
namespace headjoint::assess {

[[nodiscard]] Document to_document(const CutLine& line);
[[nodiscard]] Document to_document(const AfterSkim& answer);
[[nodiscard]] Document to_document(const ShimAnswer& answer);

}  // namespace headjoint::assess
