#include "headjoint/traces/internal/cranking_kernel.h"

#include <cmath>
#include <numbers>

namespace headjoint::traces {
namespace {

constexpr double kPi = std::numbers::pi;
constexpr double kCycle = 4 * kPi;
constexpr double kGas = 287.05;  // J/(kg K), air
constexpr double kHeatRatio = 1.4;
constexpr double kConstantVolume = kGas / (kHeatRatio - 1);
constexpr double kConstantPressure = kConstantVolume * kHeatRatio;

/// Isentropic flow function of air; a straight line close to equal pressures keeps the step stable.
double flow_function(double ratio) {
  constexpr double kCritical = 0.528282, kChoked = 0.684731, kLineFrom = 0.999;
  if (ratio <= kCritical) return kChoked;
  const auto plain = [](double r) {
    const double log_r = std::log(r);
    return std::sqrt(2 * kHeatRatio / (kHeatRatio - 1) * std::exp(2 / kHeatRatio * log_r) * -std::expm1((1 - 1 / kHeatRatio) * log_r));
  };
  if (ratio <= kLineFrom) return plain(ratio);
  static const double kAtLine = plain(kLineFrom);
  return ratio >= 1 ? 0 : kAtLine * (1 - ratio) / (1 - kLineFrom);
}

}  // namespace

CrankingKernel::CrankingKernel(const CrankedEngine& engine) : engine_(engine), count_(engine.firing_order.size()) {
  const CylinderShape& shape = engine.shape;
  crank_ = shape.stroke.si() / 2;
  rod_ = shape.rod.si();
  bore_ = shape.bore.si();
  piston_area_ = kPi / 4 * bore_ * bore_;
  clearance_ = piston_area_ * shape.stroke.si() / (shape.compression_ratio - 1);
  clearance_height_ = clearance_ / piston_area_;
  closes_ = -kPi + shape.intake_closes.radians();
  opens_ = kPi - shape.exhaust_opens.radians();
  ambient_ = engine.ambient.pascal();
  air_K_ = engine.air.kelvin();
  battery_V_ = engine.starter.battery_V;
  heat_factor_ = 3.26 * std::pow(bore_, -0.2) * std::pow(2.28 * shape.stroke.si() / kPi * 1e-3, 0.8);  // Sp = stroke w / pi, kPa
  for (std::size_t i = 0; i < count_; ++i) {
    const auto cylinder = static_cast<std::size_t>(engine.firing_order[i] - 1);
    dead_centre_[cylinder] = kCycle * static_cast<double>(i) / static_cast<double>(count_);
  }
  const double first = dead_centre_[0];
  for (std::size_t i = 0; i < count_; ++i) {
    dead_centre_[i] -= first;
    leak_[i] = engine.leaks.empty() ? CrankedEngine::usual_leak.si() : engine.leaks[i].si();
  }
}

double CrankingKernel::phase_of(std::size_t cylinder, double angle) const {
  const double turns = (angle - dead_centre_[cylinder]) / kCycle;
  return (turns - std::floor(turns + 0.5)) * kCycle;
}

CrankingKernel::Motion CrankingKernel::motion(double phase) const {
  const double sine = std::sin(phase), cosine = std::cos(phase);
  const double root = std::sqrt(rod_ * rod_ - crank_ * crank_ * sine * sine);
  const double travel = crank_ * (1 - cosine) + rod_ - root;
  const double per_rad = crank_ * sine + crank_ * crank_ * sine * cosine / root;
  return {clearance_ + piston_area_ * travel, piston_area_ * per_rad, travel};
}

void CrankingKernel::stand_at(double angle_rad) {
  state_.angle = angle_rad;
  state_.speed = 0;
  for (std::size_t i = 0; i < count_; ++i) {
    is_closed_[i] = false;
    const double phase = phase_of(i, angle_rad);
    if (phase < closes_ || phase > opens_) continue;
    is_closed_[i] = true;
    state_.gas[i] = {ambient_ * motion(phase).volume / (kGas * air_K_), air_K_};
  }
}

/// Between inlet closing and exhaust opening the charge is shut in; at closing it is ambient air.
void CrankingKernel::change_valves() {
  for (std::size_t i = 0; i < count_; ++i) {
    const double phase = phase_of(i, state_.angle);
    const bool closed = phase >= closes_ && phase <= opens_;
    if (closed && !is_closed_[i]) state_.gas[i] = {ambient_ * motion(phase).volume / (kGas * air_K_), air_K_};
    is_closed_[i] = closed;
  }
}

double CrankingKernel::flow(double area, double from_pressure, double from_temperature, double to_pressure) const {
  return area * from_pressure / std::sqrt(kGas * from_temperature) * flow_function(to_pressure / from_pressure);
}

/// W out of the gas; Woschni's coefficient with the velocity term of a motored engine.
double CrankingKernel::heat_loss(double pressure, double temperature, double wall_area, double speed) const {
  if (speed <= 0) return 0;
  const double coefficient = heat_factor_ * std::exp(0.8 * std::log(pressure * speed) - 0.55 * std::log(temperature));
  return coefficient * wall_area * (temperature - air_K_);
}

CrankingKernel::State CrankingKernel::slope(const State& state) const {
  State rate;
  rate.angle = state.speed;
  std::array<double, kMostCylinders> pressure;
  std::array<Motion, kMostCylinders> moves;
  const Starter& starter = engine_.starter;
  double torque = 0;
  for (std::size_t i = 0; i < count_; ++i) {
    pressure[i] = ambient_;
    if (!is_closed_[i]) continue;
    moves[i] = motion(phase_of(i, state.angle));
    pressure[i] = state.gas[i].mass * kGas * state.gas[i].temperature / moves[i].volume;
    torque += (pressure[i] - ambient_) * moves[i].volume_per_rad;
  }
  std::array<double, kMostCylinders> energy{};  // enthalpy leaving, W
  const auto leave = [&](std::size_t i, double mass_flow, double temperature) {
    rate.gas[i].mass -= mass_flow;
    energy[i] += mass_flow * kConstantPressure * temperature;
  };
  for (std::size_t i = 0; i < count_; ++i) {
    if (!is_closed_[i]) continue;
    if (pressure[i] >= ambient_)
      leave(i, flow(leak_[i], pressure[i], state.gas[i].temperature, ambient_), state.gas[i].temperature);
    else
      leave(i, -flow(leak_[i], ambient_, air_K_, pressure[i]), air_K_);
  }
  for (const Bridge& bridge : engine_.bridges) {
    const bool forward = pressure[bridge.first] >= pressure[bridge.second];
    const std::size_t from = forward ? bridge.first : bridge.second, to = forward ? bridge.second : bridge.first;
    if (!is_closed_[from] && !is_closed_[to]) continue;
    const double temperature = is_closed_[from] ? state.gas[from].temperature : air_K_;
    const double mass_flow = flow(bridge.area.si(), pressure[from], temperature, pressure[to]);
    if (is_closed_[from]) leave(from, mass_flow, temperature);
    if (is_closed_[to]) leave(to, -mass_flow, temperature);
  }
  for (std::size_t i = 0; i < count_; ++i) {
    if (!is_closed_[i]) continue;
    const Gas& gas = state.gas[i];
    const double wall = 2 * piston_area_ + kPi * bore_ * (clearance_height_ + moves[i].piston_travel);
    const double power = -pressure[i] * moves[i].volume_per_rad * state.speed - heat_loss(pressure[i], gas.temperature, wall, state.speed) -
                         energy[i] - kConstantVolume * gas.temperature * rate.gas[i].mass;
    rate.gas[i].temperature = power / (gas.mass * kConstantVolume);
  }
  const double amperes = is_on_ ? std::max(0.0, (battery_V_ - starter.back_emf_Vs * state.speed) / starter.circuit_ohm) : 0;
  const double drive = starter.back_emf_Vs * starter.efficiency * amperes + torque;
  const double brake = starter.friction_Nm + starter.drag_Nms * state.speed;
  rate.speed = state.speed > 0 || drive > brake ? (drive - brake) / starter.inertia_kgm2 : 0;
  return rate;
}

void CrankingKernel::step(double dt) {
  const auto moved = [&](const State& from, const State& rate, double by) {
    State to = from;
    to.angle += by * rate.angle;
    to.speed += by * rate.speed;
    for (std::size_t i = 0; i < count_; ++i) {
      to.gas[i].mass += by * rate.gas[i].mass;
      to.gas[i].temperature += by * rate.gas[i].temperature;
    }
    return to;
  };
  const State first = slope(state_);
  const State second = slope(moved(state_, first, dt));
  state_ = moved(moved(state_, first, dt / 2), second, dt / 2);
  if (state_.speed < 0) state_.speed = 0;  // the clutch and friction hold it
  change_valves();
}

double CrankingKernel::current() const {
  const Starter& starter = engine_.starter;
  return is_on_ ? std::max(0.0, (battery_V_ - starter.back_emf_Vs * state_.speed) / starter.circuit_ohm) : 0;
}

double CrankingKernel::voltage() const { return battery_V_ - engine_.starter.battery_ohm * current(); }

}  // namespace headjoint::traces
