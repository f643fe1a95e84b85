#pragma once

#include "headjoint/assess/operation.h"

/// The rows of the operation table; each is declared in the file that holds its function.
namespace headjoint::assess {

[[nodiscard]] Operation assess_operation();
[[nodiscard]] Operation finding_operation();
[[nodiscard]] Operation next_check_operation();
[[nodiscard]] Operation options_operation();
[[nodiscard]] Operation questions_operation();
[[nodiscard]] Operation compression_operation();
[[nodiscard]] Operation leak_down_operation();
[[nodiscard]] Operation pressure_hold_operation();
[[nodiscard]] Operation cold_rise_operation();
[[nodiscard]] Operation gas_test_operation();
[[nodiscard]] Operation oil_water_operation();
[[nodiscard]] Operation white_vapour_operation();
[[nodiscard]] Operation boiling_operation();
[[nodiscard]] Operation trace_operation();
[[nodiscard]] Operation coolant_log_operation();
[[nodiscard]] Operation flatness_operation();
[[nodiscard]] Operation after_skim_operation();
[[nodiscard]] Operation shims_operation();
[[nodiscard]] Operation straightedge_operation();
[[nodiscard]] Operation skim_operation();
[[nodiscard]] Operation bolt_operation();
[[nodiscard]] Operation clamp_operation();
[[nodiscard]] Operation seal_chance_operation();
[[nodiscard]] Operation tighten_operation();
[[nodiscard]] Operation wrench_log_operation();
[[nodiscard]] Operation completeness_operation();
[[nodiscard]] Operation gasket_photo_operation();
[[nodiscard]] Operation plan_operation();
[[nodiscard]] Operation proof_operation();
[[nodiscard]] Operation network_operation();
[[nodiscard]] Operation shop_record_operation();
[[nodiscard]] Operation practice_operation();
[[nodiscard]] Operation check_operation();
[[nodiscard]] Operation new_operation();

}  // namespace headjoint::assess
