#pragma once

#include "headjoint/units/points.h"

/// Plain water at saturation: what boils under which pressure.
namespace headjoint::coolant {

/// Range of the saturation line: triple point to critical point, rounded as the standard does.
inline constexpr Temperature kColdestSaturation = Temperature::from_kelvin(273.15);
inline constexpr Temperature kHottestSaturation = Temperature::from_kelvin(647.096);

/// Vapour pressure of water at a temperature.
/// @param temperature  273.15 K to 647.096 K
/// @throws InputError naming the argument
/// @par Source  IAPWS R7-97(2012), region 4, basic equation
/// @par Checked published.water
[[nodiscard]] AbsolutePressure saturation_pressure(Temperature temperature);

/// Temperature at which water boils under a pressure: the same equation solved backwards, exact.
/// @param pressure  611.213 Pa to 22.064 MPa
/// @throws InputError naming the argument
/// @par Source  IAPWS R7-97(2012), region 4, backward equation
/// @par Checked published.water
[[nodiscard]] Temperature saturation_temperature(AbsolutePressure pressure);

}  // namespace headjoint::coolant
