#pragma once

#include <vector>

#include "headjoint/server/workbench.h"

namespace headjoint::cli {

/// The documents that a shop keeps for itself, each with a start to fill in and the reader that checks it.
[[nodiscard]] std::vector<server::ShopDocument> shop_documents();

}  // namespace headjoint::cli
