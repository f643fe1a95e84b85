#pragma once

#include "headjoint/assess/results_practice.h"
#include "headjoint/report/internal/terminal_page.h"

namespace headjoint::report {

/// The whole state: story, what was bought, what is on offer; after the naming the reckoning.
void show(TerminalPage& page, const assess::PracticeAnswer& answer);

void show_story(TerminalPage& page, const assess::PracticeAnswer& answer);
void show_offers(TerminalPage& page, const assess::PracticeAnswer& answer);
void show_names(TerminalPage& page, const assess::PracticeAnswer& answer);
void show_move(TerminalPage& page, const assess::PracticeMove& move);
void show_score(TerminalPage& page, const assess::PracticeAnswer& answer);

}  // namespace headjoint::report
