#pragma once

#include "headjoint/assess/results_clamp.h"
#include "headjoint/report/internal/terminal_page.h"

namespace headjoint::report {

void show(TerminalPage& page, const assess::Clamping& answer);
void show(TerminalPage& page, const assess::SealingAnswer& answer);
void show(TerminalPage& page, const assess::TighteningAnswer& answer);
void show(TerminalPage& page, const assess::BoltAnswer& answer);
void show(TerminalPage& page, const assess::WrenchLogAnswer& answer);

}  // namespace headjoint::report
