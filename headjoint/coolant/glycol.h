#pragma once

#include <optional>

#include "headjoint/units/points.h"

/// Water with glycol: when it boils, when it freezes.
namespace headjoint::coolant {

enum class Glycol { kEthylene, kPropylene };

/// What the system is filled with. Inhibitors are left out.
struct Coolant {
  Glycol glycol = Glycol::kEthylene;
  double share = 0.5;  ///< volume of glycol over the sum of the volumes before mixing, at 20 degC; 0 (plain water) to 0.7
};

/// Up to here the printed tables agree with the models as stated.
inline constexpr double kLargestUsualShare = 0.6;
/// Beyond here nothing is told: the boiling model and the laboratories' freezing points part.
inline constexpr double kLargestShare = 0.7;

/// A temperature with the band of its model.
struct TemperatureBand {
  enum class Status {
    kNotRun,       ///< nothing was computed
    kAsTabulated,  ///< inside the range in which printed tables agree
    kBeyondUsual,  ///< 60 to 70 vol %: wider band
    kNotKnown,     ///< no trustworthy figure exists; the temperatures mean nothing
  };
  Temperature value, low, high;
  Status status = Status::kNotRun;
};

/// Glycol by mass: w = s rho_g / (s rho_g + (1-s) rho_w) at 20 degC.
/// @throws InputError naming the argument, as every function here that takes a Coolant
[[nodiscard]] double mass_fraction(const Coolant& coolant);

/// Total vapour pressure, x_w p_w(T) + x_g p_g(T) (Raoult's law): water after IAPWS R7-97, glycol after Antoine.
/// @param temperature  0 degC to 200 degC
/// @throws InputError naming the argument
/// @par Source  Antoine constants: NIST Chemistry WebBook (ethylene glycol, quoted in two public codes; propylene glycol from memory)
[[nodiscard]] AbsolutePressure vapour_pressure(const Coolant& coolant, Temperature temperature);

/// Temperature at which the first bubble forms under `pressure` (absolute).
///
/// Ideal mixture. Against a printed table of inhibited coolants it is within 1.2 K to 60 vol % and 2.2 K to 70 vol %: these are
/// the bands given (2.5 K above 60 vol %). Steam of a boiling coolant is nearly pure water, so what stays boils a little hotter.
///
/// @param pressure  200 hPa to 6 bar, absolute
/// @throws InputError naming the argument
/// @par Source  Raoult's law; table: ASHRAE Fundamentals, secondary coolants (from memory)
/// @par Checked published.glycol
[[nodiscard]] TemperatureBand boiling_temperature(const Coolant& coolant, AbsolutePressure pressure);

/// Temperature at which the first ice forms. Band 1 K to 50 vol %, rising to 3 K at 60 vol %; not known above.
/// Slush bursts nothing yet: full protection lies a few kelvin lower, which is the safe side.
/// @par Source  fits to the ASHRAE tables, CoolProp incompressible fluids AEG and APG (MIT licence; figures only)
/// @par Checked published.glycol
[[nodiscard]] TemperatureBand freezing_temperature(const Coolant& coolant);

/// Share of glycol whose freezing point is the one a tester shows.
/// @returns empty above 0 degC or below the freezing point of 60 vol %: too strong to tell, or the tester's scale is another glycol's
[[nodiscard]] std::optional<double> share_from_freezing(Glycol glycol, Temperature freezing);

}  // namespace headjoint::coolant
