#include "headjoint/machining/crank_train.h"

#include <cmath>

#include "headjoint/base/error.h"

namespace headjoint::machining {

Length piston_drop(const CrankTrain& train, Angle after_top) {
  const double crank = 0.5 * train.stroke.si(), rod = train.rod_length.si();
  if (!(crank > 0)) throw InputError("stroke", "must be greater than zero");
  if (!(rod > crank)) throw InputError("rod_length", "must be longer than half the stroke");
  const double side = crank * std::sin(after_top.radians());
  const double half = std::sin(0.5 * after_top.radians());
  const double by_crank = 2 * crank * half * half;
  const double by_rod = side * side / (rod + std::sqrt(rod * rod - side * side));
  return Length::from_si(by_crank + by_rod);
}

}  // namespace headjoint::machining
