#pragma once

#include <string>

#include "headjoint/assess/results.h"
#include "headjoint/report/paper.h"

namespace headjoint::report {

/// One sheet to tighten the head by: the plan with every bolt's turn, the maker's stages with a box for each bolt, angles, lubricant, tool,
/// cautions. What the engine file does not say is left to be written in: nothing is invented.
[[nodiscard]] std::string tightening_sheet_html(const assess::Assessment& all, const PaperStamp& stamp);

}  // namespace headjoint::report
