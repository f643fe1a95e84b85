#pragma once

#include <optional>
#include <string>
#include <vector>

#include "headjoint/assess/figure_words.h"
#include "headjoint/assess/operation.h"
#include "headjoint/assess/option_reader.h"
#include "headjoint/assess/results_cooling.h"
#include "headjoint/coolant/glycol.h"
#include "headjoint/leakage/burnt_gas.h"
#include "headjoint/leakage/fuel.h"
#include "headjoint/leakage/leak_area.h"

/// What the operations on coolant and gas share: the system's facts from a job, an engine or options, and their words.
namespace headjoint::assess {

/// The cooling system as far as it is known. An option goes before the file; what nobody gave is assumed and said so.
struct CoolingFacts {
  coolant::Coolant coolant;
  GaugePressure cap = GaugePressure::from_pascal(1e5);
  AbsolutePressure ambient;
  Volume coolant_volume = Volume::from_si(6e-3);
  leakage::Fuel fuel = leakage::Fuel::kPetrol;
  std::optional<Temperature> outside;
  std::optional<Volume> clearance;  ///< of one cylinder at top dead centre
  std::vector<std::string> assumed;
  Problems warnings;  ///< from reading the file
};

/// Which facts an operation needs; the others are neither asked for nor assumed.
struct FactsNeeded {
  bool coolant = false, cap = false, ambient = false, volume = false, fuel = false;
};

/// Reads `request`'s file, if any, and its options --glycol, --cap, --altitude or --ambient, --coolant-volume, --fuel. Problems go to
/// `options`.
[[nodiscard]] CoolingFacts cooling_facts(const Request& request, OptionReader& options, const FactsNeeded& needed);

/// "ethylene 50 %", "propylene 33,5 %", "water"; or what a tester shows: "ethylene -37 degC".
[[nodiscard]] Result<coolant::Coolant> parse_coolant(const std::string& text);

/// One of these words, or empty with a problem that lists them and the nearest one.
[[nodiscard]] std::optional<std::string> word_option(const Request& request, OptionReader& options, const std::string& name,
                                                     const std::vector<std::string>& words);

/// --engine: idle (also when not given), 2000, load or cranking.
[[nodiscard]] leakage::EngineState engine_state_option(const Request& request, OptionReader& options);

/// A number without a unit between two limits.
[[nodiscard]] std::optional<double> number_option(const Request& request, OptionReader& options, const std::string& name, double low,
                                                  double high);

/// A share: "70 %" or 0.7.
[[nodiscard]] std::optional<double> share_option(const Request& request, OptionReader& options, const std::string& name);

/// The option's quantity, or `otherwise` with a line among what was assumed.
template <class T>
[[nodiscard]] T quantity_or(OptionReader& options, const std::string& name, T otherwise, const std::string& words,
                            std::vector<std::string>& assumed) {
  if (const auto typed = options.quantity<T>(name)) return typed->value;
  assumed.push_back(words);
  return otherwise;
}

/// A refused argument of a calculation as a problem of the option it came from.
[[nodiscard]] Problem problem_of(const InputError& error);

/// Shows a leak area. `smallest` in m2; empty: the test could show none.
[[nodiscard]] LeakSize leak_size(const leakage::LeakArea& area, std::optional<Area> smallest);

/// "ethylene glycol 50 %", "plain water"
[[nodiscard]] std::string coolant_words(const coolant::Coolant& coolant);

/// Options that several operations share.
namespace cooling_option {
inline constexpr OptionSpec kGlycol = {
    "glycol", "COOLANT", "\"ethylene 50 %\", \"propylene 40 %\", \"water\", or a tester's freezing point: \"ethylene -37 degC\""};
inline constexpr OptionSpec kCap = {"cap", "PRESSURE", "as stamped on it: \"1.1 bar\""};
inline constexpr OptionSpec kAltitude = {"altitude", "LENGTH", "of the place: \"2000 m\""};
inline constexpr OptionSpec kAmbient = {"ambient", "PRESSURE", "air pressure of the day instead of the altitude, absolute: \"1013 mbar\""};
inline constexpr OptionSpec kVolume = {"coolant-volume", "VOLUME", "coolant in the system; 6 L when not given"};
inline constexpr OptionSpec kFuel = {"fuel", "WORD", "petrol, diesel, lpg or cng; petrol when not given"};
}  // namespace cooling_option

}  // namespace headjoint::assess
