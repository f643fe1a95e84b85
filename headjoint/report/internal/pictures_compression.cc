#include "headjoint/report/internal/pictures_compression.h"

#include <algorithm>
#include <cmath>

#include "headjoint/assess/results_cranking.h"
#include "headjoint/report/internal/html_table.h"
#include "headjoint/report/internal/line_chart.h"
#include "headjoint/report/internal/markup.h"

namespace headjoint::report {
namespace {

constexpr double kAlike = 1e-3;                      // bar: curves nearer than this are drawn as one
constexpr double kShownFrom = -150, kShownTo = 150;  // deg; outside a valve is open

ChartCurve curve_of(const assess::PressureTrace& trace) {
  ChartCurve curve{trace.name, {}, {}};
  for (std::size_t i = 0; i < trace.bar_abs.size(); ++i) {
    const double angle = trace.first_deg + static_cast<double>(i) * trace.step_deg;
    if (angle < kShownFrom || angle > kShownTo) continue;
    curve.x.push_back(angle);
    curve.y.push_back(trace.bar_abs[i]);
  }
  return curve;
}

/// The same but for the points at a valve's opening, where rounding decides on which side they fall.
bool are_alike(const ChartCurve& a, const ChartCurve& b) {
  if (a.y.size() != b.y.size()) return false;
  constexpr int kAtValves = 2;
  int apart = 0;
  for (std::size_t i = 0; i < a.y.size(); ++i) apart += std::abs(a.y[i] - b.y[i]) <= kAlike ? 0 : 1;
  return apart <= kAtValves;
}

/// "cylinder 1" and "cylinder 4" become "cylinder 1, 4".
void join_name(std::string& name, const std::string& other) {
  const std::string word = "cylinder ";
  name += ", " + (name.starts_with(word) && other.starts_with(word) ? other.substr(word.size()) : other);
}

std::vector<ChartCurve> curves_of(const std::vector<assess::PressureTrace>& traces) {
  std::vector<ChartCurve> curves;
  for (const assess::PressureTrace& trace : traces) {
    ChartCurve curve = curve_of(trace);
    const auto same = std::find_if(curves.begin(), curves.end(), [&](const ChartCurve& other) { return are_alike(other, curve); });
    if (same == curves.end())
      curves.push_back(std::move(curve));
    else
      join_name(same->name, curve.name);
  }
  return curves;
}

std::string pressure_table(const std::vector<ChartCurve>& curves) {
  constexpr double kAngles[] = {-120, -90, -60, -45, -30, -20, -10, 0, 10, 20, 30, 60, 90, 120};
  std::vector<HtmlColumn> columns = {{"crank angle, deg after top dead centre", true}};
  for (const ChartCurve& curve : curves) columns.push_back({curve.name + ", bar absolute", true});
  HtmlTable table("Pressure against crank angle", columns);
  for (const double angle : kAngles) {
    std::vector<std::string> row = {fixed(angle, 0)};
    for (const ChartCurve& curve : curves) {
      const auto at =
          std::min_element(curve.x.begin(), curve.x.end(), [&](double a, double b) { return std::abs(a - angle) < std::abs(b - angle); });
      row.push_back(at == curve.x.end() ? "" : fixed(curve.y[static_cast<std::size_t>(at - curve.x.begin())], 2));
    }
    table.row(row);
  }
  return table.html();
}

Picture pressure_picture(const std::vector<assess::PressureTrace>& traces) {
  const std::vector<ChartCurve> curves = curves_of(traces);
  double highest = 0;
  for (const ChartCurve& curve : curves)
    for (const double bar : curve.y) highest = std::max(highest, bar);
  const std::string title = "Pressure against crank angle";
  const std::string svg = line_chart_svg(curves, {"crank angle, deg after top dead centre of compression", kShownFrom, kShownTo, 30},
                                         round_axis("bar absolute", highest), "pressure", title,
                                         "Pressure in the cylinder while it is cranked; the table gives the same numbers.");
  return {"pressure", title, svg, pressure_table(curves)};
}

ChartRange range_of(const assess::CompressionCylinder& cylinder) {
  const bool is_known = cylinder.status == "measured" || cylinder.status == "no leak shown" || cylinder.status == "too large to measure";
  return {std::to_string(cylinder.cylinder), cylinder.leak_area_mm2, cylinder.low_mm2, cylinder.high_mm2, is_known,
          shortened(cylinder.status, 60)};
}

Picture area_picture(const assess::Compression& compression) {
  std::vector<ChartRange> rows;
  double highest = 0;
  HtmlTable table("Leak area beyond the healthy cylinders",
                  {{"cylinder", true}, {"mm²", true}, {"low, mm²", true}, {"high, mm²", true}, {"status"}});
  for (const assess::CompressionCylinder& cylinder : compression.cylinders) {
    const ChartRange row = range_of(cylinder);
    highest = std::max({highest, row.is_known ? row.value : 0, row.is_known && std::isfinite(row.high) ? row.high : 0});
    table.row({row.name, row.is_known ? fixed(row.value, 2) : "", row.is_known ? fixed(row.low, 2) : "",
               !row.is_known             ? ""
               : std::isfinite(row.high) ? fixed(row.high, 2)
                                         : "open",
               cylinder.status});
    rows.push_back(row);
    rows.back().name = "cylinder " + row.name;
  }
  const std::string title = "Leak area of each cylinder with its range";
  const std::string svg =
      range_chart_svg(rows, round_axis("mm² beyond the healthy cylinders", 1.05 * highest), "leak-areas", title,
                      "Dot: the leak area that the reading means; line: the range it may lie in. The table gives the same numbers.");
  return {"leak-areas", title, svg, table.html()};
}

}  // namespace

std::vector<Picture> draw(const assess::Compression& compression) {
  if (compression.traces.empty()) return {};
  return {area_picture(compression), pressure_picture(compression.traces)};
}

std::vector<Picture> draw(const assess::CrankedEngine& cranked) {
  if (cranked.traces.empty()) return {};
  return {pressure_picture(cranked.traces)};
}

}  // namespace headjoint::report
