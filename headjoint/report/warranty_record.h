#pragma once

#include <string>

#include "headjoint/assess/results.h"
#include "headjoint/report/paper.h"

namespace headjoint::report {

/// What was done, what was fitted, what was read before and after, what is promised: one paper to keep with the vehicle.
/// @pre the job has a repair; without one the paper says that nothing is repaired yet
[[nodiscard]] std::string warranty_record_html(const assess::Assessment& all, const PaperStamp& stamp);

/// Repair and proof as parts of the full record; "" without a repair.
[[nodiscard]] std::string repair_part(const assess::Assessment& all);
[[nodiscard]] std::string proof_part(const assess::Proof& proof);

}  // namespace headjoint::report
