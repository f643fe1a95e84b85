#pragma once

#include "headjoint/assess/results_photo.h"
#include "headjoint/report/internal/terminal_page.h"

namespace headjoint::report {

void show(TerminalPage& page, const assess::GasketPhoto& answer);
void show(TerminalPage& page, const assess::Completeness& answer);

}  // namespace headjoint::report
