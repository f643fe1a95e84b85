#pragma once

#include <cmath>
#include <numbers>
#include <random>

#include "headjoint/traces/pressure_pulses.h"

/// Coolant pressure of a running engine, made up: pulses of one cylinder under what the engine, the pump and the fan do anyway.
namespace headjoint::traces::testing {

struct MadePressure {
  int cylinder = 3;    ///< 0 = none pushes gas
  double pulse = 0.2;  ///< kPa
  double delay_s = 0.002;
  double noise = 0.2;   ///< standard deviation of each sample, kPa
  double firing = 0.3;  ///< what all cylinders make alike, kPa
  double pump = 0.2;    ///< 1.37 times a turn, kPa
  double from_rpm = 800, to_rpm = 2400;
  double seconds = 30;
  unsigned seed = 1;
};

inline Signal made_pressure(const MadePressure& made, PulseQuestion& question) {
  std::mt19937 random(made.seed);
  std::normal_distribution<double> normal(0, 1);
  Signal pressure;
  pressure.rate_Hz = question.sync.rate_Hz = 2000;
  double crank = 0;  // degrees from the firing dead centre of cylinder 1
  const auto n = static_cast<double>(question.firing_order.size());
  double fires = 0;
  for (std::size_t i = 0; i < question.firing_order.size(); ++i)
    if (question.firing_order[i] == made.cylinder) fires = 720 * static_cast<double>(i) / n;
  const auto count = static_cast<std::size_t>(made.seconds * pressure.rate_Hz);
  for (std::size_t i = 0; i < count; ++i) {
    const double rpm = made.from_rpm + (made.to_rpm - made.from_rpm) * static_cast<double>(i) / static_cast<double>(count);
    const double before = crank;
    crank += 6 * rpm / pressure.rate_Hz;
    const double radians = crank * std::numbers::pi / 180;
    double value = 30 + made.noise * normal(random) + made.firing * std::cos(radians * n / 2) + made.pump * std::sin(1.37 * radians);
    double away = std::fmod(crank - fires - 15 - 6 * rpm * made.delay_s, 720);
    away = away < -360 ? away + 720 : away > 360 ? away - 720 : away;
    if (made.cylinder > 0) value += made.pulse * std::exp(-away * away / (2 * 40.0 * 40.0));
    pressure.values.push_back(static_cast<float>(value));
    question.sync.values.push_back(std::floor(crank / 720) > std::floor(before / 720) ? 1.0F : 0.0F);
  }
  return pressure;
}

}  // namespace headjoint::traces::testing
