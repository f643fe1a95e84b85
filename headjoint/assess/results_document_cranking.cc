#include "headjoint/assess/results_document_cranking.h"

#include "headjoint/assess/results_document.h"

namespace headjoint::assess {
namespace {

Array numbers(const std::vector<double>& values) { return {values.begin(), values.end()}; }

Document known(double value) { return value > 0 ? Document(value) : Document(); }

Document to_document(const CrankedCylinder& cylinder) {
  Document document{Table{}};
  document.set("cylinder", cylinder.cylinder)
      .set("leak_area_mm2", cylinder.leak_area_mm2)
      .set("peak_bar_abs", cylinder.peak_bar_abs)
      .set("peak_bar", cylinder.peak_bar)
      .set("peak_angle_deg", cylinder.peak_angle_deg)
      .set("mass_left", cylinder.mass_left);
  if (!cylinder.gauge_bar.empty()) document.set("gauge_bar", numbers(cylinder.gauge_bar));
  return document;
}

Document to_document(const CrankedBridge& bridge) {
  Document document{Table{}};
  return document.set("bridge", bridge.bridge).set("leak_area_mm2", bridge.leak_area_mm2);
}

Document to_document(const PressureTrace& trace) {
  Document document{Table{}};
  return document.set("name", trace.name)
      .set("first_deg", trace.first_deg)
      .set("step_deg", trace.step_deg)
      .set("bar_abs", numbers(trace.bar_abs));
}

template <class T>
Array list(const std::vector<T>& items) {
  Array out;
  for (const T& item : items) out.push_back(to_document(item));
  return out;
}

}  // namespace

Document to_document(const CompressionRepeat& repeat) {
  Document document{Table{}};
  return document.set("cylinder", repeat.cylinder)
      .set("test", repeat.test)
      .set("answer", repeat.answer)
      .set("text", repeat.text)
      .set("leak_area_mm2", repeat.leak_area_mm2)
      .set("low_mm2", repeat.low_mm2)
      .set("high_mm2", repeat.high_mm2)
      .set("by_volume_bar", known(repeat.by_volume_bar));
}

Document to_document(const CrankedEngine& cranked) {
  Document document{Table{}};
  document.set("engine", cranked.engine)
      .set("speed_rpm", cranked.speed_rpm)
      .set("ambient_bar_abs", cranked.ambient_bar)
      .set("temperature_degC", cranked.temperature_degC)
      .set("intake_bar_abs", cranked.intake_bar)
      .set("heat_loss", cranked.heat_loss)
      .set("heat_multiplier", cranked.heat_multiplier)
      .set("plugs", cranked.plugs)
      .set("maker_bar", known(cranked.maker_bar))
      .set("cylinders", list(cranked.cylinders))
      .set("bridges", list(cranked.bridges))
      .set("repeats", list(cranked.repeats))
      .set("notes", Array(cranked.notes.begin(), cranked.notes.end()))
      .set("cautions", list_document(cranked.cautions));
  if (cranked.is_trace_asked) document.set("traces", list(cranked.traces));
  return document;
}

}  // namespace headjoint::assess
