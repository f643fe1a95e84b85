#pragma once

#include "headjoint/units/points.h"
#include "headjoint/units/quantity.h"

namespace headjoint::machining {

/// Crank and rod of one cylinder, pin and bore on one line.
struct CrankTrain {
  Length stroke;      ///< > 0
  Length rod_length;  ///< between the eyes; > half the stroke
};

/// How far the piston stands below its top dead centre.
///
/// x = a (1 - cos t) + l - sqrt(l^2 - a^2 sin^2 t), a half the stroke, l the rod, t the crank angle. An offset pin is not in it.
///
/// @param after_top  any angle, also before (negative) and beyond a turn
/// @throws InputError naming stroke or rod_length when they make no crank train
/// @par Source  plane geometry of the slider crank; printed examples in crank_train_test.cc
[[nodiscard]] Length piston_drop(const CrankTrain& train, Angle after_top);

}  // namespace headjoint::machining
