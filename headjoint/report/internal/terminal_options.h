#pragma once

#include "headjoint/assess/operation.h"
#include "headjoint/report/internal/terminal_page.h"

namespace headjoint::report {

/// The whole answer: table, what the choice hangs on, notes.
void show(TerminalPage& page, const assess::OptionsReply& reply);

/// The table and the sentence alone, for the overview.
void show_choice(TerminalPage& page, const assess::OptionsAnswer& answer);

}  // namespace headjoint::report
