#pragma once

#include "headjoint/assess/operation.h"
#include "headjoint/report/internal/terminal_page.h"

namespace headjoint::report {

/// Before a step that is still to be done, or done again.
void show_cautions(TerminalPage& page, const std::vector<assess::Caution>& cautions);
void show_leak_down(TerminalPage& page, const assess::LeakDown& leak_down);
void show_compression(TerminalPage& page, const assess::Compression& compression);
void show_face(TerminalPage& page, const assess::Flatness& face);
void show_network(TerminalPage& page, const assess::NetworkReply& network);

}  // namespace headjoint::report
