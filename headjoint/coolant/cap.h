#pragma once

#include <optional>

#include "headjoint/coolant/glycol.h"

/// The cap: how hot the coolant may get under it, and whether it still holds.
namespace headjoint::coolant {

/// A difference of temperatures with its band, in kelvin.
struct Margin {
  double value_K = 0;
  double low_K = 0;
  double high_K = 0;
};

/// Boiling with the cap as stamped, with a cap at the end of its life, and with a cap that does not hold.
struct BoilMargin {
  TemperatureBand boiling;           ///< the cap holds what is stamped on it
  TemperatureBand boiling_worn_cap;  ///< it opens at kWornCapShare of its stamp
  TemperatureBand boiling_no_cap;    ///< it leaks, or is off
  std::optional<Margin> margin;      ///< boiling minus the coolant's temperature; empty when none was given. Below zero: it boils
  std::optional<Margin> margin_no_cap;
};

/// A used cap may open at about this share of a new one. One maker prints 93 to 123 kPa new, 78 kPa as the limit for a used cap.
inline constexpr double kWornCapShare = 0.72;
/// No road vehicle's cap is known to be stamped higher; a larger figure is a slip of the unit.
inline constexpr GaugePressure kLargestCap = GaugePressure::from_pascal(2.5e5);

/// A cap works against the air outside: the pressure that counts is its stamp plus the air pressure of the place.
///
/// The hottest coolant stands at the head's exhaust side, some kelvin above the gauge's sensor: a margin of a few kelvin is none.
///
/// @param cap      stamp; 0 (open system) to 2.5 bar
/// @param ambient  200 hPa to 1100 hPa
/// @param hottest  coolant temperature; -40 degC to 200 degC
/// @throws InputError naming the argument
/// @par Checked published.cap
[[nodiscard]] BoilMargin boil_margin(const Coolant& coolant, GaugePressure cap, AbsolutePressure ambient,
                                     std::optional<Temperature> hottest = std::nullopt);

enum class CapState {
  kHolds,      ///< opens within the range of new caps
  kWorn,       ///< below a new cap's range, above the limit for a used one
  kWeak,       ///< below the limit for a used cap: replace
  kOpensLate,  ///< above the range of new caps: hoses and heater core carry what the cap should have let go; replace
};

/// Judges the pressure at which a cap opened on the tester, as a share of its stamp: new 0.86 to 1.14, used at least 0.72.
/// The maker's own figures go first.
/// @param stamp  more than 0, to 2.5 bar
/// @param opened  0 or more
/// @throws InputError naming the argument
/// @par Source  workshop manuals: new 93 to 123 kPa, limit 78 kPa; another 74 to 103 kPa, limit 59 kPa
[[nodiscard]] CapState judge_cap(GaugePressure stamp, GaugePressure opened);

}  // namespace headjoint::coolant
