#pragma once

#include "headjoint/assess/results_cranking.h"
#include "headjoint/base/document.h"

namespace headjoint::assess {

[[nodiscard]] Document to_document(const CrankedEngine& cranked);
[[nodiscard]] Document to_document(const CompressionRepeat& repeat);

}  // namespace headjoint::assess
