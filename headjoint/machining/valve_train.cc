#include "headjoint/machining/valve_train.h"

#include <cmath>

#include "headjoint/base/error.h"

namespace headjoint::machining {
namespace {

void check_ratio(double rocker_ratio) {
  if (!(rocker_ratio > 0)) throw InputError("rocker_ratio", "must be greater than zero");
}

}  // namespace

Length pushrod_shortening(Length lowered, Angle pushrod_angle) { return lowered * std::cos(pushrod_angle.radians()); }

Length solid_lash_change(Length lowered, double rocker_ratio, Angle pushrod_angle, Length tip_raised) {
  check_ratio(rocker_ratio);
  return -(rocker_ratio * pushrod_shortening(lowered, pushrod_angle)) - tip_raised;
}

Length lifter_preload_change(Length lowered, double rocker_ratio, Angle pushrod_angle, Length tip_raised) {
  check_ratio(rocker_ratio);
  return pushrod_shortening(lowered, pushrod_angle) + tip_raised / rocker_ratio;
}

}  // namespace headjoint::machining
