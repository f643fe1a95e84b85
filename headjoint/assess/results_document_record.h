#pragma once

#include "headjoint/assess/results_record.h"
#include "headjoint/base/document.h"

namespace headjoint::assess {

[[nodiscard]] Document to_document(const ShopRecord& record);

}  // namespace headjoint::assess
