#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "headjoint/assess/cooling_input.h"
#include "headjoint/assess/knowledge.h"
#include "headjoint/assess/operation_table.h"
#include "headjoint/assess/results_document_cooling.h"
#include "headjoint/base/text.h"
#include "headjoint/leakage/burnt_gas.h"

namespace headjoint::assess {
namespace {

using leakage::AnalyserVerdict;
using leakage::DyeColour;
constexpr double kNone = std::numeric_limits<double>::quiet_NaN();

std::optional<leakage::ColourTest> colour_asked(const Request& request, OptionReader& options, CoolingFacts& facts) {
  const auto word = word_option(request, options, "colour", {"blue", "green", "yellow"});
  if (!word) return std::nullopt;
  leakage::ColourTest test;
  test.seen = *word == "blue" ? DyeColour::kBlue : *word == "green" ? DyeColour::kGreen : DyeColour::kYellow;
  test.fuel = facts.fuel;
  test.state = engine_state_option(request, options);
  test.coolant_volume = facts.coolant_volume;
  test.ambient = facts.ambient;
  test.time = quantity_or<Duration>(options, "time", test.time, "tester on for 5 min", facts.assumed);
  test.head_space = quantity_or<Volume>(options, "head-space", test.head_space, "air above the coolant: 0.5 L", facts.assumed);
  if (const auto reserve = number_option(request, options, "reserve", 0, 200))
    test.coolant_reserve_mM = *reserve;
  else
    facts.assumed.push_back("coolant binds up to 20 mmol/L of carbon dioxide, as when fresh");
  facts.assumed.push_back("dye with 0.5 to 2 mmol/L of alkali");
  return test;
}

ColourTestReply shown_of(const leakage::ColourResult& result, const std::string& colour) {
  ColourTestReply shown;
  shown.colour = colour;
  shown.co2_in_gas_percent = 100 * result.co2_in_gas;
  shown.green_from_percent = 100 * result.green_from;
  shown.yellow_from_percent = 100 * result.yellow_from;
  shown.can_turn_green = result.can_turn_green;
  shown.can_turn_yellow = result.can_turn_yellow;
  if (result.green_after) shown.green_after_minutes = result.green_after->si() / 60;
  shown.leak = leak_size(result.area, result.can_turn_green ? std::optional(result.smallest) : std::nullopt);
  shown.smallest_if_absorbed_mm2 = result.can_turn_green ? result.smallest_if_absorbed.si() * 1e6 : kNone;
  return shown;
}

void explain_colour(const ColourTestReply& shown, const leakage::ColourResult& result, const leakage::ColourTest& test, Meaning& meaning) {
  if (test.seen == DyeColour::kBlue) {
    if (!shown.can_turn_green) {
      meaning.means.push_back("The gas of this engine in this state cannot turn the dye: blue says nothing.");
      return;
    }
    meaning.means.push_back(fmt::format(
        "Blue: no burnt gas shown. A leak below {} mm² could not have been seen in this time; where fresh coolant first swallows "
        "the gas, one below {} mm².",
        two_digits(shown.leak.smallest_mm2), two_digits(shown.smallest_if_absorbed_mm2)));
    if (shown.leak.smallest_mm2 < 0.1 * shown.smallest_if_absorbed_mm2)
      meaning.means.push_back("Repeat it hot after some minutes of running: the first gas goes into the coolant.");
  } else if (result.yellow_is_doubtful) {
    meaning.means.push_back(
        "Yellow is more than the gas of this engine in this state can do: coolant sucked in, breath or a spent dye. Repeat with fresh "
        "dye.");
  } else if (shown.leak.status == "measured") {
    meaning.means.push_back(fmt::format("{}: burnt gas in the coolant. As a leak: {}.", test.seen == DyeColour::kGreen ? "Green" : "Yellow",
                                        area_words(shown.leak.area_mm2)));
  }
  if (!shown.can_turn_yellow && test.seen == DyeColour::kGreen && shown.can_turn_green)
    meaning.means.push_back(fmt::format("This exhaust holds only {:.1f} % of carbon dioxide: green is all it can do. Green counts in full.",
                                        shown.co2_in_gas_percent));
}

std::string verdict_text(AnalyserVerdict verdict) {
  switch (verdict) {
    case AnalyserVerdict::kNothing:
      return "nothing";
    case AnalyserVerdict::kBurntGas:
      return "burnt gas";
    case AnalyserVerdict::kDoubtful:
      return "doubtful";
    case AnalyserVerdict::kFuelOrSolvent:
      return "fuel or solvent";
  }
  return {};
}

std::string analyser_words(AnalyserVerdict verdict) {
  switch (verdict) {
    case AnalyserVerdict::kNothing:
      return "Analyser: neither carbon dioxide nor hydrocarbons above the room's air.";
    case AnalyserVerdict::kBurntGas:
      return "Analyser: carbon dioxide above the coolant: burnt gas.";
    case AnalyserVerdict::kDoubtful:
      return "Analyser: a trace of carbon dioxide. Repeat it hot against a fresh blank.";
    case AnalyserVerdict::kFuelOrSolvent:
      return "Analyser: hydrocarbons without carbon dioxide: fuel, solvent or glycol vapour. That is no proof of a leak.";
  }
  return {};
}

std::optional<AnalyserReply> analyser_of(const Request& request, OptionReader& options, Meaning& meaning) {
  const auto co2 = share_option(request, options, "co2");
  const auto hc = number_option(request, options, "hc", -1000, 50000);
  if (!co2 && !hc) return std::nullopt;
  if (!co2) {
    options.refuse("--co2", "is missing: hydrocarbons alone prove nothing", "--co2 \"0.1 %\"");
    return std::nullopt;
  }
  const leakage::AnalyserReading reading{.co2_percent = 100 * *co2, .hc_ppm = hc.value_or(0)};
  if (reading.co2_percent > 25) {
    options.refuse("--co2", "is more than any exhaust holds", "0 % to 25 %, over the blank");
    return std::nullopt;
  }
  const AnalyserVerdict verdict = leakage::judge_analyser(reading);
  meaning.means.push_back(analyser_words(verdict));
  return AnalyserReply{verdict_text(verdict), reading.co2_percent, reading.hc_ppm};
}

std::optional<BubblesReply> bubbles_of(const Request& request, OptionReader& options, CoolingFacts& facts, Meaning& meaning) {
  const auto count = number_option(request, options, "bubbles", 0, 3000);
  if (!count) return std::nullopt;
  const GaugePressure cylinder = quantity_or<GaugePressure>(options, "cylinder", GaugePressure::from_pascal(80 * 6894.757),
                                                            "air in the cylinder: 80 psi", facts.assumed);
  if (!(cylinder.pascal() > 0 && cylinder.pascal() <= 2e6)) {
    options.refuse("--cylinder", "is \"" + request.option("cylinder") + "\"", "above 0 bar, at most 20 bar");
    return std::nullopt;
  }
  leakage::BubbleCount bubbles{.per_minute = *count};
  bubbles.diameter = quantity_or<Length>(options, "bubble", bubbles.diameter, "bubbles of 6 mm", facts.assumed);
  const leakage::Ambient ambient{facts.ambient, facts.outside.value_or(leakage::kStandardTemperature)};
  const leakage::GasFlow flow = leakage::bubble_flow(bubbles, ambient);
  bubbles.per_minute = 1;
  const Area smallest = leakage::leak_area_from_bubbles(leakage::bubble_flow(bubbles, ambient), cylinder, ambient).area;
  const leakage::LeakArea area = leakage::leak_area_from_bubbles(flow, cylinder, ambient);
  const double per_minute = 60e3;
  BubblesReply shown{*count,
                     cylinder.bar(),
                     {flow.value.si() * per_minute, flow.low.si() * per_minute, flow.high.si() * per_minute},
                     leak_size(area, smallest)};
  if (*count > 0)
    meaning.means.push_back("Bubbles under air in one cylinder: gas passes from this bore to the coolant through " +
                            area_words(shown.leak.area_mm2) + ". Nothing sound joins the two.");
  else
    meaning.means.push_back("No bubbles: a leak of one bubble a minute, " + two_digits(shown.leak.smallest_mm2) +
                            " mm², would have been the smallest seen.");
  return shown;
}

bool bubbles_rise(const GasTestReply& shown) { return shown.bubbles && shown.bubbles->leak.status == "measured"; }

bool burnt_gas_is_shown(const GasTestReply& shown) {
  const bool colour = shown.colour && shown.colour->leak.status == "measured";
  return colour || (shown.analyser && shown.analyser->verdict == "burnt gas");
}

std::string sentence_of(const GasTestReply& shown) {
  if (bubbles_rise(shown)) return "Gas passes from the bore into the coolant.";
  if (burnt_gas_is_shown(shown)) return "Burnt gas is in the coolant.";
  if (shown.analyser && shown.analyser->verdict == "doubtful") return "A trace that decides nothing yet: repeat it hot.";
  if (shown.colour && shown.colour->leak.status == "not run") return "The colour test tells nothing here.";
  return "No burnt gas shown; that is no proof that none gets in.";
}

void close(GasTestReply& shown) {
  Meaning& meaning = shown.meaning;
  meaning.sentence = sentence_of(shown);
  meaning.cannot_mean = {
      "Burnt gas does not say which cylinder, nor gasket or crack: a cracked exhaust-gas cooler does the same; blank it off first.",
      "Breath (4 % carbon dioxide), exhaust in the room and sucked-in coolant turn the dye without any leak.",
      "A leak that opens only hot or under load, or in a cylinder that does not fire, turns nothing."};
  meaning.cautions = cautions_of({"hot_coolant", "colour_fluid", "moving_parts", "exhaust_gas"});
  if (shown.bubbles) {
    const auto air = cautions_of({"air_turns_crank"});
    meaning.cautions.insert(meaning.cautions.begin(), air.begin(), air.end());
  }
}

Result<Reply> run_gas_test(const Request& request) {
  OptionReader options(request);
  CoolingFacts facts = cooling_facts(request, options, {.ambient = true, .volume = true, .fuel = true});
  try {
    GasTestReply shown;
    if (const auto test = colour_asked(request, options, facts); test && !has_errors(options.problems())) {
      const leakage::ColourResult result = leakage::judge_colour_test(*test);
      shown.colour = shown_of(result, lower_case(trimmed(request.option("colour"))));
      explain_colour(*shown.colour, result, *test, shown.meaning);
    }
    shown.analyser = analyser_of(request, options, shown.meaning);
    shown.bubbles = bubbles_of(request, options, facts, shown.meaning);
    if (!has_errors(options.problems()) && !shown.colour && !shown.analyser && !shown.bubbles)
      options.refuse("--colour", "nothing was seen or read", "--colour green, --co2 \"1.2 %\" --hc 300, or --bubbles 12");
    if (has_errors(options.problems())) return options.problems();
    shown.meaning.assumed = facts.assumed;
    close(shown);
    Reply reply;
    reply.document = to_document(shown);
    reply.warnings = facts.warnings;
    reply.answer_is_no = bubbles_rise(shown) || burnt_gas_is_shown(shown);
    reply.content = std::move(shown);
    return reply;
  } catch (const InputError& error) {
    return problem_of(error);
  }
}

}  // namespace

Operation gas_test_operation() {
  return {
      .name = "gas-test",
      .summary = "burnt gas in the coolant: colour test, exhaust analyser above the neck, bubbles under air",
      .argument = "JOB",
      .input = InputKind::kDocumentOrOptions,
      .options = {{"colour", "WORD", "of the dye at the end: blue, green or yellow"},
                  {"time", "DURATION", "how long the tester was on; 5 min when not given"},
                  {"engine", "WORD", "idle, 2000 (rpm), load or cranking; idle when not given"},
                  {"head-space", "VOLUME", "air above the coolant; 0.5 L when not given"},
                  {"reserve", "NUMBER", "carbon dioxide the coolant binds, mmol/L; 20 when not given, 0 for plain water"},
                  {"co2", "SHARE", "analyser above the neck, over the room's air: \"1.2 %\""},
                  {"hc", "NUMBER", "hydrocarbons in ppm, over the room's air"},
                  {"bubbles", "NUMBER", "bubbles a minute in the neck with air in one cylinder"},
                  {"bubble", "LENGTH", "their diameter; 6 mm when not given"},
                  {"cylinder", "PRESSURE", "air in that cylinder; 80 psi when not given"},
                  cooling_option::kFuel,
                  cooling_option::kVolume,
                  cooling_option::kAltitude,
                  cooling_option::kAmbient},
      .keys =
          "colour_test{colour, leak_area_mm2, low_mm2, high_mm2, smallest_mm2, can_turn_yellow, green_after_minutes}, analyser{verdict}, "
          "bubbles{leak_area_mm2, low_mm2, high_mm2, smallest_mm2}, cannot_mean[]",
      .run = run_gas_test,
  };
}

}  // namespace headjoint::assess
