#pragma once

#include <optional>

#include "headjoint/units/points.h"
#include "headjoint/units/quantity.h"

/// Water and coolant in the oil: what each test can show, and the innocent ways water gets there.
namespace headjoint::leakage {

/// The sump at hand.
struct Sump {
  Volume oil = Volume::from_si(5e-3);  ///< 0.3 L to 200 L
  double oil_density = 870;            ///< kg/m3; 700 to 1000
};

/// Water by mass of oil: 1 mL in 5 L of 870 kg/m3 are 230 mg/kg.
/// @throws InputError naming the argument
/// @par Checked published.oil
[[nodiscard]] double water_mg_per_kg(Volume water, const Sump& sump);
[[nodiscard]] Volume water_in(double mg_per_kg, const Sump& sump);

/// Figures in mg/kg with their origin.
inline constexpr double kCrackleFrom = 500;     ///< an industrial laboratory's procedure: 0.05 %, by ear and eye
inline constexpr double kCrackleFromLow = 300;  ///< how far that may be off; assumption
inline constexpr double kCrackleFromHigh = 1000;
inline constexpr double kWaterLimit = 1000;       ///< in use: 0.1 %; uniform limits do not exist (trade press, 2012)
inline constexpr double kKarlFischerLowest = 10;  ///< range of ASTM D6304, from memory
inline constexpr double kKarlFischerHighest = 25000;
inline constexpr double kGlycolTablet = 100;             ///< ASTM D2982
inline constexpr double kGlycolReagent = 300;            ///< likewise
inline constexpr double kGlycolChromatographLowest = 5;  ///< ASTM D4291: 5 to 200 mg/kg

/// Precision of glycol by gas chromatography: 21.2 and 52.8 mg/kg at 100.
/// @par Source  ASTM D4291: repeatability 0.212 X, reproducibility 0.528 X
struct GlycolPrecision {
  double repeatability = 0;
  double reproducibility = 0;
};
[[nodiscard]] GlycolPrecision glycol_precision(double mg_per_kg);

/// Share of the glycol that is still there after running hot: a tenth after 8 h at 93 degC.
///
/// First order, as if all hours were that hot; colder hours decay less, so this is the least that may be left.
///
/// @param hot_hours  >= 0
/// @throws InputError naming the argument
/// @par Source  a maker's laboratory test with 4 % coolant in oil, as quoted by trade press
[[nodiscard]] double glycol_left(Duration hot_hours);

/// Volume of coolant in the sump, with a band.
struct CoolantInOil {
  enum class Status { kNotRun, kFound, kNoneTold };
  Volume value, low, high;
  Status status = Status::kNotRun;
};

enum class GlycolTest { kTablet, kReagent, kChromatograph };

/// Smallest amount of coolant that a glycol test shows after so many hot hours.
/// @param glycol_share  of the coolant, by mass; above 0 to 1
/// @throws InputError naming the argument
[[nodiscard]] Volume smallest_coolant_by_glycol(GlycolTest test, const Sump& sump, double glycol_share, Duration hot_hours);

/// Sodium and potassium stay when water and glycol have gone: the rise over the new oil tells how much coolant went through.
struct Metals {
  double sample_mg_per_kg = 0;      ///< sodium + potassium in the used oil; 0 to 20000
  double new_oil_mg_per_kg = 5;     ///< the same oil from the can; some oils carry sodium
  double coolant_mg_per_kg = 2500;  ///< sodium + potassium of the coolant; 100 to 20000. Assumption: ask for the data sheet
  double coolant_low = 800;
  double coolant_high = 6000;
};
/// A rise that counts: assumption, uniform limits do not exist. Road salt and sea air bring sodium too.
inline constexpr double kMetalsRise = 20;

/// @throws InputError naming the argument
[[nodiscard]] CoolantInOil coolant_from_metals(const Metals& metals, const Sump& sump);
[[nodiscard]] Volume smallest_coolant_by_metals(const Metals& metals, const Sump& sump);

/// Water that blow-by carries into a cold crankcase on short trips.
///
/// Burning makes 1.2 to 1.4 kg of water per kg of petrol; 0.5 to 2 % of the charge blows by. All of it condenses at worst, when the oil
/// never gets hot; a hot run drives it out again.
///
/// @param fuel  burnt on trips on which the oil stayed cold; >= 0
/// @returns low, middle, high
/// @throws InputError naming the argument
struct BlowByWater {
  Volume low, value, high;
};
[[nodiscard]] BlowByWater short_trip_water(Mass fuel);

/// What is known about this oil. Empty: not done, not looked.
struct OilEvidence {
  Sump sump;
  std::optional<bool> crackles;
  std::optional<double> water_mg_per_kg;   ///< Karl Fischer
  std::optional<double> glycol_mg_per_kg;  ///< 0: looked for and not found
  std::optional<GlycolTest> glycol_test;   ///< how; a tablet unless said
  std::optional<Metals> metals;
  std::optional<bool> cream_under_cap_only;  ///< cream under the filler cap, clean dipstick
  std::optional<bool> whole_sump_emulsion;
  std::optional<bool> oil_level_rises;
  std::optional<bool> coolant_level_falls;
  Mass cold_fuel;              ///< burnt on short cold trips since the last hot run; 0 when none
  Duration hot_hours;          ///< run hot since the coolant may have got in
  double glycol_share = 0.53;  ///< of the coolant, by mass; half and half
};

enum class OilVerdict {
  kNotTold,  ///< nothing looked for that could decide
  kNoWaterFound,
  kNoCoolantFound,    ///< glycol or metals looked for and not found; water not looked for
  kShortTrips,        ///< the water found is no more than short trips bring, and nothing speaks of coolant
  kWaterUnexplained,  ///< more than short trips explain, no glycol or metals found
  kCoolant,           ///< glycol or metals, or a whole-sump emulsion with falling coolant
};

struct OilResult {
  OilVerdict verdict = OilVerdict::kNotTold;
  std::optional<Volume> water;  ///< in the sump; from Karl Fischer, or the least a crackle shows
  BlowByWater short_trips;      ///< what they could have brought
  CoolantInOil coolant;         ///< from metals when given, else from glycol
  Volume smallest_water;        ///< in the sump: the least the water test done would have shown (crackle, unless Karl Fischer)
  Volume smallest_coolant;      ///< by the best of the coolant tests done; 0 when none was done
  double glycol_left = 1;
  bool water_over_limit = false;  ///< above 0.1 %
};

/// A hot engine drives the water out and burns the glycol: no water is no proof of no coolant.
/// @throws InputError naming the argument
[[nodiscard]] OilResult judge_oil(const OilEvidence& evidence);

}  // namespace headjoint::leakage
