#pragma once

#include "headjoint/leakage/fuel.h"
#include "headjoint/leakage/leak_area.h"
#include "headjoint/leakage/orifice_flow.h"

/// A leak between bore and coolant: gas out while the engine turns, coolant in when it stands, bubbles under shop air.
namespace headjoint::leakage {

/// A normal litre is gas at 0 degC and 1013.25 hPa; flows named "normal" count those.
inline constexpr double kNormalPascal = 101325, kNormalKelvin = 273.15;

/// The firing cycle behind fired_gas_flow is one engine's: another one may pass half as much or half as much again.
inline constexpr double kFiredGasError = 0.5;

/// Normal flow of gas that an area passes into the coolant, averaged over the cycle.
///
/// From a simplified firing cycle of a 402 cm3 cylinder, ratio 10, petrol: per 0.01 mm2 0.161 L/min cranking at 250 rpm, 0.080 at idle
/// with the cap off, 0.063 at idle against 2.0 bar absolute, 0.120 at 2000 rpm, 0.208 at 3000 rpm full load. +-50 %. Unburnt
/// compression air while cranking. A narrow crack passes less at low and more at high pressure.
///
/// @param area     effective; >= 0
/// @param coolant  pressure in the system; only idle depends on it
/// @throws InputError naming the argument
[[nodiscard]] VolumeFlow fired_gas_flow(Area area, EngineState state, AbsolutePressure coolant = kStandardPressure);

/// A gas flow with its band; normal litres.
struct GasFlow {
  VolumeFlow value, low, high;
};

/// Area that brings this much gas into the coolant. The band joins the flow's and the cycle's.
/// @param flow  0 <= low <= value <= high
/// @returns kMeasured when low > 0, else kBelowLimit
/// @throws InputError naming the argument
[[nodiscard]] LeakArea leak_area_from_fired_gas(const GasFlow& flow, EngineState state, AbsolutePressure coolant = kStandardPressure);

/// Discharge coefficient of a small hole for liquid.
inline constexpr double kLiquidDischarge = 0.6;

/// Coolant that a hole passes: Q = Cd A sqrt(2 dp / rho). Upper limit for cracks, where the liquid is also held back by friction.
/// @param opening   geometric area; >= 0
/// @param pressure  across it; >= 0
/// @param density   kg/m3; > 0
/// @throws InputError naming the argument
/// @par Source  Bernoulli
/// @par Checked published.coolant_leak
[[nodiscard]] VolumeFlow liquid_flow(Area opening, GaugePressure pressure, double density, double discharge = kLiquidDischarge);

/// Hydraulic lock: shortest time from switching off until the coolant that comes in fills the clearance volume. The pressure is taken
/// as constant; in truth it falls. Do not crank with the plugs in after this time: the rod bends.
/// @param opening    geometric area; > 0
/// @param clearance  volume above the piston at top dead centre; > 0
/// @param pressure   in the hot system; > 0
/// @throws InputError naming the argument
/// @par Checked published.coolant_leak
[[nodiscard]] Duration shortest_lock_time(Area opening, Volume clearance, GaugePressure pressure, double density = 1050);

/// Bubbles counted while shop air stands on the cylinder.
struct BubbleCount {
  double per_minute = 0;                    ///< 0 to 3000
  Length diameter = Length::from_si(6e-3);  ///< of one bubble; 1 mm to 30 mm. Default: an assumption
  double diameter_error = 0.4;              ///< share; 0 to 0.9: 4 mm to 8 mm bubbles
};

/// Flow of the bubbles at the coolant's surface, with the band of their size.
/// @throws InputError naming the argument
[[nodiscard]] GasFlow bubble_flow(const BubbleCount& bubbles, const Ambient& ambient = {});

/// Effective area behind bubbles in the filler neck at a steady cylinder pressure (leak-down air).
///
/// Gas only: every bubble is air that came through the gasket or a crack. No bubbles: `high` is the smallest leak that one bubble per
/// minute would have shown.
///
/// @param flow      as it leaves the coolant, normal litres
/// @param cylinder  > 0
/// @throws InputError naming the argument
/// @par Checked published.coolant_leak
[[nodiscard]] LeakArea leak_area_from_bubbles(const GasFlow& flow, GaugePressure cylinder, const Ambient& ambient = {},
                                              const Gas& gas = {});

/// Flow measured at ambient state as normal litres.
[[nodiscard]] VolumeFlow normal_flow(VolumeFlow at_ambient, const Ambient& ambient);

/// Time until a gas flow makes up an amount; both in normal litres. Empty for no flow.
[[nodiscard]] std::optional<Duration> time_to_gather(Volume amount, VolumeFlow flow);

}  // namespace headjoint::leakage
