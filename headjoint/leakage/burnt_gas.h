#pragma once

#include <optional>
#include <string>

#include "headjoint/leakage/coolant_leak.h"

/// Looking for burnt gas above the coolant: the dye that turns with carbon dioxide, and the exhaust analyser.
namespace headjoint::leakage {

/// The dye: bromothymol blue in weak bicarbonate. The alkalinity decides how much carbon dioxide turns it.
struct Dye {
  double alkalinity_mM = 1;  ///< mmol/L; 0.1 to 10. Not printed on the bottle: an assumption
  double alkalinity_low_mM = 0.5;
  double alkalinity_high_mM = 2;
};

/// pH of the dye when gas with this much carbon dioxide bubbles through it long enough, at 25 degC.
///
/// Charge balance of dissolved carbon dioxide, bicarbonate, carbonate and water; Henry 0.0339 mol/(L bar), pK 6.352 and 10.329.
///
/// @param alkalinity_mM  0.1 to 10 mmol/L
/// @param co2            mole fraction; 0 to 1
/// @throws InputError naming the argument
/// @par Source  equilibrium constants at 25 degC from memory
/// @par Checked published.gas_test
[[nodiscard]] double dye_ph(double alkalinity_mM, double co2, AbsolutePressure pressure = kStandardPressure);

/// Carbon dioxide that gives this pH; the same balance solved for the gas. @param ph  4 to 9
[[nodiscard]] double co2_for_ph(double alkalinity_mM, double ph, AbsolutePressure pressure = kStandardPressure);

enum class DyeColour { kBlue, kGreen, kYellow };

/// Half turned: clearly green. Bromothymol blue is blue above pH 7.6 and yellow below 6.0.
inline constexpr double kGreenFromPh = 7.1, kYellowFromPh = 6.0;
[[nodiscard]] DyeColour dye_colour(double ph);

/// Time until the gas above the coolant holds `threshold` carbon dioxide, well mixed: x = x_g (1 - exp(-Q t / V)).
/// @param flow       of leaking gas; >= 0
/// @param co2_in_gas mole fraction in it; 0 to 1
/// @param head_space  > 0
/// @returns empty: never
/// @throws InputError naming the argument
/// @par Checked published.gas_test
[[nodiscard]] std::optional<Duration> time_to_show(VolumeFlow flow, double co2_in_gas, Volume head_space, double threshold);

/// Leaking gas that alkaline coolant may take up before the first carbon dioxide stays above it.
/// @param reserve  mmol/L that bind carbon dioxide; fresh coolant about 20, an assumption
/// @throws InputError naming the argument
[[nodiscard]] Volume gas_absorbed_first(Volume coolant, double reserve_mM, double co2_in_gas);

/// One colour test.
struct ColourTest {
  Fuel fuel = Fuel::kPetrol;
  EngineState state = EngineState::kIdle;  ///< while the gas was drawn
  DyeColour seen = DyeColour::kBlue;
  Duration time = Duration::from_si(300);       ///< how long the engine ran with the tester on; 10 s to 2 h
  Volume head_space = Volume::from_si(0.5e-3);  ///< air above the coolant; 0.05 L to 50 L
  Volume coolant_volume = Volume::from_si(6e-3);
  double coolant_reserve_mM = 20;  ///< 0: spent coolant or water
  Dye dye;
  AbsolutePressure ambient = kStandardPressure;
};

struct ColourResult {
  double co2_in_gas = 0;  ///< of the burnt gas, dry
  double green_from = 0;  ///< carbon dioxide above the coolant that turns this dye green, and yellow
  double yellow_from = 0;
  bool can_turn_green = false;  ///< whether this engine's gas can do it at all, with the strongest dye assumed
  bool can_turn_yellow = false;
  std::optional<Duration> green_after;  ///< for a leak of 0.01 mm2
  GasFlow flow;                         ///< normal; what the colour says. high of a yellow dye is not bounded: see area.high
  LeakArea area;                        ///< kBelowLimit when blue
  Area smallest;                        ///< leak that would just have turned the dye green in this time, nothing absorbed
  Area smallest_if_absorbed;            ///< the same when the coolant first takes up all its reserve allows
  bool yellow_is_doubtful = false;      ///< yellow where this gas cannot do it: breath, sucked-in coolant or spent dye
};

/// What a colour tells, as leak area.
///
/// Cannot tell: a leak that opens only hot or under load, a cylinder that does not fire (its gas has no carbon dioxide), gas that fresh
/// coolant swallows. Turns without a leak of the joint: breath, exhaust in the room, coolant sucked in, a cracked exhaust-gas cooler.
///
/// @throws InputError naming the argument
/// @par Checked published.gas_test
[[nodiscard]] ColourResult judge_colour_test(const ColourTest& test);

/// Exhaust analyser held above the neck, never in the liquid. Readings over the blank taken in the room's air.
struct AnalyserReading {
  double co2_percent = 0;    ///< over blank; -1 to 25
  double hc_ppm = 0;         ///< over blank; -1000 to 50000
  double hc_noise_ppm = 10;  ///< spread of the blank; > 0
};

enum class AnalyserVerdict {
  kNothing,        ///< neither rises above the blank
  kBurntGas,       ///< carbon dioxide: combustion gas, with or without HC
  kDoubtful,       ///< a trace of carbon dioxide: repeat hot, against a fresh blank
  kFuelOrSolvent,  ///< HC without carbon dioxide: fuel, solvent or glycol vapour; not proof of a leak
};

/// Burnt gas from 0.5 % carbon dioxide over the blank, HC from three times its noise. Assumptions: no published limit was found.
/// @throws InputError naming the argument
[[nodiscard]] AnalyserVerdict judge_analyser(const AnalyserReading& reading);

}  // namespace headjoint::leakage
