#pragma once

#include "headjoint/assess/results_clamp.h"
#include "headjoint/base/document.h"

/// The clamped joint as the fixed output keys.
namespace headjoint::assess {

[[nodiscard]] Document to_document(const Clamping& answer);
[[nodiscard]] Document to_document(const SealingAnswer& answer);
[[nodiscard]] Document to_document(const TighteningAnswer& answer);
[[nodiscard]] Document to_document(const BoltAnswer& answer);
[[nodiscard]] Document to_document(const WrenchLogAnswer& answer);

}  // namespace headjoint::assess
