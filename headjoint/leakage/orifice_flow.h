#pragma once

#include "headjoint/leakage/ambient.h"
#include "headjoint/units/points.h"
#include "headjoint/units/quantity.h"

/// Gas through a hole, described by its effective area CdA (discharge coefficient times area).
///
/// Isentropic flow of an ideal gas from rest up to the throat: m = CdA p1 / sqrt(R T1) psi(p2/p1). Parallel paths add their
/// effective areas. Not valid for gaps so narrow that friction rules: see slit_flow.h.
namespace headjoint::leakage {

/// Gas at rest on one side of a hole.
struct GasState {
  AbsolutePressure pressure;  ///< > 0
  Temperature temperature;    ///< > 0 K
};

/// Pressure ratio p2/p1 at and below which the flow is choked: (2/(g+1))^(g/(g-1)); 0.5283 for air.
/// @param heat_ratio  > 1
/// @throws InputError naming the argument
/// @par Source  NACA Report 1135 (1953)
[[nodiscard]] double critical_pressure_ratio(double heat_ratio);

/// Largest value of the flow function, reached when choked: sqrt(g) (2/(g+1))^((g+1)/(2(g-1))); 0.6847 for air.
/// @throws InputError naming the argument
[[nodiscard]] double choked_flow_function(double heat_ratio);

/// Flow function psi(r) = sqrt(2g/(g-1) (r^(2/g) - r^((g+1)/g))), choked value at and below the critical ratio.
///
/// Exact, so its slope is infinite at r = 1: psi -> sqrt(2 (1-r)). Use it to turn readings into areas.
///
/// @param pressure_ratio  p2/p1, 0 to 1
/// @throws InputError naming the argument
/// @par Source  NACA Report 1135 (1953)
/// @par Checked published.orifice
[[nodiscard]] double flow_function(double pressure_ratio, double heat_ratio);

/// As flow_function, but a straight line from r = 0.999 to zero at r = 1, so that a march in time stays stable there.
/// The line carries less flow than the exact law: use it only where pressures are marched, never to turn readings into areas.
[[nodiscard]] double eased_flow_function(double pressure_ratio, double heat_ratio);

/// Mass flow from `first` to `second`; negative when it runs back. The upstream side's temperature counts.
///
/// Uses eased_flow_function: zero and finite slope at equal pressures.
///
/// @param effective_area  >= 0
/// @throws InputError naming the argument
/// @par Checked published.orifice
[[nodiscard]] MassFlow mass_flow(Area effective_area, const GasState& first, const GasState& second, const Gas& gas = {});

/// Effective area that passes `flow` from `upstream` to `downstream` (exact flow function).
/// @param flow  >= 0
/// @param downstream  < upstream pressure
/// @throws InputError naming the argument
[[nodiscard]] Area effective_area_of_flow(MassFlow flow, const GasState& upstream, AbsolutePressure downstream, const Gas& gas = {});

/// Assumed discharge coefficient of a drilled orifice a few diameters long with a square or slightly broken entry.
/// Common practice 0.75 to 0.86, no source for a given tester: calibrate with drilled jets instead.
inline constexpr double kDrilledOrificeDischarge = 0.8;
inline constexpr double kDrilledOrificeDischargeSpread = 0.06;

/// Discharge coefficient of a thin sharp-edged hole for air, rising from 0.60 (small pressure drop) to 0.84 (into vacuum).
/// @param pressure_ratio  p2/p1, 0 to 1
/// @throws InputError naming the argument
/// @par Source  polynomial after J. A. Perry, Trans. ASME 71 (1949) 757, as printed in modelling-library documentation
/// @par Checked published.orifice
[[nodiscard]] double sharp_edge_discharge(double pressure_ratio);

/// Flow through a thin sharp-edged hole: mass_flow with the discharge coefficient of its own pressure ratio. It goes on rising below
/// the critical ratio: such a hole never chokes quite. Signed like mass_flow.
/// @param hole  geometric area; >= 0
/// @throws InputError naming the argument
[[nodiscard]] MassFlow sharp_edge_flow(Area hole, const GasState& first, const GasState& second, const Gas& gas = {});

/// Sonic conductance C of ISO 6358: m3 per second and pascal at the reference state.
using SonicConductance = Quantity<Dimension{.length = 4, .mass = -1, .time = 1}>;

/// Reference state of ISO 6358 / ISO 8778: 293.15 K, air of 1.185 kg/m3.
inline constexpr double kIsoReferenceDensity = 1.185;
inline constexpr Temperature kIsoReferenceTemperature = Temperature::from_kelvin(293.15);

/// Conductance of an effective area: C = CdA psi* / (rho0 sqrt(R T0)). 1 mm2 is 0.1992 dm3/(s bar).
/// @par Source  ISO 6358-1:2013
/// @par Checked published.orifice
[[nodiscard]] SonicConductance sonic_conductance(Area effective_area, const Gas& gas = {});
[[nodiscard]] Area effective_area(SonicConductance conductance, const Gas& gas = {});

/// Share of the choked flow that ISO 6358 gives: 1 up to the critical ratio b, then [1 - ((r-b)/(1-b))^2]^m.
/// @param pressure_ratio  0 to 1
/// @param critical_ratio  b, 0 <= b < 1
/// @param subsonic_index  m; > 0; 0.5 is the ellipse
/// @throws InputError naming the argument
/// @par Source  ISO 6358-1:2013
[[nodiscard]] double iso_flow_share(double pressure_ratio, double critical_ratio, double subsonic_index = 0.5);

/// A part as ISO 6358 describes it.
struct IsoConductance {
  SonicConductance conductance;    ///< C; >= 0
  double critical_ratio = 0.5283;  ///< b; 0 <= b < 1
  double subsonic_index = 0.5;     ///< m; > 0
};

/// Mass flow of a part given by ISO 6358: C rho0 p1 sqrt(T0/T1) times iso_flow_share. Signed like mass_flow, and with the same
/// straight line above r = 0.999.
/// @throws InputError naming the argument
/// @par Source  ISO 6358-1:2013
/// @par Checked published.orifice
[[nodiscard]] MassFlow iso_mass_flow(const IsoConductance& part, const GasState& first, const GasState& second);

}  // namespace headjoint::leakage
