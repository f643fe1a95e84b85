#pragma once

#include "headjoint/coolant/glycol.h"

/// Polynomial fits of density, heat capacity and freezing point, as published in the CoolProp project's data for incompressible
/// fluids: y(T, x) = sum c_ij (T - T0)^i (x - x0)^j.
///
/// "Pure" fits (MEG, MPG, after Melinder 2010) take the glycol's mass fraction, fitted for 0 to 0.6. "Inhibited" fits (AEG, APG,
/// after the ASHRAE tables) take its volume fraction, fitted for 0.1 to 0.6. All to 100 degC; beyond is extrapolation.
namespace headjoint::coolant {

[[nodiscard]] double pure_density_fit(Glycol glycol, double mass_fraction, double kelvin);        ///< kg/m3
[[nodiscard]] double pure_heat_capacity_fit(Glycol glycol, double mass_fraction, double kelvin);  ///< J/(kg K)
[[nodiscard]] double inhibited_density_fit(Glycol glycol, double volume_fraction, double kelvin);
[[nodiscard]] double freezing_fit(Glycol glycol, double volume_fraction);  ///< K; inhibited

}  // namespace headjoint::coolant
