#pragma once

#include "headjoint/assess/operation.h"
#include "headjoint/assess/results_cranking.h"
#include "headjoint/report/internal/terminal_page.h"

namespace headjoint::report {

/// Before a step that is still to be done, or done again.
void show_cautions(TerminalPage& page, const std::vector<assess::Caution>& cautions);
void show(TerminalPage& page, const assess::LeakDown& leak_down);
/// With the cautions of doing it.
void show(TerminalPage& page, const assess::LeakDownReply& reply);
void show(TerminalPage& page, const assess::Compression& compression);
void show(TerminalPage& page, const assess::CrankedEngine& cranked);
void show(TerminalPage& page, const assess::Flatness& face);
void show(TerminalPage& page, const assess::NetworkReply& network);

}  // namespace headjoint::report
