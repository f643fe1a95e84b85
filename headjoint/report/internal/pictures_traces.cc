#include "headjoint/report/internal/pictures_traces.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "headjoint/assess/results_traces.h"
#include "headjoint/report/internal/html_table.h"
#include "headjoint/report/internal/line_chart.h"
#include "headjoint/report/internal/markup.h"
#include "headjoint/report/internal/svg.h"
#include "headjoint/report/internal/trace_chart.h"

namespace headjoint::report {
namespace {

/// An axis from below `low` to above `high` with about five ticks at round numbers; 0 need not be on it.
ChartAxis axis_between(const std::string& title, double low, double high) {
  if (!(high > low)) return {title, low - 1, low + 1, 0.5};
  const double step = round_axis("", high - low).step;
  return {title, step * std::floor(low / step), step * std::ceil(high / step), step};
}

/// Smallest and greatest finite value of some lists.
std::pair<double, double> range_of(std::initializer_list<const std::vector<double>*> lists) {
  double low = INFINITY, high = -INFINITY;
  for (const auto* list : lists)
    for (const double value : *list)
      if (std::isfinite(value)) low = std::min(low, value), high = std::max(high, value);
  return low <= high ? std::pair(low, high) : std::pair(0.0, 1.0);
}

std::string quantity(const assess::TraceReply& reply) {
  return reply.file.channel + (reply.file.unit.empty() ? "" : ", " + reply.file.unit);
}

std::string place_name(const assess::TraceCylinder& one) {
  return one.cylinder > 0 ? "cylinder " + std::to_string(one.cylinder) : "event " + std::to_string(one.place);
}

/// Least and greatest of each column joined to one line.
TraceChart::Curve edge_of(const assess::TracePlot& plot) {
  TraceChart::Curve edge{"as recorded", {}, {}};
  for (std::size_t i = 0; i < plot.least.size(); ++i) {
    const double time = plot.from_s + (plot.to_s - plot.from_s) * (static_cast<double>(i) + 0.5) / static_cast<double>(plot.least.size());
    if (!std::isfinite(plot.least[i])) continue;
    const bool rises = edge.y.empty() || edge.y.back() < plot.least[i];
    for (const double value : {rises ? plot.least[i] : plot.most[i], rises ? plot.most[i] : plot.least[i]})
      edge.x.push_back(time), edge.y.push_back(value);
  }
  return edge;
}

/// A tick for every compression that is drawn, weak ones strong, named while there is room.
std::vector<TraceChart::Mark> compression_marks(const assess::TraceReply& reply) {
  constexpr std::size_t kMostNamed = 40, kMostMarks = 400;
  std::vector<TraceChart::Mark> marks;
  for (const assess::TraceEvent& event : reply.events) {
    if (event.time_s < reply.plot.from_s || event.time_s > reply.plot.to_s) continue;
    const bool weak = reply.relative[static_cast<std::size_t>(event.place - 1)].is_weak;
    marks.push_back({event.time_s, std::to_string(event.cylinder > 0 ? event.cylinder : event.place), weak});
  }
  if (marks.size() > kMostMarks) return {};
  if (marks.size() > kMostNamed)
    for (TraceChart::Mark& mark : marks) mark.text.clear();
  return marks;
}

Picture trace_picture(const assess::TraceReply& reply) {
  const assess::TracePlot& plot = reply.plot;
  TraceChart chart;
  chart.curves.push_back(edge_of(plot));
  chart.marks = compression_marks(reply);
  chart.marks_name = reply.order.empty() ? "compression, by place in the cycle" : "compression, by cylinder";
  const auto [low, high] = range_of({&plot.least, &plot.most});
  chart.x = axis_between("time, s", plot.from_s, plot.to_s);
  chart.y = axis_between(quantity(reply), low, high);
  HtmlTable table("Compressions found", {{"time, s", true}, {"place", true}, {"rise", true}, {"against its cycle, %", true}});
  constexpr std::size_t kMostRows = 200;
  for (std::size_t i = 0; i < reply.events.size() && i < kMostRows; ++i) {
    const assess::TraceEvent& event = reply.events[i];
    table.row({fixed(event.time_s, 3), std::to_string(event.place), fmt::format("{:.4g}", event.rise), fixed(100 * event.relative, 1)});
  }
  const std::string title = "The trace with its compressions";
  return {"trace", title,
          trace_chart_svg(chart, "trace", title,
                          "The recorded trace; ticks at its foot mark the compressions found, weak ones longer. The table lists them."),
          table.html()};
}

Picture relative_picture(const assess::TraceReply& reply) {
  std::vector<ChartRange> rows;
  HtmlTable table("Cylinders against the stronger half",
                  {{"cylinder"}, {"%", true}, {"spread, %", true}, {"leak, mm²", true}, {"", false}});
  double highest = 1;
  for (const assess::TraceCylinder& one : reply.relative) {
    rows.push_back({place_name(one), 100 * one.value, 100 * (one.value - one.spread), 100 * (one.value + one.spread)});
    highest = std::max(highest, one.value + one.spread);
    table.row({place_name(one), fixed(100 * one.value, 1), fixed(100 * one.spread, 1),
               std::isfinite(one.leak_area_mm2) ? fixed(one.leak_area_mm2, 2) : "", one.is_weak ? "weak" : ""});
  }
  const std::string title = "What each cylinder costs the starter";
  return {"relative", title,
          range_chart_svg(rows, round_axis("% of the stronger half", 100 * highest), "relative", title,
                          "Dot: mean of all cycles; line: spread from cycle to cycle."),
          table.html()};
}

Picture cycle_picture(const assess::TraceReply& reply) {
  const assess::TraceCycle& cycle = reply.average;
  TraceChart chart;
  TraceChart::Curve mean{"mean of all cycles", {}, cycle.mean};
  HtmlTable table("Average cycle", {{"crank angle, deg", true}, {"mean", true}, {"low", true}, {"high", true}});
  const std::size_t count = cycle.mean.size();
  for (std::size_t i = 0; i < count; ++i) {
    mean.x.push_back(720.0 * static_cast<double>(i) / static_cast<double>(count));
    if (i % 10 != 0) continue;
    const auto text = [](double value) { return fmt::format("{:.4g}", value); };
    table.row({fixed(mean.x.back(), 0), text(cycle.mean[i]), text(cycle.low[i]), text(cycle.high[i])});
  }
  chart.band_x = mean.x;
  chart.band_low = cycle.low;
  chart.band_high = cycle.high;
  chart.band_name = "one spread to both sides";
  chart.curves.push_back(std::move(mean));
  const auto [low, high] = range_of({&cycle.low, &cycle.high});
  chart.x = {"crank angle from the first top, deg", 0, 720, 90};
  chart.y = axis_between("load on the starter", low, high);
  for (const assess::TraceCylinder& one : reply.relative) {
    const double at = 720.0 * (one.place - 1) / static_cast<double>(reply.relative.size());
    chart.marks.push_back({at, std::to_string(one.cylinder > 0 ? one.cylinder : one.place), one.is_weak});
  }
  chart.marks_name = reply.order.empty() ? "place in the cycle" : "cylinder";
  const std::string title = "Average of all cycles with its band";
  return {
      "cycle", title,
      trace_chart_svg(chart, "cycle", title, "Mean of all cycles and one spread to both sides. The table gives every thirtieth degree."),
      table.html()};
}

/// Pulses round the crank: 720 degrees are one turn of the drawing, outwards is pressure.
Picture polar_picture(const assess::TraceReply& reply) {
  constexpr double kSize = 90, kMiddle = kSize / 2, kInner = 14, kOuter = 36;
  Svg svg(0.4);
  const auto spot = [&](double degrees, double radius) {
    const double angle = degrees / 720 * 2 * std::numbers::pi;
    return Spot{kMiddle + radius * std::sin(angle), kMiddle - radius * std::cos(angle)};
  };
  svg.circle({kMiddle, kMiddle}, (kInner + kOuter) / 2, paint::kCross);
  for (std::size_t i = 0; i < reply.order.size(); ++i) {
    const double fires = 720.0 * static_cast<double>(i) / static_cast<double>(reply.order.size());
    svg.polyline({spot(fires, kInner - 4), spot(fires, kOuter)}, paint::kCross);
    const Spot at = spot(fires, kOuter + 4);
    svg.text({at.x, at.y + 1}, std::to_string(reply.order[i]), 3.2, Svg::Anchor::kMiddle, "jp-dimtext");
  }
  HtmlTable table("Pulses once a cycle", {{"speed, rpm", true}, {"cycles", true}, {"peak, deg", true}, {"height", true}});
  double strongest = 0;
  for (const assess::TracePulseBand& band : reply.bands) strongest = std::max(strongest, band.strength);
  for (const assess::TracePulseBand& band : reply.bands) {
    std::vector<Spot> ring;
    for (std::size_t i = 0; i <= band.single.size() && strongest > 0; ++i) {
      const double value = band.single[i % band.single.size()];
      ring.push_back(spot(720.0 * static_cast<double>(i) / static_cast<double>(band.single.size()),
                          (kInner + kOuter) / 2 + (kOuter - kInner) / 2 * value / strongest));
    }
    svg.polyline(ring, paint::kCoolant);
    table.row({fixed(band.rpm, 0), std::to_string(band.cycles), fixed(band.peak_deg, 0), fmt::format("{:.3g}", band.strength)});
  }
  const std::string title = "Pulses by crank angle";
  return {"pulses", title,
          svg.drawing({0, 0}, kSize, kSize, "pulses", title,
                      "One turn of the drawing is one cycle of 720 degrees; numbers mark where each cylinder fires."),
          table.html()};
}

}  // namespace

std::vector<Picture> draw(const assess::TraceReply& reply) {
  std::vector<Picture> all;
  if (!reply.relative.empty()) all.push_back(relative_picture(reply));
  if (!reply.average.mean.empty()) all.push_back(cycle_picture(reply));
  if (!reply.bands.empty()) all.push_back(polar_picture(reply));
  if (!reply.plot.least.empty()) all.push_back(trace_picture(reply));
  return all;
}

std::vector<Picture> draw(const assess::CoolantLogReply& reply) {
  if (reply.time_s.size() < 2) return {};
  TraceChart chart;
  TraceChart::Curve log{"coolant", reply.time_s, reply.temperature_degC};
  for (double& time : log.x) time /= 60;
  const double first = log.x.front(), last = log.x.back();
  chart.curves = {log,
                  {"boils, cap good", {first, last}, {reply.boiling_degC, reply.boiling_degC}, 3},
                  {"boils, no cap", {first, last}, {reply.boiling_no_cap_degC, reply.boiling_no_cap_degC}, 1.2}};
  HtmlTable table("Times above the limit", {{"from, min", true}, {"to, min", true}, {"peak, °C", true}, {"dose, K min", true}});
  for (const assess::LogEpisode& one : reply.episodes) {
    chart.shaded.emplace_back(one.from_s / 60, one.to_s / 60);
    table.row({fixed(one.from_s / 60, 1), fixed(one.to_s / 60, 1), fixed(one.peak_degC, 0), fixed(one.dose_K_min, 1)});
  }
  chart.shaded_name = "above the limit";
  const auto [low, high] = range_of({&reply.temperature_degC});
  chart.x = axis_between("time, min", first, last);
  chart.y = axis_between("°C", low, std::max(high, reply.boiling_degC));
  const std::string title = "The log with its boiling lines";
  return {{"coolant-log", title,
           trace_chart_svg(chart, "coolant-log", title,
                           "Coolant temperature; straight lines mark boiling with a good cap and without one. The table lists the times "
                           "above the limit."),
           table.html()}};
}

}  // namespace headjoint::report
