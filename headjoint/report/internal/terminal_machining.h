#pragma once

#include "headjoint/assess/results_machining.h"
#include "headjoint/report/internal/terminal_page.h"

namespace headjoint::report {

/// Before, after, limit and verdict of everything a cut changes, then what would put it back.
void show(TerminalPage& page, const assess::AfterSkim& answer);

/// Which shim goes where, and what to buy.
void show(TerminalPage& page, const assess::ShimAnswer& answer);

}  // namespace headjoint::report
