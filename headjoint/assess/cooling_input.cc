#include "headjoint/assess/cooling_input.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "headjoint/assess/engine_input.h"
#include "headjoint/assess/readings.h"
#include "headjoint/base/text.h"
#include "headjoint/coolant/atmosphere.h"

namespace headjoint::assess {
namespace {

constexpr double kPi = 3.14159265358979323846;
constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
constexpr const char* kCoolantAllowed =
    "\"ethylene 50 %\", \"propylene 40 %\", \"water\", or a tester's \"ethylene -37 degC\"; 0 % to 70 %";

Problem option_problem(const std::string& name, std::string what, std::string allowed, std::string mend = {}) {
  return {{{}, 0, 0, "--" + name}, std::move(what), std::move(allowed), std::move(mend)};
}

/// The file's [cooling] and [engine].
void take_engine(const joint::Engine& engine, CoolingFacts& facts, std::vector<std::string>& known) {
  if (engine.cooling) {
    const joint::Cooling& cooling = *engine.cooling;
    if (cooling.glycol) {
      facts.coolant = {cooling.glycol->kind == "propylene" ? coolant::Glycol::kPropylene : coolant::Glycol::kEthylene,
                       cooling.glycol->fraction};
      known.push_back("coolant");
    }
    if (cooling.cap) facts.cap = cooling.cap->value, known.push_back("cap");
    if (cooling.volume) facts.coolant_volume = cooling.volume->value, known.push_back("volume");
  }
  const joint::General& general = engine.general;
  if (general.fuel) {
    facts.fuel = *general.fuel == joint::Fuel::kDiesel ? leakage::Fuel::kDiesel
                 : *general.fuel == joint::Fuel::kGas  ? leakage::Fuel::kLpg
                                                       : leakage::Fuel::kPetrol;
    known.push_back("fuel");
  }
  if (general.bore && general.stroke && general.compression_ratio && general.compression_ratio->value > 1) {
    const double swept = kPi / 4 * general.bore->value.si() * general.bore->value.si() * general.stroke->value.si();
    facts.clearance = Volume::from_si(swept / (general.compression_ratio->value - 1));
  }
}

void take_file(const Request& request, OptionReader& options, CoolingFacts& facts, std::vector<std::string>& known) {
  if (request.input.is_null()) return;
  const auto read = engine_input(request);
  if (!read) {
    options.add(read.problems());
    return;
  }
  facts.warnings = read->warnings;
  take_engine(read->engine, facts, known);
  if (read->engine.general.cooling == joint::CooledBy::kAir)
    options.add({{{request.source, 0, 0, {}}, "the engine is cooled by air: there is no coolant to test", {}, {}}});
  if (!read->job) return;
  const jobs::History& history = read->job->history;
  if (history.ambient_pressure) facts.ambient = history.ambient_pressure->value, known.push_back("ambient");
  if (history.outside_temperature) facts.outside = history.outside_temperature->value;
}

void take_air(const Request& request, OptionReader& options, CoolingFacts& facts, std::vector<std::string>& known) {
  const auto altitude = options.quantity<Length>("altitude");
  const auto ambient = options.quantity<AbsolutePressure>("ambient");
  if (altitude && ambient) {
    options.refuse("--altitude", "the air pressure was given as well", "--altitude or --ambient, not both");
    return;
  }
  if (ambient) {
    facts.ambient = ambient->value;
    if (!(ambient->value.pascal() >= 500e2 && ambient->value.pascal() <= 1100e2))
      options.refuse("--ambient", "is \"" + request.option("ambient") + "\"", "500 mbar to 1100 mbar, absolute");
  } else if (altitude) {
    if (altitude->value.si() >= -500 && altitude->value.si() <= 6000)
      facts.ambient = coolant::standard_pressure(altitude->value);
    else
      options.refuse("--altitude", "is \"" + altitude->text + "\"", "-500 m to 6000 m above sea level");
  }
  if (altitude || ambient) known.push_back("ambient");
}

std::optional<leakage::Fuel> fuel_option(const Request& request, OptionReader& options) {
  const auto word = word_option(request, options, "fuel", {"petrol", "diesel", "lpg", "cng"});
  if (!word) return std::nullopt;
  return *word == "diesel" ? leakage::Fuel::kDiesel
         : *word == "lpg"  ? leakage::Fuel::kLpg
         : *word == "cng"  ? leakage::Fuel::kCng
                           : leakage::Fuel::kPetrol;
}

void assume(CoolingFacts& facts, const FactsNeeded& needed, const std::vector<std::string>& known) {
  const auto missing = [&](const char* fact) { return std::find(known.begin(), known.end(), fact) == known.end(); };
  if (needed.coolant && missing("coolant")) facts.assumed.push_back("coolant: ethylene glycol 50 %");
  if (needed.cap && missing("cap")) facts.assumed.push_back("cap: 1.0 bar");
  if (needed.ambient && missing("ambient")) facts.assumed.push_back("air pressure: 1013 mbar, sea level");
  if (needed.volume && missing("volume")) facts.assumed.push_back("coolant in the system: 6 L");
  if (needed.fuel && missing("fuel")) facts.assumed.push_back("fuel: petrol");
}

/// Option that carries an argument of the calculations.
std::string option_name(std::string argument) {
  static const std::pair<const char*, const char*> renamed[] = {{"closed at", "from"},
                                                                {"now", "to"},
                                                                {"reading", "pressure"},
                                                                {"bubbles per minute", "bubbles"},
                                                                {"bubble diameter", "bubble"},
                                                                {"cylinder pressure", "cylinder"},
                                                                {"sodium and potassium", "metals"},
                                                                {"oil volume", "oil"}};
  for (const auto& [from, to] : renamed)
    if (argument == from) return to;
  std::replace(argument.begin(), argument.end(), ' ', '-');
  return argument;
}

}  // namespace

Result<coolant::Coolant> parse_coolant(const std::string& text) {
  const std::string plain = lower_case(trimmed(text));
  if (plain == "water") return coolant::Coolant{coolant::Glycol::kEthylene, 0};
  const std::pair<const char*, coolant::Glycol> kinds[] = {{"ethylene", coolant::Glycol::kEthylene},
                                                           {"propylene", coolant::Glycol::kPropylene}};
  for (const auto& [word, glycol] : kinds) {
    if (!plain.starts_with(word)) continue;
    const std::string rest(trimmed(std::string_view(plain).substr(std::string_view(word).size())));
    if (rest.ends_with('%')) {
      const auto percent = parse_number(trimmed(std::string_view(rest).substr(0, rest.size() - 1)));
      if (percent && *percent >= 0 && *percent <= 100 * coolant::kLargestShare) return coolant::Coolant{glycol, *percent / 100};
      if (percent && *percent > 100 * coolant::kLargestShare)
        return option_problem(
            "glycol", "more than 70 % glycol: boiling and freezing points are not known well enough, and it protects less, not more",
            "0 % to 70 % by volume", "thin it with water");
      return option_problem("glycol", "the share is not understood: \"" + text + "\"", kCoolantAllowed);
    }
    if (const auto freezing = parse<Temperature>(rest)) {
      if (const auto share = coolant::share_from_freezing(glycol, *freezing)) return coolant::Coolant{glycol, *share};
      return option_problem("glycol", "no mixture up to 60 % freezes at \"" + rest + "\"", "0 degC to about -51 degC",
                            "is the tester's scale the one of this glycol?");
    }
  }
  const std::vector<std::string> words = {"ethylene", "propylene", "water"};
  const auto nearest = nearest_name(split(plain, ' ').front(), words);
  return option_problem("glycol", "the coolant is not understood: \"" + text + "\"", kCoolantAllowed,
                        nearest ? "did you mean \"" + *nearest + "\"?"
                                : (plain.find('%') != std::string::npos ? "say which glycol: ethylene or propylene" : ""));
}

CoolingFacts cooling_facts(const Request& request, OptionReader& options, const FactsNeeded& needed) {
  CoolingFacts facts;
  std::vector<std::string> known;
  take_file(request, options, facts, known);
  if (needed.coolant) {
    if (const std::string text = request.option("glycol"); !text.empty()) {
      const auto coolant = parse_coolant(text);
      if (coolant)
        facts.coolant = *coolant;
      else
        options.add(coolant.problems());
      known.push_back("coolant");
    }
  }
  if (needed.cap)
    if (const auto cap = options.quantity<GaugePressure>("cap")) facts.cap = cap->value, known.push_back("cap");
  if (needed.ambient) take_air(request, options, facts, known);
  if (needed.volume)
    if (const auto volume = options.positive<Volume>("coolant-volume")) facts.coolant_volume = *volume, known.push_back("volume");
  if (needed.fuel)
    if (const auto fuel = fuel_option(request, options)) facts.fuel = *fuel, known.push_back("fuel");
  assume(facts, needed, known);
  return facts;
}

std::optional<std::string> word_option(const Request& request, OptionReader& options, const std::string& name,
                                       const std::vector<std::string>& words) {
  const std::string text = lower_case(trimmed(request.option(name)));
  if (text.empty()) return std::nullopt;
  if (std::find(words.begin(), words.end(), text) != words.end()) return text;
  std::string allowed;
  for (const std::string& word : words) allowed += (allowed.empty() ? "" : ", ") + word;
  const auto nearest = nearest_name(text, words);
  options.add({option_problem(name, "is \"" + text + "\"", allowed, nearest ? "did you mean \"" + *nearest + "\"?" : "")});
  return std::nullopt;
}

leakage::EngineState engine_state_option(const Request& request, OptionReader& options) {
  const auto word = word_option(request, options, "engine", {"idle", "2000", "load", "cranking"});
  if (!word || *word == "idle") return leakage::EngineState::kIdle;
  return *word == "2000"   ? leakage::EngineState::kFastIdle
         : *word == "load" ? leakage::EngineState::kFullLoad
                           : leakage::EngineState::kCranking;
}

std::optional<double> number_option(const Request& request, OptionReader& options, const std::string& name, double low, double high) {
  const std::string text = request.option(name);
  if (text.empty()) return std::nullopt;
  const auto number = parse_number(text);
  if (number && *number >= low && *number <= high) return number;
  options.refuse("--" + name, "is \"" + text + "\"", "a number from " + number_text(low) + " to " + number_text(high));
  return std::nullopt;
}

std::optional<double> share_option(const Request& request, OptionReader& options, const std::string& name) {
  const std::string text(trimmed(request.option(name)));
  if (text.empty()) return std::nullopt;
  const bool percent = text.ends_with('%');
  const auto number = parse_number(trimmed(std::string_view(text).substr(0, text.size() - (percent ? 1 : 0))));
  const double share = number.value_or(-1) / 100;
  if (percent && number && share >= 0 && share <= 1) return share;
  options.refuse("--" + name, "is \"" + text + "\"", "0 % to 100 %, with the sign");
  return std::nullopt;
}

Problem problem_of(const InputError& error) { return option_problem(option_name(error.argument()), error.what(), {}); }

LeakSize leak_size(const leakage::LeakArea& area, std::optional<Area> smallest) {
  using Status = leakage::LeakArea::Status;
  constexpr double kSquareMm = 1e6;
  LeakSize size;
  size.status = area.status == Status::kMeasured            ? "measured"
                : area.status == Status::kBelowLimit        ? "no leak shown"
                : area.status == Status::kTooLargeToMeasure ? "too large to measure"
                                                            : "not run";
  size.area_mm2 = {area.area.si() * kSquareMm, area.low.si() * kSquareMm, area.high ? area.high->si() * kSquareMm : kNone};
  size.smallest_mm2 = smallest ? smallest->si() * kSquareMm : kNone;
  return size;
}

std::string coolant_words(const coolant::Coolant& coolant) {
  if (!(coolant.share > 0)) return "plain water";
  const std::string percent = number_text(std::round(1000 * coolant.share) / 10);
  return (coolant.glycol == coolant::Glycol::kEthylene ? "ethylene glycol " : "propylene glycol ") + percent + " %";
}

}  // namespace headjoint::assess
