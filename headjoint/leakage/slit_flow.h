#pragma once

#include "headjoint/leakage/orifice_flow.h"

namespace headjoint::leakage {

/// A scratch or crack across a sealing line: two flat faces a small gap apart.
struct Slit {
  Length width;   ///< along the sealing line; > 0
  Length gap;     ///< between the faces; > 0, far below the width
  Length length;  ///< in the direction of flow; > 0
};

/// Flow through the slit when friction alone rules: m = w h^3 (p1^2 - p2^2) / (24 mu R T L).
///
/// Laminar, isothermal, ideal gas, parallel faces, no entry loss. Signed like mass_flow.
///
/// @throws InputError naming the argument
/// @par Source  plane Poiseuille flow integrated with p/(R T) as density (textbook result)
/// @par Checked published.slit
[[nodiscard]] MassFlow laminar_slit_flow(const Slit& slit, const GasState& first, const GasState& second, const Gas& gas = {});

/// Flow through the slit at any gap: friction and outflow joined as 1/m^2 = 1/m_laminar^2 + 1/m_orifice^2.
///
/// The join is an assumption. It is smooth and never above either limit, and at worst (both equal) 29 % below the smaller of
/// the two. The orifice limit uses width times gap and `discharge`.
///
/// @param discharge  0 < discharge <= 1
/// @throws InputError naming the argument
[[nodiscard]] MassFlow slit_flow(const Slit& slit, const GasState& first, const GasState& second, const Gas& gas = {},
                                 double discharge = kDrilledOrificeDischarge);

/// Effective area that a tester at these two pressures would report for the slit. Below about 30 um gap it grows with the cube
/// of the gap and with the pressure: an area found at 6 bar does not hold at 60 bar.
///
/// @param downstream  < upstream pressure
/// @throws InputError naming the argument
[[nodiscard]] Area slit_effective_area(const Slit& slit, const GasState& upstream, AbsolutePressure downstream, const Gas& gas = {},
                                       double discharge = kDrilledOrificeDischarge);

}  // namespace headjoint::leakage
