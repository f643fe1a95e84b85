#pragma once

#include "headjoint/units/points.h"
#include "headjoint/units/quantity.h"

namespace headjoint::leakage {

/// The gas that leaks, taken as ideal with constant specific heats.
struct Gas {
  double gas_constant = 287.05;  ///< J/(kg K); > 0. Dry air
  double heat_ratio = 1.4;       ///< cp/cv; > 1
  double viscosity = 1.81e-5;    ///< Pa s; > 0. Air at 20 degC; only narrow gaps need it
};

/// The air of the day at the engine: station pressure, not the one reduced to sea level.
struct Ambient {
  AbsolutePressure pressure;
  Temperature temperature;
};

/// Standard condition in which flows are quoted: 20 degC, 101325 Pa.
inline constexpr AbsolutePressure kStandardPressure = AbsolutePressure::from_pascal(101325);
inline constexpr Temperature kStandardTemperature = Temperature::from_kelvin(293.15);

/// Density at the given state: p / (R T) [kg/m3].
[[nodiscard]] double density(const Gas& gas, AbsolutePressure pressure, Temperature temperature);

/// Volume that a mass flow fills at 20 degC and 101325 Pa.
[[nodiscard]] VolumeFlow standard_volume_flow(MassFlow flow, const Gas& gas = {});

/// Mean air pressure at an altitude: p = 101325 (1 - h / 44330.8 m)^5.2559. Weather moves it by about 3 %.
///
/// @param altitude  above sea level; -500 m to 11000 m
/// @throws InputError naming the argument
/// @par Source  US Standard Atmosphere 1976, troposphere
/// @par Checked published.ambient
[[nodiscard]] AbsolutePressure standard_atmosphere_pressure(Length altitude);

}  // namespace headjoint::leakage
