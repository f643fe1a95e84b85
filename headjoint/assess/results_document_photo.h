#pragma once

#include "headjoint/assess/results_photo.h"
#include "headjoint/base/document.h"

/// The photograph of a gasket and the completeness of an engine as the fixed output keys.
namespace headjoint::assess {

[[nodiscard]] Document to_document(const GasketPhoto& answer);
[[nodiscard]] Document to_document(const Completeness& answer);

}  // namespace headjoint::assess
