#include <fmt/format.h>

#include <limits>

#include "headjoint/assess/cooling_input.h"
#include "headjoint/assess/knowledge.h"
#include "headjoint/assess/operation_table.h"
#include "headjoint/assess/results_document_cooling.h"
#include "headjoint/coolant/glycol.h"
#include "headjoint/leakage/oil_water.h"

namespace headjoint::assess {
namespace {

using leakage::OilVerdict;
constexpr double kNone = std::numeric_limits<double>::quiet_NaN();

double millilitres(Volume volume) { return volume.si() * 1e6; }

std::optional<bool> yes_no(const Request& request, OptionReader& options, const char* name) {
  const auto word = word_option(request, options, name, {"yes", "no"});
  return word ? std::optional(*word == "yes") : std::nullopt;
}

std::optional<leakage::Metals> metals_of(const Request& request, OptionReader& options, CoolingFacts& facts) {
  const auto sample = number_option(request, options, "metals", 0, 20000);
  if (!sample) return std::nullopt;
  leakage::Metals metals;
  metals.sample_mg_per_kg = *sample;
  if (const auto fresh = number_option(request, options, "new-oil", 0, 20000))
    metals.new_oil_mg_per_kg = *fresh;
  else
    facts.assumed.push_back("sodium and potassium in the new oil: 5 mg/kg");
  facts.assumed.push_back("sodium and potassium of the coolant: 800 to 6000 mg/kg");
  return metals;
}

leakage::OilEvidence asked(const Request& request, OptionReader& options, CoolingFacts& facts) {
  leakage::OilEvidence evidence;
  evidence.sump.oil = quantity_or<Volume>(options, "oil", evidence.sump.oil, "oil in the sump: 5 L", facts.assumed);
  evidence.crackles = yes_no(request, options, "crackles");
  evidence.water_mg_per_kg = number_option(request, options, "water", 0, 1e6);
  evidence.glycol_mg_per_kg = number_option(request, options, "glycol-found", 0, 1e6);
  if (const auto how = word_option(request, options, "glycol-test", {"tablet", "reagent", "chromatograph"}))
    evidence.glycol_test = *how == "tablet"    ? leakage::GlycolTest::kTablet
                           : *how == "reagent" ? leakage::GlycolTest::kReagent
                                               : leakage::GlycolTest::kChromatograph;
  evidence.metals = metals_of(request, options, facts);
  evidence.cream_under_cap_only = yes_no(request, options, "cap-cream");
  evidence.whole_sump_emulsion = yes_no(request, options, "emulsion");
  evidence.oil_level_rises = yes_no(request, options, "oil-rises");
  evidence.coolant_level_falls = yes_no(request, options, "coolant-falls");
  constexpr double kPetrolDensity = 745;  // kg/m3
  if (const auto fuel = options.quantity<Volume>("cold-fuel")) evidence.cold_fuel = Mass::from_si(fuel->value.si() * kPetrolDensity);
  if (const auto hours = options.quantity<Duration>("hot-time")) evidence.hot_hours = hours->value;
  if (facts.coolant.share > 0) evidence.glycol_share = coolant::mass_fraction(facts.coolant);
  return evidence;
}

std::string verdict_text(OilVerdict verdict) {
  switch (verdict) {
    case OilVerdict::kNotTold:
      return "not told";
    case OilVerdict::kNoWaterFound:
      return "no water found";
    case OilVerdict::kNoCoolantFound:
      return "no coolant found";
    case OilVerdict::kShortTrips:
      return "short trips explain it";
    case OilVerdict::kWaterUnexplained:
      return "water unexplained";
    case OilVerdict::kCoolant:
      return "coolant";
  }
  return {};
}

std::string sentence_of(OilVerdict verdict) {
  switch (verdict) {
    case OilVerdict::kNotTold:
      return "Nothing given decides it. Look at dipstick and levels, and send a sample for water, glycol, sodium and potassium.";
    case OilVerdict::kNoWaterFound:
      return "No water found in the oil; a hot engine drives water out, so coolant is not ruled out.";
    case OilVerdict::kNoCoolantFound:
      return "No coolant shown in the oil; small amounts, and old ones, may be missed.";
    case OilVerdict::kShortTrips:
      return "Short trips can explain this water. Coolant is not ruled out until sodium, potassium and both levels were looked at.";
    case OilVerdict::kWaterUnexplained:
      return "There is water that nothing told explains. Whether it is coolant is not known yet.";
    case OilVerdict::kCoolant:
      return "Coolant is in the oil. Do not run the engine.";
  }
  return {};
}

void explain(const leakage::OilEvidence& evidence, const leakage::OilResult& result, OilWaterReply& shown) {
  Meaning& meaning = shown.meaning;
  meaning.sentence = sentence_of(result.verdict);
  if (shown.water_mL && *shown.water_mL > 0)
    meaning.means.push_back(fmt::format("Water in the sump: {} {:.1f} mL{}.", evidence.water_mg_per_kg ? "about" : "at least about",
                                        *shown.water_mL, shown.water_over_limit ? ", above the 0.1 % that bearings stand" : ""));
  if (evidence.cold_fuel.si() > 0)
    meaning.means.push_back(fmt::format("The short trips told of bring {:.0f} to {:.0f} mL if none of it dries out.",
                                        shown.short_trip_water_mL.low, shown.short_trip_water_mL.high));
  if (shown.coolant_mL)
    meaning.means.push_back(
        fmt::format("Coolant that went in: {} to {} mL.", two_digits(shown.coolant_mL->low), two_digits(shown.coolant_mL->high)));
  else if (std::isfinite(shown.smallest_coolant_mL))
    meaning.means.push_back(fmt::format("Less than {} mL of coolant could not have been found.", two_digits(shown.smallest_coolant_mL)));
  if (evidence.glycol_mg_per_kg && shown.glycol_left < 0.9)
    meaning.means.push_back(
        fmt::format("After the hot hours as little as {:.0f} % of the glycol may be left: sodium and potassium stay, ask for them.",
                    100 * shown.glycol_left));
  if (result.verdict == OilVerdict::kWaterUnexplained && !(evidence.cold_fuel.si() > 0))
    meaning.means.push_back("Nothing was said of short cold trips; they alone can bring this much. Give --cold-fuel.");
  if (result.verdict == OilVerdict::kShortTrips)
    meaning.means.push_back("Prove it: run hot for 30 to 60 min, wipe the cap, look again after 100 km (common practice).");
  if (result.verdict == OilVerdict::kCoolant)
    meaning.means.push_back("An oil cooler, front cover, liner seal or crack lets coolant in as well as the head joint: test them apart.");
  meaning.cannot_mean = {"Cream under the filler cap alone does not mean a leaking joint; clean oil does not mean a sound one.",
                         "Sodium may come from road salt or the oil itself: compare with the same oil from the can.",
                         "A sample from the dipstick misses what lies at the bottom: take it low, warm and stirred."};
  meaning.cautions = cautions_of({"used_oil", "hot_oil_drop", "glycol"});
}

OilWaterReply shown_of(const leakage::OilEvidence& evidence, const leakage::OilResult& result, const CoolingFacts& facts) {
  OilWaterReply shown;
  shown.verdict = verdict_text(result.verdict);
  if (result.water) shown.water_mL = millilitres(*result.water);
  shown.short_trip_water_mL = {millilitres(result.short_trips.value), millilitres(result.short_trips.low),
                               millilitres(result.short_trips.high)};
  if (result.coolant.status == leakage::CoolantInOil::Status::kFound)
    shown.coolant_mL = Band{millilitres(result.coolant.value), millilitres(result.coolant.low), millilitres(result.coolant.high)};
  shown.smallest_water_mL = millilitres(result.smallest_water);
  shown.smallest_coolant_mL = result.smallest_coolant.si() > 0 ? millilitres(result.smallest_coolant) : kNone;
  shown.glycol_left = result.glycol_left;
  shown.water_over_limit = result.water_over_limit;
  shown.meaning.assumed = facts.assumed;
  explain(evidence, result, shown);
  return shown;
}

/// Two answers that cannot both be right. A hot plate crackles from some 500 to 1000 mg/kg of water (common practice, no source).
Problems doubts_of(const leakage::OilEvidence& evidence) {
  Problems doubts;
  const auto doubt = [&doubts](const char* where, std::string what, const char* mend) {
    doubts.push_back({{{}, 0, 0, where}, std::move(what), {}, mend, Problem::Severity::kWarning});
  };
  constexpr double kSurelyCrackles = 2000, kHardlyCrackles = 200;
  if (evidence.crackles && evidence.water_mg_per_kg) {
    if (!*evidence.crackles && *evidence.water_mg_per_kg > kSurelyCrackles)
      doubt("--crackles", fmt::format("oil with {:.0f} mg/kg of water crackles on a hot plate", *evidence.water_mg_per_kg),
            "look again at both");
    if (*evidence.crackles && *evidence.water_mg_per_kg < kHardlyCrackles)
      doubt("--crackles", fmt::format("oil with only {:.0f} mg/kg of water does not crackle", *evidence.water_mg_per_kg),
            "look again at both");
  }
  if (evidence.cream_under_cap_only.value_or(false) && evidence.whole_sump_emulsion.value_or(false))
    doubt("--emulsion", "cream under the cap alone, and a whole sump like milk coffee: only one of the two", "pull the dipstick");
  return doubts;
}

Result<Reply> run_oil_water(const Request& request) {
  OptionReader options(request);
  CoolingFacts facts = cooling_facts(request, options, {.coolant = true});
  const leakage::OilEvidence evidence = asked(request, options, facts);
  if (has_errors(options.problems())) return options.problems();
  try {
    const leakage::OilResult result = leakage::judge_oil(evidence);
    OilWaterReply shown = shown_of(evidence, result, facts);
    Reply reply;
    reply.document = to_document(shown);
    reply.warnings = facts.warnings;
    const Problems doubts = doubts_of(evidence);
    reply.warnings.insert(reply.warnings.end(), doubts.begin(), doubts.end());
    reply.answer_is_no = result.verdict == OilVerdict::kCoolant;
    reply.content = std::move(shown);
    return reply;
  } catch (const InputError& error) {
    return problem_of(error);
  }
}

}  // namespace

Operation oil_water_operation() {
  return {
      .name = "oil-water",
      .summary = "water or coolant in the oil, and whether short trips explain it",
      .argument = "JOB",
      .input = InputKind::kDocumentOrOptions,
      .options = {{"crackles", "YES|NO", "a drop on a hot plate"},
                  {"water", "NUMBER", "by Karl Fischer titration, mg/kg (1000 = 0.1 %)"},
                  {"glycol-found", "NUMBER", "mg/kg; 0: looked for and not found"},
                  {"glycol-test", "WORD", "tablet, reagent or chromatograph; tablet when not given"},
                  {"metals", "NUMBER", "sodium + potassium in the used oil, mg/kg"},
                  {"new-oil", "NUMBER", "sodium + potassium in the same oil from the can, mg/kg; 5 when not given"},
                  {"cap-cream", "YES|NO", "cream under the filler cap, clean dipstick"},
                  {"emulsion", "YES|NO", "the whole sump like milk coffee"},
                  {"oil-rises", "YES|NO", "the oil level rises"},
                  {"coolant-falls", "YES|NO", "the coolant level falls"},
                  {"cold-fuel", "VOLUME", "fuel burnt on short cold trips since the last long run: \"5 L\""},
                  {"hot-time", "DURATION", "run hot since the coolant may have got in: \"8 h\""},
                  {"oil", "VOLUME", "in the sump; 5 L when not given"},
                  cooling_option::kGlycol},
      .keys = "verdict, water_mL, short_trip_water_mL, coolant_mL, smallest_water_mL, smallest_coolant_mL, glycol_left, cannot_mean[]",
      .run = run_oil_water,
  };
}

}  // namespace headjoint::assess
