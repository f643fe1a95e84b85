#include "headjoint/coolant/head_tank.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "headjoint/coolant/density.h"
#include "headjoint/coolant/internal/arguments.h"
#include "headjoint/coolant/internal/mixture.h"

namespace headjoint::coolant {
namespace {

constexpr double kNormalPascal = 101325, kNormalKelvin = 273.15;  // state of a normal litre
constexpr double kPascalPerBar = 1e5;

void check_tank(const HeadTank& tank) {
  check_coolant(tank.coolant);
  check_argument(tank.coolant_volume.si() >= 0.5e-3 && tank.coolant_volume.si() <= 0.5, "coolant volume",
                 "must lie between 0.5 L and 500 L");
  check_argument(tank.gas_space.si() >= 0.02e-3 && tank.gas_space.si() <= 0.1, "gas space", "must lie between 0.02 L and 100 L");
  check_argument(tank.hose_growth.si() >= 0 && tank.hose_growth.si() <= 0.1, "hose growth", "must lie between 0 L and 100 L per bar");
  check_argument(tank.cap.pascal() > 0 && tank.cap.pascal() <= 3e5, "cap", "must be above 0 bar and at most 3 bar (psi typed as bar?)");
  check_argument(tank.ambient.pascal() >= 2e4 && tank.ambient.pascal() <= 1.1e5, "ambient",
                 "must lie between 200 hPa and 1100 hPa, absolute");
  check_argument(tank.closed_at.celsius() >= -20 && tank.closed_at.celsius() <= 60, "closed at",
                 "must lie between -20 degC and 60 degC: the tank is closed cold");
  check_argument(tank.closed_pressure.pascal() >= -1e4 && tank.closed_pressure <= tank.cap, "closed pressure",
                 "must lie between -0.1 bar and the cap's pressure");
  check_argument(tank.gas_space_error >= 0 && tank.gas_space_error <= 0.9, "gas space error", "must lie between 0 and 0.9");
  check_argument(tank.temperature_error.si() >= 0 && tank.temperature_error.si() <= 20, "temperature error",
                 "must lie between 0 K and 20 K");
}

void check_now(Temperature now) {
  check_argument(now.celsius() >= -20 && now.celsius() <= 130, "now", "must lie between -20 degC and 130 degC");
}

/// One corner of what is not known well, in SI doubles. gas: sum of p V / T of everything in the tank that does not condense.
struct State {
  double kelvin, gas_space, vapour, hoses, pascal0;
  double closed_gas;  ///< p V / T of the air closed in

  /// Absolute pressure with `gas` in the tank: the positive root of h p^2 + b p - c = 0.
  [[nodiscard]] double pressure(double gas) const {
    const double rest = gas_space - hoses * pascal0;
    const double b = rest - hoses * vapour, c = rest * vapour + gas * kelvin;
    if (hoses == 0) return gas_space > 0 ? c / b : std::numeric_limits<double>::infinity();
    const double root = std::sqrt(b * b + 4 * hoses * c);
    return b > 0 ? 2 * c / (b + root) : (root - b) / (2 * hoses);
  }
  [[nodiscard]] double gas_at(double pascal) const {
    return std::max(0.0, pascal - vapour) * std::max(0.0, gas_space + hoses * (pascal - pascal0)) / kelvin;
  }
};

enum class Side { kLow, kMiddle, kHigh };

double signed_error(Side side) { return side == Side::kLow ? -1 : side == Side::kHigh ? 1 : 0; }

State state_of(const HeadTank& tank, Temperature now, Side space, Side heat, Side grown, bool saturated) {
  const Mixture mixture = mixture_of(tank.coolant);
  const double kelvin0 = tank.closed_at.kelvin();
  const bool unmoved = now == tank.closed_at;  // one thermometer, read twice: its error cancels
  const double shift = unmoved ? 0 : signed_error(heat) * tank.temperature_error.si();
  const Temperature shifted =
      Temperature::from_kelvin(std::clamp(now.kelvin() + shift, kColdestCoolant.kelvin(), kHottestCoolant.kelvin()));
  const Growth grow = growth(tank.coolant, tank.closed_at, shifted);
  const double share = grown == Side::kLow ? grow.low : grown == Side::kHigh ? grow.high : grow.value;
  const double space0 = tank.gas_space.si() * (1 + signed_error(space) * tank.gas_space_error);
  const double pascal0 = tank.ambient.pascal() + tank.closed_pressure.pascal();
  const double vapour0 = mixture.vapour_pascal(std::max(kelvin0, 273.15));
  State state{};
  state.kelvin = shifted.kelvin();
  state.gas_space = space0 - tank.coolant_volume.si() * share;
  state.vapour = mixture.vapour_pascal(std::max(shifted.kelvin(), 273.15));
  state.hoses = tank.hose_growth.si() / kPascalPerBar;
  state.pascal0 = pascal0;
  state.closed_gas = std::max(0.0, pascal0 - (saturated ? vapour0 : 0)) * space0 / kelvin0;
  return state;
}

/// Calls `use` at every corner of the four unknowns.
template <class Use>
void at_corners(const HeadTank& tank, Temperature now, Use&& use) {
  constexpr std::array kEnds{Side::kLow, Side::kHigh};
  for (const Side space : kEnds)
    for (const Side heat : kEnds)
      for (const Side grown : kEnds)
        for (const bool saturated : {false, true}) use(state_of(tank, now, space, heat, grown, saturated));
}

State middle(const HeadTank& tank, Temperature now) { return state_of(tank, now, Side::kMiddle, Side::kMiddle, Side::kMiddle, false); }

Volume normal_volume(double gas) { return Volume::from_si(gas * kNormalKelvin / kNormalPascal); }
double gas_of(Volume normal) { return normal.si() * kNormalPascal / kNormalKelvin; }

struct Range {
  double low = std::numeric_limits<double>::infinity();
  double high = -std::numeric_limits<double>::infinity();
  void take(double value) {
    low = std::min(low, value);
    high = std::max(high, value);
  }
};

/// Gauge pressures as if cap and vacuum valve were shut.
Range shut_pressures(const HeadTank& tank, Temperature now, double gas) {
  Range range;
  at_corners(tank, now, [&](const State& state) { range.take(state.pressure(state.closed_gas + gas) - tank.ambient.pascal()); });
  return range;
}

}  // namespace

TankPressure tank_pressure(const HeadTank& tank, Temperature now, Volume added) {
  check_tank(tank);
  check_now(now);
  check_argument(added.si() >= 0 && std::isfinite(added.si()), "added gas", "must not be negative");
  const State state = middle(tank, now);
  const double value = state.pressure(state.closed_gas + gas_of(added)) - tank.ambient.pascal();
  const Range range = shut_pressures(tank, now, gas_of(added));
  const double floor = std::min(kVacuumValve.pascal(), tank.closed_pressure.pascal());
  const auto held = [&](double gauge) { return GaugePressure::from_pascal(std::clamp(gauge, floor, tank.cap.pascal())); };
  const auto status = range.high >= tank.cap.pascal() ? TankPressure::Status::kCapMayOpen
                      : range.low < floor             ? TankPressure::Status::kDrawsAir
                                                      : TankPressure::Status::kClosed;
  return {held(value), held(std::min(range.low, value)), held(std::max(range.high, value)), status};
}

AddedGas added_gas(const HeadTank& tank, Temperature now, GaugePressure reading, GaugePressure gauge_step) {
  check_tank(tank);
  check_now(now);
  check_argument(reading.pascal() >= -2e4 && reading.pascal() <= 3e5, "reading", "must lie between -0.2 bar and 3 bar (psi typed as bar?)");
  check_argument(gauge_step.pascal() > 0 && gauge_step.pascal() <= 1e5, "gauge step", "must be above 0 and at most 1 bar");
  const double pascal = tank.ambient.pascal() + reading.pascal(), half_step = 0.5 * gauge_step.pascal();
  const auto added = [](const State& state, double at) { return state.gas_at(at) - state.closed_gas; };
  Range range;
  at_corners(tank, now, [&](const State& state) {
    range.take(added(state, pascal - half_step));
    range.take(added(state, pascal + half_step));
  });
  const double value = added(middle(tank, now), pascal);
  AddedGas result{normal_volume(value), normal_volume(std::min(range.low, value)), normal_volume(std::max(range.high, value)), {}};
  using enum AddedGas::Status;
  if (reading.pascal() + half_step >= tank.cap.pascal())
    result.status = kCapOpened;
  else
    result.status = result.low.si() > 0 ? kGasAdded : result.high.si() < 0 ? kPressureLost : kNoneTold;
  return result;
}

SmallestGas smallest_gas_visible(const HeadTank& tank, Temperature now, GaugePressure gauge_step) {
  check_tank(tank);
  check_now(now);
  check_argument(gauge_step.pascal() > 0 && gauge_step.pascal() <= 1e5, "gauge step", "must be above 0 and at most 1 bar");
  const double gauge = shut_pressures(tank, now, 0).high + gauge_step.pascal();
  if (gauge >= tank.cap.pascal()) return {{}, true};
  const State state = middle(tank, now);
  return {normal_volume(state.gas_at(tank.ambient.pascal() + gauge) - state.closed_gas), false};
}

}  // namespace headjoint::coolant
