#pragma once

#include <string>

#include "headjoint/assess/results.h"
#include "headjoint/report/paper.h"

namespace headjoint::report {

/// Blank sheets for the bay, where no screen is: tests, strip-down, faces, and readings after the repair, with the engine's own
/// cylinders, bolts and plan. One page each; cautions stand before what they protect.
[[nodiscard]] std::string measuring_sheets_html(const assess::Assessment& all, const PaperStamp& stamp);

}  // namespace headjoint::report
