#pragma once

#include "headjoint/coolant/glycol.h"
#include "headjoint/units/quantity.h"

/// The closed head tank: what pressure warming up makes by itself, and how much gas it takes to explain more.
namespace headjoint::coolant {

/// A cooling system closed at a known, cold state.
struct HeadTank {
  Coolant coolant;
  Volume coolant_volume = Volume::from_si(6e-3);        ///< 0.5 L to 500 L
  Volume gas_space = Volume::from_si(1.2e-3);           ///< above the coolant when closed; 0.02 L to 100 L
  Volume hose_growth = Volume::from_si(0.05e-3);        ///< hoses and radiator, per bar; 0 or more. Default: an assumption
  GaugePressure cap = GaugePressure::from_pascal(1e5);  ///< opens here; above 0
  AbsolutePressure ambient;
  Temperature closed_at = Temperature::from_celsius(20);  ///< when the cap went on; -20 degC to 60 degC
  GaugePressure closed_pressure;                          ///< then; normally 0; -0.1 bar to the cap
  double gas_space_error = 0.15;                          ///< share by which the gas space may be misjudged; 0 to 0.9. Assumption
  TemperatureDifference temperature_error = TemperatureDifference::from_si(3);  ///< of the coolant's mean temperature. Assumption
};

/// The valve for cooling down lets air in at about this pressure below the air outside. One manual prints 0.625 psi.
inline constexpr GaugePressure kVacuumValve = GaugePressure::from_pascal(-4309);

/// Gauge pressure in the tank with its band.
struct TankPressure {
  enum class Status {
    kNotRun,
    kClosed,      ///< the cap stays shut over the whole band
    kCapMayOpen,  ///< the cap opens at the top of the band or before; pressures are held at the cap's
    kDrawsAir,    ///< contraction opens the vacuum valve; pressures are held there
  };
  GaugePressure value, low, high;
  Status status = Status::kNotRun;
};

/// Pressure after warming (or cooling) from `closed_at` to `now`, with `added` gas beside the air that was closed in.
///
/// The coolant grows into the gas space, the gas warms, the coolant's vapour adds its pressure, the hoses give way:
/// p = p_air + p_v(T), p_air (V_0 - V_c growth + H (p - p_0)) / T constant. The value takes the air closed in as dry; the band
/// takes it as dry to saturated, and the errors of gas space, temperature and growth at their worst together.
///
/// @param now    -20 degC to 130 degC
/// @param added  gas at 0 degC and 1013.25 hPa; 0 or more
/// @throws InputError naming the argument
/// @par Checked published.head_tank
[[nodiscard]] TankPressure tank_pressure(const HeadTank& tank, Temperature now, Volume added = {});

/// Gas that must have come in to explain a reading. Volumes at 0 degC and 1013.25 hPa.
struct AddedGas {
  enum class Status {
    kNotRun,
    kGasAdded,      ///< low > 0: warming alone does not explain the pressure
    kNoneTold,      ///< low <= 0 <= high: warming explains it; up to `high` may hide
    kPressureLost,  ///< high < 0: less pressure than warming makes: something let go, or the tank was not as stated
    kCapOpened,     ///< the reading stands at the cap: gas may have left; only `low` is a bound
  };
  Volume value, low, high;
  Status status = Status::kNotRun;
};

/// tank_pressure solved for the gas, at every corner of the errors.
/// @param reading  -0.2 bar to 3 bar
/// @param gauge_step  smallest difference the gauge shows; > 0
/// @throws InputError naming the argument
/// @par Checked published.head_tank
[[nodiscard]] AddedGas added_gas(const HeadTank& tank, Temperature now, GaugePressure reading, GaugePressure gauge_step);

/// Smallest amount of gas that the test could have told from warming alone: what lifts the expected pressure above its own band by
/// one gauge step. Needs the cap to stay shut; `over_cap` tells when it would not.
struct SmallestGas {
  Volume amount;
  bool over_cap = false;  ///< the cap opens first: this test cannot show any gas from this state
};
/// @throws InputError naming the argument
[[nodiscard]] SmallestGas smallest_gas_visible(const HeadTank& tank, Temperature now, GaugePressure gauge_step);

}  // namespace headjoint::coolant
