#pragma once

#include "headjoint/assess/operation.h"
#include "headjoint/assess/results_traces.h"
#include "headjoint/report/internal/terminal_page.h"

namespace headjoint::report {

void show(TerminalPage& page, const assess::TraceReply& reply);
void show(TerminalPage& page, const assess::CoolantLogReply& reply);

}  // namespace headjoint::report
