#pragma once

#include <vector>

#include "headjoint/traces/relative_compression.h"

namespace headjoint::traces {

/// Rising flanks through the middle between low and high, s.
[[nodiscard]] std::vector<double> pulse_times(const Signal& signal);

/// Puts every event into its cycle and place, by counting and, when there is one, by the sync channel.
void place_events(RelativeCompression& result, const CrankingQuestion& question);

}  // namespace headjoint::traces
