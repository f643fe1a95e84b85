#pragma once

#include "headjoint/traces/relative_compression.h"

namespace headjoint::traces {

/// Names the pattern of the weak places and the pairs of cylinders it may mean, with notes.
void name_pattern(RelativeCompression& result, const CrankingQuestion& question);

}  // namespace headjoint::traces
