#include "headjoint/assess/results_document_cooling.h"

#include <cmath>

#include "headjoint/assess/internal/document_parts.h"
#include "headjoint/assess/knowledge.h"
#include "headjoint/assess/results_document.h"

namespace headjoint::assess {
namespace {

/// Nobody measures these to more than a tenth of a kelvin.
double tenth(double value) { return std::round(10 * value) / 10; }

using internal::texts;

void set_optional(Document& document, const char* key, const std::optional<double>& value) {
  document.set(key, value ? Document(*value) : Document());
}

/// "boiling" + "_degC": boiling_degC, boiling_low_degC, boiling_high_degC.
void set_band(Document& document, const std::string& name, const std::string& unit, const Band& band) {
  document.set(name + unit, band.value).set(name + "_low" + unit, band.low).set(name + "_high" + unit, band.high);
}

void set_tenths(Document& document, const std::string& name, const std::string& unit, const Band& band) {
  set_band(document, name, unit, {tenth(band.value), tenth(band.low), tenth(band.high)});
}

/// The keys that every leak area has.
void set_leak(Document& document, const LeakSize& leak, const char* area = "leak_area_mm2") {
  const bool ran = leak.status != "not run";
  document.set("status", leak.status);
  document.set(area, ran ? Document(leak.area_mm2.value) : Document());
  document.set("low_mm2", ran ? Document(leak.area_mm2.low) : Document());
  document.set("high_mm2", ran ? Document(leak.area_mm2.high) : Document());
  document.set("smallest_mm2", leak.smallest_mm2);
}

void set_meaning(Document& document, const Meaning& meaning) {
  document.set("sentence", meaning.sentence)
      .set("means", texts(meaning.means))
      .set("cannot_mean", texts(meaning.cannot_mean))
      .set("assumed", texts(meaning.assumed))
      .set("cautions", list_document(meaning.cautions))
      .set("defer", defer_line());
}

}  // namespace

Document to_document(const BoilingReply& reply) {
  Document document = answer();
  set_tenths(document, "boiling", "_degC", reply.boiling_degC);
  set_tenths(document, "freezing", "_degC", reply.freezing_degC);
  if (reply.margin_K) set_tenths(document, "margin", "_K", *reply.margin_K);
  if (!reply.margin_K) document.set("margin_K", Document());
  document.set("valid_range", reply.valid_range);
  set_tenths(document, "boiling_worn_cap", "_degC", reply.boiling_worn_cap_degC);
  set_tenths(document, "boiling_no_cap", "_degC", reply.boiling_no_cap_degC);
  if (reply.margin_no_cap_K) set_tenths(document, "margin_no_cap", "_K", *reply.margin_no_cap_K);
  document.set("coolant", reply.coolant).set("cap_bar", reply.cap_bar).set("ambient_mbar", reply.ambient_mbar);
  set_meaning(document, reply.meaning);
  return document;
}

Document to_document(const PressureHoldReply& reply) {
  Document document = answer();
  document.set("verdict", reply.verdict).set("drop_bar", reply.drop_bar).set("drop_explained_bar", reply.drop_explained_bar);
  Document liquid = Table{}, gas = Table{};
  set_leak(liquid, reply.liquid, "opening_mm2");
  liquid.set("flow_mL_per_min", reply.liquid_mL_per_min);
  set_leak(gas, reply.gas);
  gas.set("flow_L_per_min", reply.gas_L_per_min);
  document.set("liquid", std::move(liquid)).set("gas", std::move(gas));
  set_optional(document, "lock_minutes", reply.lock_minutes);
  set_meaning(document, reply.meaning);
  return document;
}

Document to_document(const ColdRiseReply& reply) {
  Document document = answer();
  document.set("test", reply.test).set("cause", reply.status).set("pressure_bar", reply.pressure_bar);
  set_band(document, "expected", "_bar", reply.expected_bar);
  set_band(document, "gas_added", "_L", reply.gas_added_L);
  set_band(document, "gas_rate", "_L_per_min", reply.gas_rate_L_per_min);
  document.set("smallest_gas_L", reply.smallest_gas_L);
  set_leak(document, reply.leak);
  set_optional(document, "lock_minutes", reply.lock_minutes);
  set_meaning(document, reply.meaning);
  return document;
}

namespace {

Document to_document(const ColourTestReply& reply) {
  Document document = Table{};
  document.set("colour", reply.colour);
  set_leak(document, reply.leak);
  document.set("smallest_if_absorbed_mm2", reply.smallest_if_absorbed_mm2)
      .set("co2_in_gas_percent", reply.co2_in_gas_percent)
      .set("green_from_percent", reply.green_from_percent)
      .set("yellow_from_percent", reply.yellow_from_percent)
      .set("can_turn_green", reply.can_turn_green)
      .set("can_turn_yellow", reply.can_turn_yellow);
  set_optional(document, "green_after_minutes", reply.green_after_minutes);
  return document;
}

Document to_document(const AnalyserReply& reply) {
  Document document = Table{};
  document.set("verdict", reply.verdict).set("co2_percent", reply.co2_percent).set("hc_ppm", reply.hc_ppm);
  return document;
}

Document to_document(const BubblesReply& reply) {
  Document document = Table{};
  document.set("per_minute", reply.per_minute).set("cylinder_pressure_bar", reply.pressure_bar);
  set_band(document, "flow", "_L_per_min", reply.flow_L_per_min);
  set_leak(document, reply.leak);
  return document;
}

}  // namespace

Document to_document(const GasTestReply& reply) {
  Document document = answer();
  document.set("colour_test", reply.colour ? to_document(*reply.colour) : Document());
  document.set("analyser", reply.analyser ? to_document(*reply.analyser) : Document());
  document.set("bubbles", reply.bubbles ? to_document(*reply.bubbles) : Document());
  set_meaning(document, reply.meaning);
  return document;
}

Document to_document(const OilWaterReply& reply) {
  Document document = answer();
  document.set("verdict", reply.verdict);
  set_optional(document, "water_mL", reply.water_mL);
  set_band(document, "short_trip_water", "_mL", reply.short_trip_water_mL);
  if (reply.coolant_mL)
    set_band(document, "coolant", "_mL", *reply.coolant_mL);
  else
    document.set("coolant_mL", Document());
  document.set("smallest_water_mL", reply.smallest_water_mL)
      .set("smallest_coolant_mL", reply.smallest_coolant_mL)
      .set("glycol_left", reply.glycol_left)
      .set("water_over_limit", reply.water_over_limit);
  set_meaning(document, reply.meaning);
  return document;
}

Document to_document(const WhiteVapourReply& reply) {
  Document document = answer();
  document.set("status", reply.status).set("outside_degC", reply.outside_degC).set("normal_below_degC", tenth(reply.normal_below_degC));
  set_optional(document, "extra_water_to_show", reply.extra_water_to_show);
  if (reply.smallest_loss_L_per_h) {
    document.set("smallest_loss_low_L_per_h", reply.smallest_loss_L_per_h->low);
    document.set("smallest_loss_high_L_per_h", reply.smallest_loss_L_per_h->high);
  }
  set_meaning(document, reply.meaning);
  return document;
}

}  // namespace headjoint::assess
