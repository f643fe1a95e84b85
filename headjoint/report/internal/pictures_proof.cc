#include "headjoint/report/internal/pictures_proof.h"

#include <algorithm>

#include "headjoint/report/internal/html_table.h"
#include "headjoint/report/internal/markup.h"
#include "headjoint/report/internal/repair_words.h"
#include "headjoint/report/internal/trace_chart.h"

namespace headjoint::report {
namespace {

std::string checks_table(const std::string& title, const std::vector<const assess::ProofCheck*>& checks) {
  HtmlTable table(title, {{"reading"}, {"read", true}, {"expected", true}, {"accepted", true}, {""}});
  for (const assess::ProofCheck* check : checks)
    table.row({capitalised(check->check), check->reading.empty() ? "not taken" : check->reading, check->expected_text,
               accepted_text(*check), proof_verdict(*check)});
  return table.html();
}

/// Cylinders of one test, where all are in one unit; the line is what is accepted, the dot what was read, or expected where it was not.
void add_cylinders(const assess::Proof& proof, const std::string& test, const std::string& title, std::vector<Picture>& pictures) {
  std::vector<const assess::ProofCheck*> checks;
  for (const assess::ProofCheck& check : proof.checks)
    if (check.test == test && check.accept_low && check.accept_high && check.expected) checks.push_back(&check);
  const bool is_one_unit =
      !checks.empty() && std::all_of(checks.begin(), checks.end(), [&](const auto* check) { return check->unit == checks.front()->unit; });
  if (!is_one_unit) return;
  std::vector<ChartRange> rows;
  double most = 0;
  for (const assess::ProofCheck* check : checks) {
    const double value = check->value.value_or(*check->expected);
    rows.push_back({"cylinder " + check->where + (check->value ? "" : ", expected"), value, *check->accept_low, *check->accept_high});
    most = std::max({most, value, *check->accept_high});
  }
  const ChartAxis axis = round_axis(checks.front()->unit == "bar" ? "bar on the gauge" : "% lost", 1.05 * most);
  pictures.push_back({"proof-" + test, title,
                      range_chart_svg(rows, axis, "proof-" + test, title, "The line is what is accepted, the dot what was read."),
                      checks_table(title, checks)});
}

void add_warm_up(const assess::Proof& proof, std::vector<Picture>& pictures) {
  if (!proof.warm_up || proof.warm_up->minutes.empty()) return;
  const assess::WarmUp& curve = *proof.warm_up;
  TraceChart chart;
  chart.x = {"minutes at idle", 0, curve.minutes.back(), 5};
  chart.y = round_axis("coolant, degC", 110);
  chart.curves.push_back({"expected", curve.minutes, curve.expected_degC, 0});
  chart.curves.push_back({"thermostat opens", {0, curve.minutes.back()}, {curve.opens_degC, curve.opens_degC}, 3});
  chart.band_x = curve.minutes;
  chart.band_low = curve.low_degC;
  chart.band_high = curve.high_degC;
  chart.band_name = "a sound engine, little to much heat";
  const std::string title = "Warm-up at idle";
  HtmlTable table(title, {{"minutes", true}, {"coolest degC", true}, {"expected degC", true}, {"warmest degC", true}});
  constexpr std::size_t kEvery = 4;
  for (std::size_t i = 0; i < curve.minutes.size(); i += kEvery)
    table.row({fixed(curve.minutes[i], 0), fixed(curve.low_degC[i], 0), fixed(curve.expected_degC[i], 0), fixed(curve.high_degC[i], 0)});
  pictures.push_back({"warm-up", title,
                      trace_chart_svg(chart, "warm-up", title, "Coolant temperature against time, with the band of a sound engine."),
                      table.html()});
}

}  // namespace

std::vector<Picture> draw(const assess::Proof& proof) {
  std::vector<Picture> pictures;
  add_cylinders(proof, "compression", "Compression after the repair", pictures);
  add_cylinders(proof, "leak_down", "Leak-down after the repair", pictures);
  add_warm_up(proof, pictures);
  return pictures;
}

}  // namespace headjoint::report
