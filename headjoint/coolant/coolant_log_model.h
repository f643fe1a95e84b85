#pragma once

#include <vector>

#include "headjoint/units/points.h"
#include "headjoint/units/quantity.h"

/// The engine as one lump of metal and coolant, and a test for small lasting departures.
namespace headjoint::coolant {

/// C dT/dt = Q - UA_b (T - Ta) - f(T) UA_r (T - Ta); the thermostat's opening f rises in a straight line from `opens` to `full`.
/// Figures of a usual small engine: assumed.
struct LumpedEngine {
  enum class Thermostat { kWorks, kStuckOpen, kStuckShut };
  double capacity_kJ_per_K = 70;
  double heat_kW = 10;
  double block_W_per_K = 30;
  double radiator_W_per_K = 400;
  Temperature opens = Temperature::from_celsius(82);
  Temperature full = Temperature::from_celsius(95);
  Temperature air = Temperature::from_celsius(20);
  Thermostat thermostat = Thermostat::kWorks;
};

/// Share by which the thermostat is open at that temperature.
[[nodiscard]] double thermostat_opening(const LumpedEngine& engine, Temperature now);

/// Temperature a time later, with everything else constant.
/// @param elapsed  0 or more
[[nodiscard]] Temperature warmed(const LumpedEngine& engine, Temperature start, Duration elapsed);

/// Tabular cumulative sums of departures from a target, upwards and downwards.
struct Cusum {
  std::vector<double> upper, lower;
  std::vector<std::size_t> alarms;  ///< indices where one of them stands above the limit
};

/// S_H = max(0, x - (target + slack) + S_H'), S_L = max(0, (target - slack) - x + S_L'), both from 0.
/// @param slack  half the shift worth finding; >= 0
/// @param limit  > 0
/// @par Source  E. S. Page, Biometrika 41 (1954) 100; Montgomery & Runger, Applied Statistics and Probability for Engineers, ch. 16
[[nodiscard]] Cusum cumulative_sums(const std::vector<double>& values, double target, double slack, double limit);

}  // namespace headjoint::coolant
