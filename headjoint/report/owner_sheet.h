#pragma once

#include <string>

#include "headjoint/assess/results.h"
#include "headjoint/report/paper.h"

namespace headjoint::report {

/// One page for the owner in plain words: what was found, how sure that is, whether the engine may be run, what to do next.
///
/// Says "do not run it" for any breach between cylinders, into the oil, or of coolant into oil or cylinder that is not ruled out,
/// and that stop-leak is a way home, not a repair.
[[nodiscard]] std::string owner_sheet_html(const assess::Assessment& all, const PaperStamp& stamp);

}  // namespace headjoint::report
