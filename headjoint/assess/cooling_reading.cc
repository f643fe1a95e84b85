#include "headjoint/assess/cooling_reading.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "headjoint/assess/class_readings.h"
#include "headjoint/assess/readings.h"
#include "headjoint/base/error.h"
#include "headjoint/coolant/density.h"
#include "headjoint/coolant/head_tank.h"
#include "headjoint/leakage/coolant_leak.h"
#include "headjoint/leakage/fuel.h"
#include "headjoint/leakage/pressure_hold.h"

namespace headjoint::assess {
namespace {

constexpr double kLeastArea = 0.003e-6;      // m2
constexpr double kLargestLiquidArea = 1e-6;  // a hose that sprays
constexpr double kLargestGasArea = 3e-6;
constexpr int kAreas = 24;
constexpr double kGaugeStep = 2e3;       // Pa, where the job gives no resolution
constexpr double kRoomTemperature = 20;  // degC, where the job gives none
constexpr double kRoseBy = 3;            // standard errors above the start from which the system was warming

/// Mean of `probability(area)` over the areas.
template <class Function>
double mean_over_areas(double largest, Function&& probability) {
  const double step = std::log(largest / kLeastArea) / kAreas;
  double sum = 0;
  for (int i = 0; i < kAreas; ++i) sum += probability(Area::from_si(kLeastArea * std::exp((i + 0.5) * step)));
  return sum / kAreas;
}

/// Chance that a gauge of this step and error shows `read` where `expected` stands.
double chance_of(double read, double expected, double step, double sigma) {
  const auto below = [&](double limit) { return 0.5 * std::erfc((expected - limit) / (sigma * std::numbers::sqrt2)); };
  return below(read + step / 2) - below(read - step / 2);
}

/// With the floor of a gauge that says nothing, largest 1.
std::vector<double> with_floor(double none, double leak) {
  const double most = std::max({none, leak, 1e-300});
  return {(1 - kWrongReading) * none / most + kWrongReading, (1 - kWrongReading) * leak / most + kWrongReading};
}

double step_of(const jobs::Reading& reading) { return reading.resolution ? reading.resolution->value.pascal() : kGaugeStep; }

coolant::Coolant coolant_of(const joint::Cooling& cooling) {
  if (!cooling.glycol) return {};
  return {cooling.glycol->kind == "propylene" ? coolant::Glycol::kPropylene : coolant::Glycol::kEthylene, cooling.glycol->fraction};
}

// ---- pressure hold ----

/// The cooling system as a spring of air and hoses; coolant leaves through a sharp hole.
struct Spring {
  double ambient, density, hose_growth, gas_space;  // Pa, kg/m3, m3/Pa, m3

  /// Gauge pressure [Pa] after `seconds`, from (V / p + H) dp/dt = -Cd A sqrt(2 p / rho): closed in s = sqrt p.
  [[nodiscard]] double after(double start, double seconds, Area opening) const {
    const double root = std::sqrt(ambient);
    const auto stretch = [&](double s) { return hose_growth * s + gas_space / root * std::atan(s / root); };
    const double spent = leakage::kLiquidDischarge * opening.si() * std::sqrt(2 / density) * seconds / 2;
    const double target = stretch(std::sqrt(start)) - spent;
    if (!(target > 0)) return 0;
    double low = 0, high = std::sqrt(start);
    for (int i = 0; i < 40; ++i) (stretch((low + high) / 2) < target ? low : high) = (low + high) / 2;
    return high * high;
  }

  /// Pressure per kelvin of warming.
  [[nodiscard]] double per_kelvin(double start, double coolant_volume) const {
    constexpr double kRoomKelvin = 293;
    return (gas_space / kRoomKelvin + coolant_volume * leakage::kCoolantGrowthPerKelvin) / (gas_space / (start + ambient) + hose_growth);
  }
};

CoolingReading hold_reading(const jobs::Reading& reading, const jobs::Job& job) {
  const joint::Cooling& cooling = *job.engine.cooling;
  const leakage::PressureHold usual;
  Spring spring{ambient_of(job.history).pressure.pascal(),
                coolant::density(coolant_of(cooling), Temperature::from_celsius(kRoomTemperature)), usual.hose_growth.si() / 1e5,
                usual.gas_space.si()};
  const double start = reading.start->value.pascal(), end = reading.end->value.pascal(), seconds = reading.duration->value.si();
  const double step = step_of(reading);
  // What a standing engine drifts during the test; one that ran goes on cooling.
  const double drift_kelvin = reading.engine == "warm" || reading.engine == "hot" ? 5 : 1;
  const double sigma = std::hypot(drift_kelvin * spring.per_kelvin(start, cooling.volume->value.si()), step / 2);
  CoolingReading result;
  if (end > start + kRoseBy * sigma) {
    result.not_counted = fmt::format("cooling pressure held, {} to {}: it rose, so the system was warming; let it stand and repeat it",
                                     reading.start->text, reading.end->text);
    return result;
  }
  double leak = 0;
  const std::array<double, 3> spaces{0.5, 1, 2};  // of the usual air in the system
  for (const double space : spaces) {
    spring.gas_space = space * usual.gas_space.si();
    leak +=
        mean_over_areas(kLargestLiquidArea, [&](Area area) { return chance_of(end, spring.after(start, seconds, area), step, sigma); }) /
        static_cast<double>(spaces.size());
  }
  result.likelihood = with_floor(chance_of(std::min(end, start), start, step, sigma), leak);
  return result;
}

// ---- rise from cold ----

CoolingReading rise_reading(const jobs::Reading& reading, const jobs::Job& job) {
  constexpr double kHottest = 90;                       // degC; the thermostat holds it there
  constexpr double kModelError = 0.1;                   // share of the expected rise
  constexpr std::array<double, 3> kWarming{1.5, 3, 6};  // K/min of the coolant's mean at idle; common practice, no source
  const joint::Cooling& cooling = *job.engine.cooling;
  coolant::HeadTank tank;
  tank.coolant = coolant_of(cooling);
  tank.coolant_volume = cooling.volume->value;
  if (cooling.cap) tank.cap = cooling.cap->value;
  tank.ambient = ambient_of(job.history).pressure;
  if (job.history.outside_temperature) tank.closed_at = job.history.outside_temperature->value;
  tank.closed_pressure = reading.start->value;
  const double end = reading.end->value.pascal(), start = reading.start->value.pascal(), seconds = reading.duration->value.si();
  const double step = step_of(reading);
  const AbsolutePressure mean = AbsolutePressure::from_pascal(tank.ambient.pascal() + std::max(0.0, (start + end) / 2));
  double none = 0, leak = 0;
  for (const double warming : kWarming) {
    const Temperature now = Temperature::from_celsius(std::clamp(tank.closed_at.celsius() + warming * seconds / 60,
                                                                 tank.closed_at.celsius(), std::max(kHottest, tank.closed_at.celsius())));
    const auto chance = [&](Area area) {
      const Volume gas = Volume::from_si(leakage::fired_gas_flow(area, leakage::EngineState::kIdle, mean).si() * seconds);
      const double expected = coolant::tank_pressure(tank, now, gas).value.pascal();
      const double sigma = std::hypot(step, kModelError * std::max(0.0, expected - start));
      return chance_of(std::min(end, tank.cap.pascal()), expected, step, sigma);
    };
    none += chance(Area{}) / static_cast<double>(kWarming.size());
    leak += mean_over_areas(kLargestGasArea, chance) / static_cast<double>(kWarming.size());
  }
  CoolingReading result;
  result.likelihood = with_floor(none, leak);
  return result;
}

// ---- carbon dioxide ----

leakage::Fuel fuel_of(joint::Fuel fuel) {
  return fuel == joint::Fuel::kDiesel ? leakage::Fuel::kDiesel : fuel == joint::Fuel::kGas ? leakage::Fuel::kLpg : leakage::Fuel::kPetrol;
}

CoolingReading gas_reading(const jobs::Reading& reading, joint::Fuel burnt) {
  constexpr double kAirOfRoom = 0.0006, kAnalyserError = 0.001, kSpread = 0.2;
  constexpr double kBreathOrExhaust = 0.03, kBreathMean = 0.01;  // chance and mean of gas that came from elsewhere
  constexpr std::array<double, 3> kMinutes{3, 6, 12};
  constexpr std::array<double, 3> kHeadSpace{0.3e-3, 0.6e-3, 1.2e-3};  // m3
  const leakage::Fuel fuel = fuel_of(burnt);
  const double in_gas = leakage::exhaust_gas(fuel, leakage::usual_air_ratio(fuel, leakage::EngineState::kIdle)).co2_dry;
  const double read = std::clamp(reading.carbon_dioxide->value.fraction, 0.0, in_gas);
  const auto density = [&](double expected, double error) {
    const double z = (read - expected) / error;
    return std::exp(-z * z / 2) / error / std::sqrt(2 * std::numbers::pi);
  };
  const double elsewhere = std::exp(-read / kBreathMean) / kBreathMean;
  const double none = (1 - kBreathOrExhaust) * density(kAirOfRoom, kAnalyserError) + kBreathOrExhaust * elsewhere;
  double leak = 0;
  for (const double minutes : kMinutes)
    for (const double space : kHeadSpace)
      leak += mean_over_areas(kLargestGasArea, [&](Area area) {
        const double flow = leakage::fired_gas_flow(area, leakage::EngineState::kIdle).si();
        const double expected = kAirOfRoom + in_gas * (1 - std::exp(-flow * 60 * minutes / space));
        return density(expected, std::hypot(kAnalyserError, kSpread * expected));
      });
  CoolingReading result;
  result.likelihood = with_floor(none, leak / static_cast<double>(kMinutes.size() * kHeadSpace.size()));
  return result;
}

CoolingReading by_class(const char* why) {
  CoolingReading result;
  result.remark = std::string("judged by class: ") + why;
  return result;
}

/// Held and risen beyond what the gauge may hide: warming, and no answer either way.
std::optional<CoolingReading> risen_hold(const jobs::Reading& reading) {
  if (!reading.start || !reading.end) return std::nullopt;
  const double hidden = std::max(step_of(reading), 2e3);  // Pa
  if (!(reading.end->value.pascal() > reading.start->value.pascal() + hidden)) return std::nullopt;
  CoolingReading result;
  result.not_counted = fmt::format("cooling pressure held, {} to {}: it rose, so the system was warming; let it stand and repeat it",
                                   reading.start->text, reading.end->text);
  return result;
}

CoolingReading judged(const jobs::Reading& reading, const jobs::Job& job) {
  const bool has_volume = job.engine.cooling && job.engine.cooling->volume;
  switch (reading.test) {
    case jobs::ReadingTest::kPressureHold:
      if (has_volume) return hold_reading(reading, job);
      return risen_hold(reading).value_or(by_class("no coolant volume in the engine file"));
    case jobs::ReadingTest::kColdRise:
      return has_volume ? rise_reading(reading, job) : by_class("no coolant volume in the engine file");
    case jobs::ReadingTest::kGasInCoolant:
      if (!reading.carbon_dioxide) return by_class("hydrocarbons alone may be fuel vapour");
      return job.engine.general.fuel ? gas_reading(reading, *job.engine.general.fuel) : by_class("no fuel in the engine file");
    default:
      return {};
  }
}

}  // namespace

CoolingReading judge_cooling_reading(const jobs::Reading& reading, const jobs::Job& job) {
  try {
    return judged(reading, job);
  } catch (const InputError&) {
    return by_class("outside what the calculation covers");
  }
}

}  // namespace headjoint::assess
