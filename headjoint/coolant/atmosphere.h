#pragma once

#include "headjoint/units/points.h"
#include "headjoint/units/quantity.h"

/// The air at an altitude. The leakage module has its own rounded form of the pressure: the two modules do not use each other,
/// and a test of assess holds them together.
namespace headjoint::coolant {

/// Mean air pressure: p = 101325 Pa (1 - 0.0065 h / 288.15)^5.255876, h geopotential. Weather moves it by about 3 %.
/// @param altitude  above sea level; -500 m to 11000 m
/// @throws InputError naming the argument
/// @par Source  ISO 2533:1975
/// @par Checked published.atmosphere
[[nodiscard]] AbsolutePressure standard_pressure(Length altitude);

/// Mean air temperature: 288.15 K - 6.5 K per km.
[[nodiscard]] Temperature standard_temperature(Length altitude);

/// Altitude at which the standard atmosphere has this pressure.
/// @param pressure  226.32 hPa to 1074.78 hPa
/// @throws InputError naming the argument
[[nodiscard]] Length altitude_of(AbsolutePressure pressure);

}  // namespace headjoint::coolant
