#pragma once

#include "headjoint/assess/results_repair.h"
#include "headjoint/base/document.h"

namespace headjoint::assess {

[[nodiscard]] Document to_document(const RepairPlan& plan);
[[nodiscard]] Document to_document(const Proof& proof);

}  // namespace headjoint::assess
