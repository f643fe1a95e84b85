#pragma once

#include "headjoint/assess/results.h"
#include "headjoint/report/internal/terminal_page.h"

namespace headjoint::report {

void show(TerminalPage& page, const assess::RepairPlan& plan);
void show(TerminalPage& page, const assess::Proof& proof);

}  // namespace headjoint::report
