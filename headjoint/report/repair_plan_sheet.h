#pragma once

#include <string>

#include "headjoint/assess/results.h"
#include "headjoint/report/paper.h"

namespace headjoint::report {

/// The plan of the repair to work by: parts, order of work with a box for each step, cautions before the step they belong to.
[[nodiscard]] std::string repair_plan_html(const assess::Assessment& all, const PaperStamp& stamp);

/// Strip-down record as a part of the full record: marked plan, bolts, liners, photographs; "" when nothing was recorded.
[[nodiscard]] std::string strip_down_part(const assess::Assessment& all);

}  // namespace headjoint::report
