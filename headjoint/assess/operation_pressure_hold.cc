#include <fmt/format.h>

#include <limits>

#include "headjoint/assess/cooling_input.h"
#include "headjoint/assess/knowledge.h"
#include "headjoint/assess/operation_table.h"
#include "headjoint/assess/results_document_cooling.h"
#include "headjoint/coolant/density.h"
#include "headjoint/leakage/coolant_leak.h"
#include "headjoint/leakage/pressure_hold.h"

namespace headjoint::assess {
namespace {

using leakage::HoldVerdict;

std::string verdict_text(HoldVerdict verdict) {
  switch (verdict) {
    case HoldVerdict::kNotJudged:
      return "not judged";
    case HoldVerdict::kHolds:
      return "holds";
    case HoldVerdict::kFallsSlowly:
      return "falls slowly";
    case HoldVerdict::kLeaks:
      return "leaks";
    case HoldVerdict::kRose:
      return "rose";
  }
  return {};
}

void explain_leak(const PressureHoldReply& reply, Meaning& meaning) {
  meaning.means.push_back(
      fmt::format("If coolant leaks: {:.1f} mL/min through an opening of {}.", reply.liquid_mL_per_min, area_words(reply.liquid.area_mm2)));
  meaning.means.push_back(fmt::format("If air leaks above the coolant, or at the tester: {} L/min through {}.",
                                      two_digits(reply.gas_L_per_min), area_words(reply.gas.area_mm2)));
  if (reply.lock_minutes)
    meaning.means.push_back(fmt::format(
        "If it runs into a bore, at that pressure it could fill the space above the piston in {:.0f} min: do not crank with the "
        "plugs in before the bores were looked into.",
        *reply.lock_minutes));
}

std::string sentence_of(const PressureHoldReply& reply, HoldVerdict verdict) {
  switch (verdict) {
    case HoldVerdict::kRose:
      return "The pressure rose: the system was warming. The test is worth nothing; let it stand and repeat it.";
    case HoldVerdict::kHolds:
      return fmt::format("No leak shown. Openings below {} mm² (coolant) could not have been seen.", two_digits(reply.liquid.smallest_mm2));
    case HoldVerdict::kFallsSlowly:
      return "The pressure falls, by less than the rules of the trade call a leak.";
    default:
      return "It leaks: the pressure falls faster than the rules of the trade allow.";
  }
}

void explain(HoldVerdict verdict, PressureHoldReply& reply) {
  Meaning& meaning = reply.meaning;
  meaning.sentence = sentence_of(reply, verdict);
  if (verdict == HoldVerdict::kFallsSlowly || verdict == HoldVerdict::kLeaks) explain_leak(reply, meaning);
  if (verdict == HoldVerdict::kFallsSlowly)
    meaning.means.push_back("Hold it longer, with less air in the system, at a steady temperature: that tells a slow leak from cooling.");
  if (verdict == HoldVerdict::kLeaks)
    meaning.means.push_back(
        "Rules: more than 2 psi (0.14 bar) in 2 min, a maker's; more than 0.1 bar per 10 min, common practice, no source.");
  meaning.cannot_mean = {
      "It does not say where: hoses, heater, pump, core plugs and the tester's own seal come before the joint. Nothing wet outside: look "
      "into bores and oil.",
      "A needle that stands still says nothing of leaks that open hot, under firing pressure, or are too fine for liquid.",
      "It does not show gas going from a bore into the coolant: use the colour test, or leak-down with bubbles."};
  meaning.cautions = cautions_of({"hot_coolant", "over_pressure", "glycol"});
}

/// What the file and the options say of the test.
leakage::PressureHold asked(const Request& request, OptionReader& options, CoolingFacts& facts) {
  leakage::PressureHold hold;
  const auto needed = [&]<class T>(const char* name, T& into, const char* example) {
    if (const auto typed = options.quantity<T>(name))
      into = typed->value;
    else if (request.option(name).empty())
      options.refuse(std::string("--") + name, "is missing", example);
  };
  needed("start", hold.start, "--start \"1.0 bar\"");
  needed("end", hold.end, "--end \"0.9 bar\"");
  needed("time", hold.time, "--time \"10 min\"");
  hold.gas_space = quantity_or<Volume>(options, "gas-space", hold.gas_space, "air in the system and the tester: 0.5 L", facts.assumed);
  hold.hose_growth = quantity_or<Volume>(options, "hose-growth", hold.hose_growth, "hoses and radiator give 0.05 L per bar", facts.assumed);
  hold.gauge_step =
      quantity_or<GaugePressure>(options, "gauge-step", hold.gauge_step, "smallest drop seen on the gauge: 0.02 bar", facts.assumed);
  hold.warming = quantity_or<TemperatureDifference>(options, "warming", {}, "temperature steady within 0.5 K", facts.assumed);
  hold.coolant_volume = facts.coolant_volume;
  hold.ambient.pressure = facts.ambient;
  if (facts.outside) hold.ambient.temperature = *facts.outside;
  if (!has_errors(options.problems())) hold.liquid_density = coolant::density(facts.coolant, Temperature::from_celsius(20));
  return hold;
}

PressureHoldReply shown_of(const leakage::HoldResult& result, const leakage::PressureHold& hold, const CoolingFacts& facts) {
  PressureHoldReply shown;
  shown.verdict = verdict_text(result.verdict);
  shown.drop_bar = result.drop.bar();
  shown.drop_explained_bar = result.drop_explained.bar();
  shown.liquid_mL_per_min = result.liquid.si() * 60e6;
  shown.gas_L_per_min = result.gas.si() * 60e3;
  shown.liquid = leak_size(result.liquid_opening, result.smallest_liquid);
  shown.gas = leak_size(result.gas_area, result.smallest_gas);
  if (facts.clearance && result.liquid_opening.status == leakage::LeakArea::Status::kMeasured)
    shown.lock_minutes =
        leakage::shortest_lock_time(result.liquid_opening.high.value_or(result.liquid_opening.area), *facts.clearance, hold.start).si() /
        60;
  shown.meaning.assumed = facts.assumed;
  explain(result.verdict, shown);
  return shown;
}

Result<Reply> run_pressure_hold(const Request& request) {
  OptionReader options(request);
  CoolingFacts facts = cooling_facts(request, options, {.coolant = true, .cap = true, .ambient = true, .volume = true});
  const leakage::PressureHold hold = asked(request, options, facts);
  if (has_errors(options.problems())) return options.problems();
  try {
    const leakage::HoldResult result = leakage::judge_pressure_hold(hold);
    PressureHoldReply shown = shown_of(result, hold, facts);
    if (hold.start > facts.cap)
      shown.meaning.means.insert(shown.meaning.means.begin(),
                                 fmt::format("Pumped above the cap's {:.1f} bar: hoses and heater are not made for it.", facts.cap.bar()));
    Reply reply;
    reply.document = to_document(shown);
    reply.answer_is_no = result.verdict == HoldVerdict::kLeaks;
    reply.warnings = facts.warnings;
    reply.content = std::move(shown);
    return reply;
  } catch (const InputError& error) {
    return problem_of(error);
  }
}

}  // namespace

Operation pressure_hold_operation() {
  return {
      .name = "pressure-hold",
      .summary = "the cooling system pumped up cold: leak and opening behind the falling needle",
      .argument = "JOB",
      .input = InputKind::kDocumentOrOptions,
      .options = {{"start", "PRESSURE", "gauge, at the start: \"1.0 bar\""},
                  {"end", "PRESSURE", "gauge, at the end: \"0.9 bar\""},
                  {"time", "DURATION", "between the two: \"10 min\""},
                  {"gas-space", "VOLUME", "air in the system and the tester; 0.5 L when not given"},
                  {"hose-growth", "VOLUME", "how much hoses and radiator give per bar; 0.05 L when not given"},
                  {"gauge-step", "PRESSURE", "smallest drop seen on the gauge; 0.02 bar when not given"},
                  {"warming", "DIFFERENCE", "of the coolant during the test: \"-2 K\" when it cooled; 0 K when not given"},
                  cooling_option::kGlycol,
                  cooling_option::kCap,
                  cooling_option::kVolume,
                  cooling_option::kAltitude,
                  cooling_option::kAmbient},
      .keys =
          "verdict, drop_bar, liquid{opening_mm2, low_mm2, high_mm2, smallest_mm2, flow_mL_per_min}, gas{leak_area_mm2, low_mm2, high_mm2, "
          "smallest_mm2, flow_L_per_min}, lock_minutes, cannot_mean[]",
      .run = run_pressure_hold,
  };
}

}  // namespace headjoint::assess
