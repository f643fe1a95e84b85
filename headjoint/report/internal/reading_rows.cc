#include "headjoint/report/internal/reading_rows.h"

#include <algorithm>
#include <cmath>

#include "headjoint/report/internal/finding_words.h"
#include "headjoint/report/internal/markup.h"

namespace headjoint::report {
namespace {

using assess::CompressionCylinder;
using assess::LeakDownCylinder;

std::string list_of(const std::vector<std::string>& items) {
  std::string out;
  for (std::size_t i = 0; i < items.size(); ++i) out += (i == 0 ? "" : i + 1 == items.size() ? " and " : ", ") + items[i];
  return out;
}

/// "2", "2 and 3": the cylinders for which `is` holds.
template <class Row, class Is>
std::string cylinders_where(const std::vector<Row>& rows, Is is) {
  std::vector<std::string> numbers;
  for (const Row& row : rows) {
    if (is(row)) numbers.push_back(std::to_string(row.cylinder));
  }
  return (numbers.size() == 1 ? "cylinder " : numbers.empty() ? "" : "cylinders ") + list_of(numbers);
}

std::string band(double low, double high, bool shown) {
  return !shown ? "" : std::isfinite(high) ? fixed(low, 2) + "–" + fixed(high, 2) : "over " + fixed(low, 2);
}

bool is_taken(const std::string& status) { return status != "not taken" && status != "not accessible"; }

bool is_measured(const std::string& status) { return status == "measured"; }

std::string face_name(const assess::Flatness& face) {
  std::string name = face.part.empty() ? "Face" : capitalised(face.part) + " face";
  return face.head.empty() || face.head == "1" ? name : name + ", head " + face.head;
}

}  // namespace

ReadingRows leak_down_rows(const assess::LeakDown& leak_down) {
  ReadingRows out;
  const std::string suspects = cylinders_where(leak_down.cylinders, [](const LeakDownCylinder& c) { return c.is_suspect; });
  const bool any_taken =
      std::any_of(leak_down.cylinders.begin(), leak_down.cylinders.end(), [](const LeakDownCylinder& c) { return is_taken(c.status); });
  out.verdict =
      "Leak-down: " + (!any_taken         ? "no cylinder was measured."
                       : suspects.empty() ? "no cylinder loses more than 25 %."
                                          : suspects + " lose" + (suspects.starts_with("cylinders") ? "" : "s") + " more than 25 %.");
  out.how = "Supply " + fixed(leak_down.supply_bar, 2) + " bar, orifice " +
            (leak_down.orifice_mm > 0 ? fixed(leak_down.orifice_mm, 2) + " mm" : std::string("calibrated")) + " (" +
            fixed(leak_down.orifice_area_mm2, 2) + " mm²). Leaks smaller than " + fixed(leak_down.smallest_leak_mm2, 3) +
            " mm² could not have been seen.";
  out.columns = {
      {"cylinder", "cyl", true},         {"reading, bar", "bar", true},  {"loss, %", "loss %", true}, {"leak area, mm²", "mm²", true},
      {"range, mm²", "range mm²", true}, {"flow, L/min", "L/min", true}, {"status", "status"}};
  for (const LeakDownCylinder& c : leak_down.cylinders) {
    const bool area = is_measured(c.status);
    const bool taken = is_taken(c.status);
    out.rows.push_back({std::to_string(c.cylinder), taken ? fixed(c.reading_bar, 2) : "", taken ? fixed(100 * c.loss, 0) : "",
                        area ? fixed(c.leak_area_mm2, 2) : "", band(c.low_mm2, c.high_mm2, area), area ? fixed(c.flow_L_per_min, 1) : "",
                        c.status + (c.is_suspect ? ", suspect" : "")});
  }
  for (const assess::LeakDownOutlet& outlet : leak_down.outlets)
    out.notes.push_back("Cylinder " + std::to_string(outlet.cylinder) + ", " + outlet.outlet + ": " + fixed(outlet.leak_area_mm2, 2) +
                        " mm² (" + band(outlet.low_mm2, outlet.high_mm2, true) + "), " + fixed(100 * outlet.share, 0) + " % of its leak, " +
                        outlet.how + (outlet.is_never_sound ? "; nothing sound lets air out there." : "."));
  out.notes.insert(out.notes.end(), leak_down.notes.begin(), leak_down.notes.end());
  return out;
}

ReadingRows compression_rows(const assess::Compression& compression) {
  ReadingRows out;
  const auto compared = std::count_if(compression.cylinders.begin(), compression.cylinders.end(),
                                      [](const CompressionCylinder& c) { return c.expected_bar > 0; });
  out.verdict = compared > 1 ? "Compression: lowest is " + fixed(100 * compression.lowest_over_highest, 0) + " % of highest."
                             : "Compression: there is nothing to compare.";
  if (compression.smallest_leak_mm2 > 0)
    out.how = "Leaks smaller than " + fixed(compression.smallest_leak_mm2, 2) + " mm² could not have been seen.";
  out.columns = {{"cylinder", "cyl", true},
                 {"reading, bar", "bar", true},
                 {"expected, bar", "expected", true},
                 {"of the expected, %", "%", true},
                 {"leak area, mm²", "mm²", true},
                 {"range, mm²", "range mm²", true},
                 {"status", "status"}};
  for (const CompressionCylinder& c : compression.cylinders) {
    const bool measured = is_measured(c.status);
    const bool taken = is_taken(c.status);
    const bool area = measured && !(c.high_mm2 <= 0);
    const bool is_judged = measured || c.status == "no leak shown";
    const bool expected = is_judged && c.expected_bar > 0;
    out.rows.push_back({std::to_string(c.cylinder), taken ? fixed(c.reading_bar, 2) : "", expected ? fixed(c.expected_bar, 1) : "",
                        expected ? fixed(100 * c.ratio, 0) : "", area ? fixed(c.leak_area_mm2, 2) : "",
                        band(c.low_mm2, c.high_mm2, is_judged && c.high_mm2 > 0), c.status});
  }
  for (const assess::CompressionPair& pair : compression.pairs)
    out.notes.push_back(pair.text.empty() ? "low pair: bridge " + pair.bridge : pair.text);
  out.notes.insert(out.notes.end(), compression.notes.begin(), compression.notes.end());
  return out;
}

namespace {

void add_repeats(const assess::CrankedEngine& cranked, std::vector<std::string>& notes) {
  for (const assess::CompressionRepeat& repeat : cranked.repeats)
    notes.push_back("Cylinder " + std::to_string(repeat.cylinder) + ", " + (repeat.test == "wet" ? "wet test" : repeat.test) + ": " +
                    repeat.text);
}

}  // namespace

ReadingRows cranked_rows(const assess::CrankedEngine& cranked) {
  ReadingRows out;
  if (cranked.cylinders.empty()) {
    out.verdict = "Second tests of single cylinders";
    add_repeats(cranked, out.notes);
    return out;
  }
  double lowest = HUGE_VAL, highest = 0;
  for (const assess::CrankedCylinder& c : cranked.cylinders) {
    lowest = std::min(lowest, c.peak_bar);
    highest = std::max(highest, c.peak_bar);
  }
  const bool are_alike = highest - lowest < 0.05;
  out.verdict = "Cranked at " + fixed(cranked.speed_rpm, 0) +
                " rpm: " + (are_alike ? fixed(highest, 1) : fixed(lowest, 1) + " to " + fixed(highest, 1)) + " bar on the gauge" +
                (highest > 0 && !are_alike ? ", lowest " + fixed(100 * lowest / highest, 0) + " % of highest." : ".");
  out.how = "Heat loss " + (cranked.heat_loss == "none" ? "none" : capitalised(cranked.heat_loss)) +
            (cranked.heat_multiplier != 1 && cranked.heat_loss != "none" ? " times " + fixed(cranked.heat_multiplier, 2) : "") + ", air " +
            fixed(1e3 * cranked.ambient_bar, 0) + " mbar and " + fixed(cranked.temperature_degC, 0) + " °C, intake " +
            fixed(1e3 * cranked.intake_bar, 0) + " mbar, the other plugs " + cranked.plugs + ".";
  for (const assess::CrankedBridge& bridge : cranked.bridges)
    out.how += " Breach " + bridge.bridge + ": " + fixed(bridge.leak_area_mm2, 2) + " mm².";
  out.columns = {{"cylinder", "cyl", true},
                 {"leak, mm²", "leak mm²", true},
                 {"peak, bar on the gauge", "gauge bar", true},
                 {"peak, bar absolute", "abs bar", true},
                 {"at, deg", "at deg", true},
                 {"gas left, %", "gas left %", true}};
  const bool has_gauge = !cranked.cylinders.empty() && !cranked.cylinders.front().gauge_bar.empty();
  if (has_gauge) out.columns.push_back({"gauge after each stroke, bar", "gauge by stroke, bar"});
  for (const assess::CrankedCylinder& c : cranked.cylinders) {
    std::vector<std::string> row = {std::to_string(c.cylinder), fixed(c.leak_area_mm2, 2),  fixed(c.peak_bar, 2),
                                    fixed(c.peak_bar_abs, 2),   fixed(c.peak_angle_deg, 1), fixed(100 * c.mass_left, 1)};
    if (has_gauge) {
      std::string strokes;
      for (const double bar : c.gauge_bar) strokes += (strokes.empty() ? "" : " ") + fixed(bar, 2);
      row.push_back(strokes);
    }
    out.rows.push_back(std::move(row));
  }
  add_repeats(cranked, out.notes);
  out.notes.insert(out.notes.end(), cranked.notes.begin(), cranked.notes.end());
  return out;
}

FaceWords face_words(const assess::Flatness& face) {
  FaceWords out;
  const std::string deviation = fixed(face.minimum_zone_FLTt_mm, 3) + " mm";
  const std::string decision = decision_words(face.decision);
  const bool found = !face.status.empty() && face.status != "not run";
  out.verdict = face_name(face) + ": ";
  out.verdict += found ? "flatness deviation " + deviation + (decision.empty() ? "." : ", " + decision + ".")
                       : "not evaluated: " + (face.status.empty() ? "not run" : plain_text(face.status)) + ".";
  if (!face.decision_text.empty()) out.how = sentence(face.decision_text) + " ";
  out.how += std::to_string(face.points) + " points" +
             (face.not_measured > 0 ? ", " + std::to_string(face.not_measured) + " not measured" : "") +
             (face.source.empty() ? "." : ", from " + plain_text(face.source) + ".");
  const auto add = [&](const std::string& name, double value, const std::string& origin) {
    out.figures.push_back({name, fixed(value, 4), origin});
  };
  if (found)
    add("minimum zone FLTt", face.minimum_zone_FLTt_mm,
        "contact " + face.contact + (face.is_certified ? ", proved optimal" : ", " + plain_text(face.status)));
  if (face.points > 0) {
    add("least squares FLTt", face.least_squares_FLTt_mm, "peak to valley");
    add("least squares FLTp", face.FLTp_mm, "highest above the plane");
    add("least squares FLTv", face.FLTv_mm, "lowest below the plane");
    add("least squares FLTq", face.FLTq_mm, "root mean square");
  }
  if (face.uncertainty_mm > 0) add("uncertainty", face.uncertainty_mm, "expanded, k = 2");
  if (face.limit_mm > 0) add("limit", face.limit_mm, face.limit_source.empty() ? "origin not given" : face.limit_source);
  return out;
}

}  // namespace headjoint::report
