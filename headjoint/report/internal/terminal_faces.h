#pragma once

#include "headjoint/assess/operation.h"
#include "headjoint/assess/results_faces.h"
#include "headjoint/report/internal/terminal_page.h"

namespace headjoint::report {

void show(TerminalPage& page, const assess::FlatnessReply& reply);
void show(TerminalPage& page, const assess::Straightedge& straightedge);
void show(TerminalPage& page, const assess::Skim& skim);

}  // namespace headjoint::report
