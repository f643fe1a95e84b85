#pragma once

#include "headjoint/repair/repair_case.h"

/// What pieces of work cost this engine.
namespace headjoint::repair {

/// Hours for all heads that come off, off and on; what is spent already when the head is off is left out.
[[nodiscard]] Span work_on_heads(const RepairCase& repair_case, const ShopPrices& prices, bool is_taken_off_already);

/// Gasket sets, bolts where due, coolant and oil.
[[nodiscard]] Span joint_parts(const RepairCase& repair_case, const ShopPrices& prices);

[[nodiscard]] Span head_service(const RepairCase& repair_case, const ShopPrices& prices);
[[nodiscard]] Span other_head(const RepairCase& repair_case, const ShopPrices& prices);
[[nodiscard]] Span other_engine(const ShopPrices& prices);

/// The joint renewed later with a head service, and what a come-back costs beside.
[[nodiscard]] Span come_back_job(const RepairCase& repair_case, const ShopPrices& prices);

}  // namespace headjoint::repair
