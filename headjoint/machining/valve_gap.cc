#include "headjoint/machining/valve_gap.h"

#include <cmath>
#include <numbers>

namespace headjoint::machining {
namespace {

constexpr int kCycleDegrees = 720;
constexpr double kNarrow = 1e-6;  // degrees

/// Lowest point of a function with one valley between `low` and `high`, by golden section.
template <class Function>
double lowest_between(const Function& f, double low, double high) {
  constexpr double kGolden = 1 / std::numbers::phi;
  double left = high - kGolden * (high - low), right = low + kGolden * (high - low);
  double at_left = f(left), at_right = f(right);
  while (high - low > kNarrow) {
    if (at_left < at_right) {
      high = right, right = left, at_right = at_left;
      left = high - kGolden * (high - low), at_left = f(left);
    } else {
      low = left, left = right, at_left = at_right;
      right = low + kGolden * (high - low), at_right = f(right);
    }
  }
  return 0.5 * (low + high);
}

}  // namespace

Length valve_gap(const ValveOverPiston& valve, const CrankTrain& train, Angle crank, const GapShift& shift) {
  const double opening = valve.full_lift.degrees() - valve.lift.full_lift_at().degrees() + shift.retard.degrees();
  double since_opening = std::fmod(crank.degrees() - opening, kCycleDegrees);
  if (since_opening < 0) since_opening += kCycleDegrees;
  const double along = std::cos(valve.valve_angle.radians());
  const Length lift = valve.lift.lift(Angle::from_degrees(since_opening));
  return valve.gap_at_dead_centre + shift.seat_sunk + (piston_drop(train, crank) - shift.lowered) * along - lift;
}

SmallestGap smallest_valve_gap(const ValveOverPiston& valve, const CrankTrain& train, const GapShift& shift) {
  const auto gap = [&](double degrees) { return valve_gap(valve, train, Angle::from_degrees(degrees), shift).si(); };
  int nearest = 0;
  double smallest = gap(0);
  for (int step = 1; step <= kCycleDegrees; ++step) {
    const int degrees = step % 2 == 1 ? (step + 1) / 2 : -step / 2;  // 1, -1, 2, -2 ...: equal gaps go to the dead centre
    const double here = gap(degrees);
    if (here < smallest) smallest = here, nearest = degrees;
  }
  const double narrowed = lowest_between(gap, nearest - 1.0, nearest + 1.0);
  const double at = gap(narrowed) < smallest ? narrowed : nearest;
  return {Length::from_si(gap(at)), Angle::from_degrees(at)};
}

}  // namespace headjoint::machining
