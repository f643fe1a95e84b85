#pragma once

#include "headjoint/assess/results_record.h"
#include "headjoint/report/internal/terminal_page.h"

namespace headjoint::report {

void show(TerminalPage& page, const assess::ShopRecord& record);

}  // namespace headjoint::report
