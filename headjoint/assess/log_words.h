#pragma once

#include "headjoint/assess/results_traces.h"
#include "headjoint/coolant/coolant_log.h"

namespace headjoint::assess {

/// What a judged log answers, with its words, proposals for the job and a curve to draw.
[[nodiscard]] CoolantLogReply log_reply(const coolant::LogFinding& finding, const coolant::LogQuestion& question,
                                        const coolant::CoolantLog& log);

}  // namespace headjoint::assess
