#include "headjoint/leakage/pressure_hold.h"

#include <algorithm>
#include <cmath>

#include "headjoint/leakage/coolant_leak.h"
#include "headjoint/leakage/internal/arguments.h"

namespace headjoint::leakage {
namespace {

constexpr double kPascalPerBar = 1e5;
constexpr double kMakersRate = 2 * 6894.757 / 120;  // Pa/s
constexpr double kPracticeDrop = 0.1e5;             // Pa
constexpr double kPracticeTime = 600;               // s

void check_hold(const PressureHold& hold) {
  check_argument(hold.start.pascal() >= 1e4 && hold.start.pascal() <= 2.5e5, "start",
                 "must lie between 0.1 bar and 2.5 bar (psi typed as bar? never pump above the cap's stamp)");
  check_argument(hold.end.pascal() >= 0 && hold.end.pascal() <= hold.start.pascal() + 5e4, "end",
                 "must lie between 0 bar and little above the start (start and end swapped?)");
  check_argument(hold.time.si() >= 10 && hold.time.si() <= 86400, "time", "must lie between 10 s and 24 h");
  check_argument(hold.gas_space.si() >= 1e-5 && hold.gas_space.si() <= 0.1, "gas space", "must lie between 0.01 L and 100 L");
  check_argument(hold.gas_space_error >= 0 && hold.gas_space_error <= 0.9, "gas space error", "must lie between 0 and 0.9");
  check_argument(hold.hose_growth.si() >= 0 && hold.hose_growth.si() <= 0.1, "hose growth", "must lie between 0 L and 100 L per bar");
  check_argument(hold.coolant_volume.si() >= 0 && hold.coolant_volume.si() <= 0.5, "coolant volume", "must lie between 0 L and 500 L");
  check_argument(std::abs(hold.warming.si()) <= 60, "warming", "must lie between -60 K and 60 K");
  check_argument(hold.temperature_error.si() >= 0 && hold.temperature_error.si() <= 20, "temperature error",
                 "must lie between 0 K and 20 K");
  check_argument(hold.gauge_step.pascal() > 0 && hold.gauge_step.pascal() <= 5e4, "gauge step", "must be above 0 and at most 0.5 bar");
  check_positive(hold.liquid_density, "liquid density");
  check_ambient(hold.ambient);
}

/// The system at the mean pressure of the test, SI.
struct Spring {
  double air, hoses, pascal, gauge, seconds;

  [[nodiscard]] double liquid(double drop) const { return (air / pascal + hoses) * drop / seconds; }  ///< m3/s
  [[nodiscard]] double gas(double drop) const { return (air + pascal * hoses) * drop / seconds; }     ///< Pa m3/s
  [[nodiscard]] double rise_per_kelvin(const PressureHold& hold) const {
    const double volume = kCoolantGrowthPerKelvin * hold.coolant_volume.si() + air / hold.ambient.temperature.kelvin();
    return volume / (air / pascal + hoses);
  }
};

Spring spring_of(const PressureHold& hold, double air_factor) {
  const double gauge = (hold.start.pascal() + hold.end.pascal()) / 2;
  return {hold.gas_space.si() * air_factor, hold.hose_growth.si() / kPascalPerBar, gauge + hold.ambient.pressure.pascal(), gauge,
          hold.time.si()};
}

double liquid_opening(const PressureHold& hold, const Spring& spring, double drop) {
  return spring.liquid(drop) / liquid_flow(Area::from_si(1), GaugePressure::from_pascal(spring.gauge), hold.liquid_density).si();
}

double gas_area(const PressureHold& hold, const Spring& spring, double drop) {
  const Gas air;
  const double kg_per_second = spring.gas(drop) / (air.gas_constant * hold.ambient.temperature.kelvin());
  const GasState inside{AbsolutePressure::from_pascal(spring.pascal), hold.ambient.temperature};
  return effective_area_of_flow(MassFlow::from_si(kg_per_second), inside, hold.ambient.pressure, air).si();
}

struct Drops {
  double value, low, high;
  double unseen;  ///< a leak must lower the pressure by this much to be told
};

HoldVerdict verdict_of(const PressureHold& hold, const Drops& drops) {
  if (drops.value < -drops.unseen) return HoldVerdict::kRose;
  if (!(drops.low > 0)) return HoldVerdict::kHolds;
  const bool by_maker = drops.value / hold.time.si() > kMakersRate;
  const double allowed = kPracticeDrop * std::max(1.0, hold.time.si() / kPracticeTime);
  const bool by_practice = drops.value > allowed;
  return by_maker || by_practice ? HoldVerdict::kLeaks : HoldVerdict::kFallsSlowly;
}

template <class AreaOf>
LeakArea banded(const PressureHold& hold, const Drops& drops, AreaOf&& area_of) {
  const double low = std::max(0.0, drops.low), high = std::max(drops.unseen, drops.high);
  LeakArea area;
  area.area = Area::from_si(area_of(hold, spring_of(hold, 1), std::max(0.0, drops.value)));
  area.low = Area::from_si(area_of(hold, spring_of(hold, 1 - hold.gas_space_error), low));
  area.high = Area::from_si(area_of(hold, spring_of(hold, 1 + hold.gas_space_error), high));
  if (hold.end.pascal() < hold.gauge_step.pascal()) area.high.reset();  // at zero the needle says nothing of when it came there
  area.status = low > 0 ? LeakArea::Status::kMeasured : LeakArea::Status::kBelowLimit;
  return area;
}

}  // namespace

HoldResult judge_pressure_hold(const PressureHold& hold) {
  check_hold(hold);
  const Spring spring = spring_of(hold, 1);
  const double per_kelvin = std::max(spring.rise_per_kelvin(hold), spring_of(hold, 1 - hold.gas_space_error).rise_per_kelvin(hold));
  const double read = hold.start.pascal() - hold.end.pascal();
  const double explained = -spring.rise_per_kelvin(hold) * hold.warming.si();
  const double unseen = hold.gauge_step.pascal() + per_kelvin * hold.temperature_error.si();
  const double value = read - explained;
  const Drops drops{value, value - unseen, value + unseen, unseen};
  HoldResult result;
  result.drop = GaugePressure::from_pascal(read);
  result.drop_explained = GaugePressure::from_pascal(explained);
  result.liquid = VolumeFlow::from_si(spring.liquid(std::max(0.0, value)));
  result.gas = VolumeFlow::from_si(spring.gas(std::max(0.0, value)) / kStandardPressure.pascal() * kStandardTemperature.kelvin() /
                                   hold.ambient.temperature.kelvin());
  result.liquid_opening = banded(hold, drops, liquid_opening);
  result.gas_area = banded(hold, drops, gas_area);
  result.smallest_liquid = Area::from_si(liquid_opening(hold, spring, unseen));
  result.smallest_gas = Area::from_si(gas_area(hold, spring, unseen));
  result.verdict = verdict_of(hold, drops);
  if (result.verdict == HoldVerdict::kRose) result.liquid_opening.status = result.gas_area.status = LeakArea::Status::kNotRun;
  return result;
}

}  // namespace headjoint::leakage
