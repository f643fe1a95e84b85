#pragma once

#include "headjoint/repair/internal/outcomes.h"
#include "headjoint/repair/repair_case.h"

namespace headjoint::repair {

/// How the joint is run on.
struct RunOn {
  double distance_km = 0;
  bool has_stop_leak = false;
  bool feels_cooling_fault = false;  ///< a cooling fault that is left in too
};

/// Chance of losing the engine over the distance in one state.
[[nodiscard]] double engine_lost_in(unsigned leaks, const RunOn& run, const ShopPrices& prices);

/// What a joint left in one state comes to: the engine, the job later with or without the head, or nothing.
/// @param later_job  the joint renewed later, and what coming back costs beside
[[nodiscard]] Outcomes left_in_outcomes(unsigned leaks, const RunOn& run, const Span& later_job, const RepairCase& repair_case,
                                        const ShopPrices& prices);

/// Chance that re-tightening holds everything that leaks.
[[nodiscard]] double retightening_holds(unsigned leaks, const ShopPrices& prices);

}  // namespace headjoint::repair
