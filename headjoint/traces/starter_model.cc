#include "headjoint/traces/starter_model.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "headjoint/base/error.h"
#include "headjoint/traces/internal/cranking_kernel.h"

namespace headjoint::traces {
namespace {

constexpr double kCycle = 4 * std::numbers::pi;
constexpr double kRpm = 30 / std::numbers::pi;
constexpr double kLongestStep_s = 1e-4;

void check(const CrankedEngine& engine) {
  std::vector<int> sorted = engine.firing_order;
  std::sort(sorted.begin(), sorted.end());
  if (sorted.empty() || sorted.size() > CrankingKernel::kMostCylinders) throw InputError("firing_order", "1 to 16 cylinders");
  for (std::size_t i = 0; i < sorted.size(); ++i)
    if (sorted[i] != static_cast<int>(i) + 1) throw InputError("firing_order", "every cylinder once");
  if (!engine.leaks.empty() && engine.leaks.size() != sorted.size()) throw InputError("leaks", "one for every cylinder, or none");
  for (const Area leak : engine.leaks)
    if (!(leak.si() >= 0 && leak.si() < 1e-3)) throw InputError("leaks", "0 to 1000 mm2");
  for (const Bridge& bridge : engine.bridges) {
    if (bridge.first >= sorted.size() || bridge.second >= sorted.size() || bridge.first == bridge.second)
      throw InputError("bridges", "two different cylinders of the engine");
    if (!(bridge.area.si() >= 0 && bridge.area.si() < 1e-3)) throw InputError("bridges", "0 to 1000 mm2");
  }
  const CylinderShape& shape = engine.shape;
  if (!(shape.bore.si() > 0.02 && shape.bore.si() < 1)) throw InputError("bore", "20 mm to 1 m");
  if (!(shape.stroke.si() > 0.02 && shape.stroke.si() < 2)) throw InputError("stroke", "20 mm to 2 m");
  if (!(shape.rod.si() > shape.stroke.si() / 2 && shape.rod.si() < 10)) throw InputError("rod", "longer than half the stroke");
  if (!(shape.compression_ratio > 2 && shape.compression_ratio < 40)) throw InputError("compression_ratio", "2 to 40");
}

/// One trace a quantity, all of one rate.
struct Recorder {
  Signal &current, &voltage, &speed;
  void start(double rate_Hz) const {
    for (Signal* signal : {&current, &voltage, &speed}) signal->rate_Hz = rate_Hz;
  }
  void take(const CrankingKernel& kernel) const {
    current.values.push_back(static_cast<float>(kernel.current()));
    voltage.values.push_back(static_cast<float>(kernel.voltage()));
    speed.values.push_back(static_cast<float>(kernel.speed() * kRpm));
  }
};

}  // namespace

CrankingTrace crank_engine(const CrankedEngine& engine, const TraceLength& length) {
  check(engine);
  if (!(length.rate_Hz > 0 && length.rate_Hz <= 1e6)) throw InputError("rate", "up to 1 MHz");
  CrankingTrace trace;
  const Recorder recorder{trace.current_A, trace.voltage_V, trace.speed_rpm};
  recorder.start(length.rate_Hz);
  CrankingKernel kernel(engine);
  kernel.stand_at(-length.start_deg * std::numbers::pi / 180);
  const auto rest = [&](double seconds, double volts) {
    const auto count = static_cast<std::size_t>(seconds * length.rate_Hz);
    trace.current_A.values.insert(trace.current_A.values.end(), count, 0);
    trace.voltage_V.values.insert(trace.voltage_V.values.end(), count, static_cast<float>(volts));
    trace.speed_rpm.values.insert(trace.speed_rpm.values.end(), count, 0);
  };
  rest(length.rest_s, engine.starter.battery_V);
  const auto samples = static_cast<std::size_t>(length.cranking_s * length.rate_Hz);
  const auto steps = static_cast<int>(std::max(1.0, std::ceil(1 / (length.rate_Hz * kLongestStep_s) - 1e-9)));
  const double dt = 1 / (length.rate_Hz * steps);
  const double began_s = static_cast<double>(trace.current_A.values.size()) / length.rate_Hz;
  for (std::size_t i = 0; i < samples; ++i) {
    const double time = static_cast<double>(i) / length.rate_Hz;
    kernel.set_battery(engine.starter.battery_V - length.battery_sag_V_per_s * time);
    recorder.take(kernel);
    const double before = std::floor(kernel.angle() / kCycle);
    for (int k = 0; k < steps; ++k) kernel.step(dt);
    if (std::floor(kernel.angle() / kCycle) > before) trace.first_cylinder_s.push_back(began_s + time);
  }
  rest(length.rest_after_s, engine.starter.battery_V);
  return trace;
}

SteadyCycle steady_cranking(const CrankedEngine& engine) {
  check(engine);
  constexpr double kStep_rad = std::numbers::pi / 180;
  constexpr int kMostCycles = 40, kKept = 3, kSamples = 720;
  CrankingKernel kernel(engine);
  kernel.stand_at(-kCycle);
  kernel.set_speed(0.7 * engine.starter.battery_V / engine.starter.back_emf_Vs);
  SteadyCycle cycle;
  double last_s = 0, period_s = 0;
  const auto turn = [&](double dt_fixed, const Recorder* recorder) {
    const double end = (std::floor(kernel.angle() / kCycle + 1e-9) + 1) * kCycle;
    double time = 0;
    while (kernel.angle() < end && time < 30) {
      const double by_angle = kernel.speed() > 1 ? std::min(kStep_rad, end - kernel.angle() + 1e-9) / kernel.speed() : 1e-3;
      const double dt = dt_fixed > 0 ? dt_fixed : by_angle;
      if (recorder) recorder->take(kernel);
      kernel.step(dt);
      time += dt;
    }
    return time;
  };
  for (int i = 0; i < kMostCycles && !cycle.is_steady; ++i) {
    period_s = turn(0, nullptr);
    cycle.is_steady = i > 1 && std::abs(period_s - last_s) < 1e-3 * period_s;
    last_s = period_s;
  }
  const Recorder recorder{cycle.current_A, cycle.voltage_V, cycle.speed_rpm};
  const double dt = period_s / kSamples;
  recorder.start(1 / dt);
  for (int i = 0; i < kKept; ++i) turn(dt, &recorder);
  cycle.mean = Speed::from_rpm(120 / period_s);
  return cycle;
}

}  // namespace headjoint::traces
