#pragma once

#include "headjoint/assess/operation.h"
#include "headjoint/report/internal/terminal_page.h"

namespace headjoint::report {

void show_finding(TerminalPage& page, const assess::Finding& finding, const assess::Assessment& all);
void show_next_checks(TerminalPage& page, const assess::Assessment& all, std::size_t most);
void show_weights(TerminalPage& page, const assess::Finding& finding);
/// The chance of a failed joint after each entry of the job.
void show_line(TerminalPage& page, const assess::Finding& finding);
void show_options(TerminalPage& page, const std::vector<assess::RepairOption>& options);
void show_question(TerminalPage& page, const assess::Question& question);

}  // namespace headjoint::report
