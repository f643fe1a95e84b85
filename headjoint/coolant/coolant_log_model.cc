#include "headjoint/coolant/coolant_log_model.h"

#include <algorithm>
#include <cmath>

#include "headjoint/base/error.h"

namespace headjoint::coolant {

double thermostat_opening(const LumpedEngine& engine, Temperature now) {
  if (engine.thermostat == LumpedEngine::Thermostat::kStuckOpen) return 1;
  if (engine.thermostat == LumpedEngine::Thermostat::kStuckShut) return 0;
  return std::clamp((now.kelvin() - engine.opens.kelvin()) / (engine.full.kelvin() - engine.opens.kelvin()), 0.0, 1.0);
}

/// Classical Runge-Kutta; steps of a second or less are far below the smallest time constant (C / UA_r, minutes).
Temperature warmed(const LumpedEngine& engine, Temperature start, Duration elapsed) {
  if (!(elapsed.si() >= 0 && elapsed.si() < 1e7)) throw InputError("elapsed", "0 s to 1e7 s");
  const auto rate = [&](double kelvin) {
    const double loss = engine.block_W_per_K + thermostat_opening(engine, Temperature::from_kelvin(kelvin)) * engine.radiator_W_per_K;
    return (1000 * engine.heat_kW - loss * (kelvin - engine.air.kelvin())) / (1000 * engine.capacity_kJ_per_K);
  };
  const auto steps = static_cast<long>(std::ceil(elapsed.si()));
  double now = start.kelvin();
  for (long i = 0; i < steps; ++i) {
    const double h = elapsed.si() / static_cast<double>(steps);
    const double a = rate(now), b = rate(now + h / 2 * a), c = rate(now + h / 2 * b), d = rate(now + h * c);
    now += h / 6 * (a + 2 * b + 2 * c + d);
  }
  return Temperature::from_kelvin(now);
}

Cusum cumulative_sums(const std::vector<double>& values, double target, double slack, double limit) {
  if (!(slack >= 0)) throw InputError("slack", "0 or more");
  if (!(limit > 0)) throw InputError("limit", "more than 0");
  Cusum sums;
  double upper = 0, lower = 0;
  for (const double value : values) {
    upper = std::max(0.0, value - (target + slack) + upper);
    lower = std::max(0.0, (target - slack) - value + lower);
    if (upper > limit || lower > limit) sums.alarms.push_back(sums.upper.size());
    sums.upper.push_back(upper);
    sums.lower.push_back(lower);
  }
  return sums;
}

}  // namespace headjoint::coolant
