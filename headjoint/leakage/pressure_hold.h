#pragma once

#include "headjoint/leakage/leak_area.h"
#include "headjoint/leakage/orifice_flow.h"

/// The cooling system pumped up with the engine standing: how far the needle falls, and what hole that is.
namespace headjoint::leakage {

/// One pressure hold. The system is a spring of trapped air and hoses: the less air, the more a small leak shows.
struct PressureHold {
  GaugePressure start;                            ///< 0.1 bar to 2.5 bar
  GaugePressure end;                              ///< 0 to start + 0.5 bar: a rise is told as such
  Duration time;                                  ///< 10 s to 24 h
  Volume gas_space = Volume::from_si(0.5e-3);     ///< air in the system and the tester, at test pressure; 0.01 L to 100 L
  double gas_space_error = 0.3;                   ///< share; 0 to 0.9. Assumption
  Volume hose_growth = Volume::from_si(0.05e-3);  ///< hoses and radiator, per bar; >= 0. Assumption
  Volume coolant_volume = Volume::from_si(6e-3);  ///< >= 0; it shrinks while it cools
  TemperatureDifference warming;                  ///< of coolant and air during the test; cooling is negative
  TemperatureDifference temperature_error = TemperatureDifference::from_si(0.5);  ///< of `warming`; 0 to 20 K. Assumption
  GaugePressure gauge_step = GaugePressure::from_pascal(2e3);                     ///< smallest drop that is seen; > 0. Default 0.02 bar
  double liquid_density = 1065;                                                   ///< kg/m3; half and half at 20 degC
  Ambient ambient;
};

/// What warming by one kelvin adds to the volume of half-and-half coolant between 20 and 40 degC.
inline constexpr double kCoolantGrowthPerKelvin = 5.5e-4;

enum class HoldVerdict {
  kNotJudged,
  kHolds,        ///< no drop that gauge and temperature do not explain
  kFallsSlowly,  ///< a drop, smaller than the rules
  kLeaks,        ///< beyond a rule: 2 psi in 2 min (a maker's), or 0.1 bar per 10 min (common practice, no source)
  kRose,         ///< pressure came up: the system warmed, or the engine had not stood long enough; worth nothing
};

struct HoldResult {
  GaugePressure drop;            ///< as read
  GaugePressure drop_explained;  ///< what `warming` did by itself; negative when it pushed the pressure up
  VolumeFlow liquid;             ///< coolant lost, if it is coolant that leaks
  VolumeFlow gas;                ///< air lost, if the leak is above the coolant; at 20 degC and 101325 Pa
  LeakArea liquid_opening;       ///< geometric, discharge 0.6
  LeakArea gas_area;             ///< effective
  Area smallest_liquid;          ///< the smallest opening this test could have shown
  Area smallest_gas;
  HoldVerdict verdict = HoldVerdict::kNotJudged;
};

/// Leak rate and opening behind the drop.
///
/// Liquid: Q = (V / p + H) dp/dt; gas: Q = (V + p H) dp/dt, with p the mean absolute pressure, V the air, H the hoses' growth per
/// pressure. Temperature moves the pressure by p dT / T and by the coolant's growth; it is taken out first. A drop that gauge step and
/// temperature error could make counts as none. The test says nothing about where the leak is, nor about leaks that open only hot
/// or under firing pressure.
///
/// @throws InputError naming the argument
/// @par Source  a maker's rule: more than 2 psi in 2 min at 15 psi: look for leaks; never above 138 kPa
/// @par Checked published.pressure_hold
[[nodiscard]] HoldResult judge_pressure_hold(const PressureHold& hold);

}  // namespace headjoint::leakage
