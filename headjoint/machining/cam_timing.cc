#include "headjoint/machining/cam_timing.h"

#include <cmath>
#include <numbers>

#include "headjoint/base/error.h"

namespace headjoint::machining {
namespace {

void check_sprocket(Length pitch, int teeth) {
  if (!(pitch.si() > 0)) throw InputError("pitch", "must be greater than zero");
  if (!(teeth >= 3)) throw InputError("teeth", "a sprocket has three teeth or more");
}

TimingShift at_cam(double radians) { return {Angle::from_radians(radians), Angle::from_radians(2 * radians)}; }

}  // namespace

Length chain_pitch_radius(Length pitch, int teeth) {
  check_sprocket(pitch, teeth);
  return pitch / (2 * std::sin(std::numbers::pi / teeth));
}

Length belt_pitch_radius(Length pitch, int teeth) {
  check_sprocket(pitch, teeth);
  return pitch * (teeth / (2 * std::numbers::pi));
}

TimingShift timing_shift(Length lowered, Length cam_radius, Angle strand) {
  if (!(cam_radius.si() > 0)) throw InputError("cam_radius", "must be greater than zero");
  return at_cam(lowered / cam_radius * std::cos(strand.radians()));
}

TimingShift timing_shift(Length lowered, Length crank_radius, Length cam_radius, Length centre_distance) {
  const double r2 = cam_radius.si(), step = r2 - crank_radius.si();
  const double before = centre_distance.si(), after = before - lowered.si();
  if (!(r2 > 0)) throw InputError("cam_radius", "must be greater than zero");
  if (!(crank_radius.si() > 0)) throw InputError("crank_radius", "must be greater than zero");
  if (!(before > std::abs(step) && after > std::abs(step)))
    throw InputError("centre_distance", "must be larger than the difference of the sprockets' radii, before and after the cut");
  const double contact = std::asin(step / after) - std::asin(step / before);
  const double strand = std::sqrt(after * after - step * step) - std::sqrt(before * before - step * step);
  return at_cam((step * contact + strand) / -r2);
}

}  // namespace headjoint::machining
