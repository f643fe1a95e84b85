#pragma once

#include <vector>

#include "headjoint/assess/results_traces.h"
#include "headjoint/report/pictures.h"

namespace headjoint::report {

[[nodiscard]] std::vector<Picture> draw(const assess::TraceReply& reply);
[[nodiscard]] std::vector<Picture> draw(const assess::CoolantLogReply& reply);

}  // namespace headjoint::report
