#pragma once

#include "headjoint/assess/results_traces.h"
#include "headjoint/assess/trace_question.h"
#include "headjoint/traces/recording.h"

namespace headjoint::assess {

/// Cylinders compared by what they cost the starter, with words and proposals; or why that cannot be done.
[[nodiscard]] Result<TraceReply> compare_by_starter(const traces::Recording& recording, const TraceQuestion& question);

/// Pulses in the coolant's pressure, with words; or why that cannot be done.
[[nodiscard]] Result<TraceReply> look_for_pulses(const traces::Recording& recording, const TraceQuestion& question);

}  // namespace headjoint::assess
