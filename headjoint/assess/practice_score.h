#pragma once

#include <vector>

#include "headjoint/assess/practice_game.h"

namespace headjoint::assess {

/// The reckoning: what was there, what naming it cost, what the best policy made of the same engine, and where the reasoning went wrong.
///
/// Policy: always the check that is expected to save most over its cost, until none saves more than it costs; then every repair whose
/// expected loss when left is above its cost. It looks one check ahead.
/// @param game  after the learner's checks; @param moves  the same checks, what each brought, and what was named
[[nodiscard]] PracticeScore practice_score(const PracticeGame& game, const PracticeMoves& moves, const std::vector<PracticeMove>& done);

}  // namespace headjoint::assess
