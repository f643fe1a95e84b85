#include <fmt/format.h>

#include <cmath>
#include <limits>

#include "headjoint/assess/cooling_input.h"
#include "headjoint/assess/knowledge.h"
#include "headjoint/assess/operation_table.h"
#include "headjoint/assess/results_document_cooling.h"
#include "headjoint/coolant/cap.h"

namespace headjoint::assess {
namespace {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
/// Metal at the exhaust valves and coolant beside it are hotter than the gauge's sensor by about this much. Common practice, no source.
constexpr double kSensorLag_K = 10;

Band band_of(const coolant::TemperatureBand& t) {
  if (t.status == coolant::TemperatureBand::Status::kNotKnown) return {kNone, kNone, kNone};
  return {t.value.celsius(), t.low.celsius(), t.high.celsius()};
}

Band band_of(const coolant::Margin& margin) { return {margin.value_K, margin.low_K, margin.high_K}; }

void explain_margin(const BoilingReply& reply, Meaning& meaning) {
  const double margin = reply.margin_K->value, without = reply.margin_no_cap_K->value;
  if (margin <= 0) {
    meaning.means.push_back(
        fmt::format("At this temperature it boils even with a good cap, {:.0f} K over. Switch off and let it cool.", -margin));
  } else if (margin < kSensorLag_K) {
    meaning.means.push_back(fmt::format(
        "{:.0f} K below boiling is no margin: beside the exhaust valves it is hotter than at the sensor, by 10 K or so (common practice).",
        margin));
  } else {
    meaning.means.push_back(fmt::format("{:.0f} K below boiling as long as the cap holds.", margin));
  }
  if (margin > 0 && without <= 0)
    meaning.means.push_back(
        fmt::format("Without the cap's pressure it boils, {:.0f} K over: test the cap before the joint is blamed.", -without));
}

void explain(const coolant::Coolant& coolant, BoilingReply& reply) {
  Meaning& meaning = reply.meaning;
  const std::string cap = reply.cap_bar > 0 ? fmt::format("under a {:.1f} bar cap", reply.cap_bar) : "in an open system";
  meaning.sentence = fmt::format("{} boils at {:.0f} °C ({:.0f} to {:.0f}) {}.", reply.coolant, reply.boiling_degC.value,
                                 reply.boiling_degC.low, reply.boiling_degC.high, cap);
  meaning.sentence[0] = static_cast<char>(std::toupper(meaning.sentence[0]));
  if (reply.margin_K) explain_margin(reply, meaning);
  if (reply.cap_bar > 0)
    meaning.means.push_back(fmt::format(
        "A cap at the limit for used ones (72 % of its stamp) brings it down to {:.0f} °C, a missing or leaking one to {:.0f} °C.",
        reply.boiling_worn_cap_degC.value, reply.boiling_no_cap_degC.value));
  if (std::isfinite(reply.freezing_degC.value))
    meaning.means.push_back(fmt::format("First ice at {:.0f} °C ({:.0f} to {:.0f}).", reply.freezing_degC.value, reply.freezing_degC.low,
                                        reply.freezing_degC.high));
  else
    meaning.means.push_back(
        "Above 60 % glycol laboratories do not agree on freezing: no figure is given. More glycol protects less there.");
  if (coolant.share > 0 && coolant.share < 0.33)
    meaning.means.push_back("Below a third of glycol the protection against rust is thin as well (common practice).");
  meaning.cannot_mean = {"Boiling over does not say that the joint leaks: level, cap, fan, thermostat, pump and radiator come first.",
                         "A gauge below boiling does not say that it never boiled: steam pockets stand where the sensor is not, and a "
                         "sensor in steam reads low."};
  meaning.cautions = cautions_of({"hot_coolant", "glycol"});
}

Result<Reply> run_boiling(const Request& request) {
  OptionReader options(request);
  const CoolingFacts facts = cooling_facts(request, options, {.coolant = true, .cap = true, .ambient = true});
  const auto hottest = options.quantity<Temperature>("coolant");
  if (has_errors(options.problems())) return options.problems();
  try {
    const coolant::BoilMargin result =
        coolant::boil_margin(facts.coolant, facts.cap, facts.ambient, hottest ? std::optional(hottest->value) : std::nullopt);
    BoilingReply shown;
    shown.coolant = coolant_words(facts.coolant);
    shown.cap_bar = facts.cap.bar();
    shown.ambient_mbar = facts.ambient.pascal() / 100;
    shown.boiling_degC = band_of(result.boiling);
    shown.boiling_worn_cap_degC = band_of(result.boiling_worn_cap);
    shown.boiling_no_cap_degC = band_of(result.boiling_no_cap);
    shown.freezing_degC = band_of(coolant::freezing_temperature(facts.coolant));
    if (result.margin) shown.margin_K = band_of(*result.margin);
    if (result.margin_no_cap) shown.margin_no_cap_K = band_of(*result.margin_no_cap);
    shown.valid_range = "0 to 60 vol % glycol within 1.2 K, 60 to 70 vol % within 2.5 K, refused above";
    shown.meaning.assumed = facts.assumed;
    explain(facts.coolant, shown);
    Reply reply;
    reply.document = to_document(shown);
    reply.answer_is_no = shown.margin_K && !(shown.margin_K->value > 0);
    reply.warnings = facts.warnings;
    reply.content = std::move(shown);
    return reply;
  } catch (const InputError& error) {
    return problem_of(error);
  }
}

}  // namespace

Operation boiling_operation() {
  return {
      .name = "boiling",
      .summary = "when the coolant boils and freezes, and how far it is from it",
      .argument = "JOB",
      .input = InputKind::kDocumentOrOptions,
      .options = {cooling_option::kGlycol,
                  cooling_option::kCap,
                  cooling_option::kAltitude,
                  cooling_option::kAmbient,
                  {"coolant", "TEMPERATURE", "what the gauge shows: \"112 degC\""}},
      .keys = "boiling_degC, freezing_degC, margin_K, valid_range",
      .run = run_boiling,
  };
}

}  // namespace headjoint::assess
