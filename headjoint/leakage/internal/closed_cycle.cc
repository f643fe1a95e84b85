#include "headjoint/leakage/internal/closed_cycle.h"

#include <cmath>
#include <limits>
#include <numbers>
#include <utility>

namespace headjoint::leakage {

ClosedCycle::ClosedCycle(const CycleAir& air, std::vector<CycleCylinder> cylinders, std::vector<CycleBridge> bridges,
                         const CycleGauge& gauge)
    : air_(air),
      cylinders_(std::move(cylinders)),
      bridges_(std::move(bridges)),
      gauge_(gauge),
      psi_(air.heat_ratio),
      phase_(cylinders_.size(), Phase::kIntake),
      dead_centre_(cylinders_.size(), 0),
      peak_(cylinders_.size()),
      is_recorded_(cylinders_.size(), false),
      march_(2 * cylinders_.size() + (gauge.valve > 0 ? 1 : 0)) {
  for (const CycleCylinder& cylinder : cylinders_) {
    closing_volume_.push_back(cylinder.geometry.at(air_.closing).volume);
    closing_mass_.push_back(air_.intake * closing_volume_.back() / (air_.gas_constant * air_.charge_temperature));
  }
}

ClosedCycle::State ClosedCycle::state_at_closing() const {
  State y{};
  for (std::size_t i = 0; i <= 2 * cylinders_.size(); ++i) y[i] = 1;
  return y;
}

void ClosedCycle::close(std::size_t cylinder, double dead_centre) {
  phase_[cylinder] = Phase::kClosed;
  dead_centre_[cylinder] = dead_centre;
}

ClosedCycle::Gas ClosedCycle::port_gas(std::size_t cylinder) const {
  if (cylinders_[cylinder].is_plug_out) return {air_.ambient, air_.ambient_temperature};
  return {phase_[cylinder] == Phase::kIntake ? air_.intake : air_.ambient, air_.charge_temperature};
}

/// Heat to the walls in watts.
double ClosedCycle::heat_flow(const Gas& gas, const CrankGeometry::At& at) const {
  constexpr double kPressurePower = 0.8, kWoschniTemperature = -0.55, kHohenbergTemperature = -0.4, kHohenbergVolume = -0.06;
  if (air_.heat_factor == 0) return 0;
  const double log_p = std::log(gas.pressure), log_t = std::log(gas.temperature);
  const double power = air_.heat_loss == HeatLoss::kWoschni
                           ? kPressurePower * log_p + kWoschniTemperature * log_t
                           : kPressurePower * log_p + kHohenbergTemperature * log_t + kHohenbergVolume * std::log(at.volume);
  return air_.heat_factor * std::exp(power) * at.wall * (gas.temperature - air_.wall_temperature);
}

/// Flow between two rooms, booked out of one and into the other.
void ClosedCycle::exchange(double area, Gas& from, Gas& to) const {
  if (area == 0) return;
  const bool is_forward = from.pressure >= to.pressure;
  const double up = is_forward ? from.pressure : to.pressure, down = is_forward ? to.pressure : from.pressure;
  const double temperature = is_forward ? from.temperature : to.temperature;
  const double amount = area * up / std::sqrt(air_.gas_constant * temperature) * psi_.eased(down / up);
  const double flow = is_forward ? amount : -amount;
  const double energy = flow * temperature * air_.gas_constant * air_.heat_ratio / (air_.heat_ratio - 1);
  from.out += flow;
  from.energy_out += energy;
  to.out -= flow;
  to.energy_out -= energy;
}

void ClosedCycle::leak(std::size_t cylinder, Gas& gas) const {
  Gas ambient{air_.ambient, air_.ambient_temperature}, intake{air_.intake, air_.charge_temperature};
  exchange(cylinders_[cylinder].to_ambient, gas, ambient);
  exchange(cylinders_[cylinder].to_intake, gas, intake);
  if (gas.pressure <= air_.coolant) return;
  Gas coolant{air_.coolant, air_.ambient_temperature};
  exchange(cylinders_[cylinder].to_coolant, gas, coolant);
}

void ClosedCycle::rates(double angle, const State& y, State& dy) const {
  const std::size_t count = cylinders_.size();
  std::array<Gas, kMostCylinders> gas;
  std::array<CrankGeometry::At, kMostCylinders> at;
  std::array<double, kMostCylinders> power;  // (V/V0)^g
  for (std::size_t i = 0; i < count; ++i) {
    dy[2 * i] = dy[2 * i + 1] = 0;
    if (phase_[i] != Phase::kClosed) {
      gas[i] = port_gas(i);
      continue;
    }
    at[i] = cylinders_[i].geometry.at(angle - dead_centre_[i]);
    power[i] = std::exp(air_.heat_ratio * std::log(at[i].volume / closing_volume_[i]));
    const double pressure = air_.intake * y[2 * i + 1] / power[i], mass = y[2 * i] * closing_mass_[i];
    if (!(pressure > 0 && mass > 0)) {
      dy.fill(std::numeric_limits<double>::quiet_NaN());
      return;
    }
    gas[i] = {pressure, pressure * at[i].volume / (mass * air_.gas_constant)};
    leak(i, gas[i]);
  }
  for (const CycleBridge& bridge : bridges_) exchange(bridge.area, gas[bridge.first], gas[bridge.second]);
  if (gauge_.valve > 0) {
    dy[2 * count] = 0;
    Gas behind{air_.ambient * y[2 * count], air_.ambient_temperature};
    if (is_gauge_open_ && phase_[0] == Phase::kClosed && gas[0].pressure > behind.pressure) {
      exchange(gauge_.valve, gas[0], behind);
      dy[2 * count] = -behind.out * air_.gas_constant * air_.ambient_temperature / (air_.ambient * gauge_.volume * air_.turning);
    }
  }
  for (std::size_t i = 0; i < count; ++i) {
    if (phase_[i] != Phase::kClosed) continue;
    dy[2 * i] = -gas[i].out / (air_.turning * closing_mass_[i]);
    const double energy = heat_flow(gas[i], at[i]) + gas[i].energy_out;
    dy[2 * i + 1] = -(air_.heat_ratio - 1) * power[i] / (at[i].volume * air_.intake) * energy / air_.turning;
  }
}

double ClosedCycle::pressure(std::size_t cylinder, double angle, const State& y) const {
  if (phase_[cylinder] != Phase::kClosed) return port_gas(cylinder).pressure;
  const double ratio = cylinders_[cylinder].geometry.at(angle - dead_centre_[cylinder]).volume / closing_volume_[cylinder];
  return air_.intake * y[2 * cylinder + 1] * std::pow(ratio, -air_.heat_ratio);
}

/// Relative rise of the pressure with crank angle.
double ClosedCycle::pressure_slope(std::size_t cylinder, double angle, const State& y, const State& dy) const {
  const CrankGeometry::At at = cylinders_[cylinder].geometry.at(angle - dead_centre_[cylinder]);
  return dy[2 * cylinder + 1] / y[2 * cylinder + 1] - air_.heat_ratio * at.slope / at.volume;
}

}  // namespace headjoint::leakage
