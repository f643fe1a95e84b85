#pragma once

#include "headjoint/coolant/glycol.h"

/// Density, heat capacity and growth of the coolant.
namespace headjoint::coolant {

/// Range of the figures. The fits end at 100 degC; a liquid under a cap goes further and is extrapolated to 130 degC.
inline constexpr Temperature kColdestCoolant = Temperature::from_celsius(-35);
inline constexpr Temperature kHottestCoolant = Temperature::from_celsius(130);

/// Density in kg/m3, glycol without inhibitors. Above 60 vol % the figures of 60 vol % stand in.
/// @param temperature  -35 degC to 130 degC
/// @throws InputError naming the argument
/// @par Source  Melinder (2010) as fitted in CoolProp, incompressible fluids MEG and MPG
/// @par Checked published.glycol
[[nodiscard]] double density(const Coolant& coolant, Temperature temperature);

/// As density, for the coolant with its inhibitors: about 1 % denser, grows a little less.
/// @par Source  ASHRAE tables as fitted in CoolProp, incompressible fluids AEG and APG; meant for 10 to 60 vol %
[[nodiscard]] double inhibited_density(const Coolant& coolant, Temperature temperature);

/// Heat capacity in J/(kg K), range and source as density.
[[nodiscard]] double heat_capacity(const Coolant& coolant, Temperature temperature);

/// How much bigger the coolant gets between two temperatures, as a share of its volume at the first.
struct Growth {
  double value = 0;
  double low = 0;  ///< the two published families of figures differ by a tenth of the growth: both lie inside the band
  double high = 0;
};
/// @throws InputError naming the argument
/// @par Source  value: density; band: density and inhibited_density, widened by 3e-5 per kelvin
/// @par Checked published.glycol
[[nodiscard]] Growth growth(const Coolant& coolant, Temperature from, Temperature to);

}  // namespace headjoint::coolant
