#pragma once

#include "headjoint/assess/operation.h"
#include "headjoint/assess/results_cooling.h"
#include "headjoint/report/internal/terminal_page.h"

namespace headjoint::report {

void show(TerminalPage& page, const assess::BoilingReply& reply);
void show(TerminalPage& page, const assess::PressureHoldReply& reply);
void show(TerminalPage& page, const assess::ColdRiseReply& reply);
void show(TerminalPage& page, const assess::GasTestReply& reply);
void show(TerminalPage& page, const assess::OilWaterReply& reply);
void show(TerminalPage& page, const assess::WhiteVapourReply& reply);

}  // namespace headjoint::report
