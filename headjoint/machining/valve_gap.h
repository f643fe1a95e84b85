#pragma once

#include "headjoint/machining/crank_train.h"
#include "headjoint/machining/lift_curve.h"

namespace headjoint::machining {

/// One valve above its piston. Crank angles count from the top dead centre of gas exchange, where both valves are just open.
struct ValveOverPiston {
  LiftCurve lift;
  Angle full_lift;            ///< where the valve is fully open: after (+) that dead centre for intake, before (-) for exhaust
  Angle valve_angle;          ///< between valve axis and cylinder axis
  Length gap_at_dead_centre;  ///< valve shut, piston at the top, along the valve
};

/// What changes the gap without changing the parts.
struct GapShift {
  Length lowered;    ///< how much nearer head and crank have come: cuts of head and deck less what the gasket gained
  Angle retard;      ///< how much later the valve moves, in crank degrees; negative = earlier
  Length seat_sunk;  ///< how much deeper the valve sits
};

/// Gap along the valve at one crank angle: g0 - lowered cos t + seat sunk + x cos t - lift. The pocket stands square to the valve.
/// @returns negative where valve and piston would run into each other
[[nodiscard]] Length valve_gap(const ValveOverPiston& valve, const CrankTrain& train, Angle crank, const GapShift& shift = {});

struct SmallestGap {
  Length gap;
  Angle at;  ///< after the top dead centre of gas exchange; negative = before
};

/// The smallest gap over the whole cycle.
///
/// Scanned at every degree of two turns, so that both flanks, both dead centres and any lift law are covered, then narrowed to
/// 1e-6 degrees round the smallest.
/// @throws InputError naming stroke or rod_length
[[nodiscard]] SmallestGap smallest_valve_gap(const ValveOverPiston& valve, const CrankTrain& train, const GapShift& shift = {});

}  // namespace headjoint::machining
