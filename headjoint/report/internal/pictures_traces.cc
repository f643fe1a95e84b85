#include "headjoint/report/internal/pictures_traces.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

#include "headjoint/assess/results_traces.h"
#include "headjoint/report/internal/cylinder_plan.h"
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

/// The cylinders on the joint plan, weak or suspect ones ringed.
std::optional<Picture> plan_picture(const assess::TraceReply& reply) {
  if (!reply.engine) return std::nullopt;
  constexpr double kLikely = 0.3;
  std::vector<BoreMark> marks;
  HtmlTable table("Cylinders on the plan", {{"cylinder", true}, {"what the trace says"}});
  const auto mark = [&](int cylinder, const std::string& text, bool is_strong, const char* words) {
    marks.push_back({cylinder, text, is_strong});
    table.row({std::to_string(cylinder), text + (is_strong ? words : "")});
  };
  for (const assess::TraceCylinder& one : reply.relative)
    if (one.cylinder > 0) mark(one.cylinder, fixed(100 * one.value, 0) + " %", one.is_weak, ", weak");
  if (reply.relative.empty())
    for (const assess::TraceSuspect& one : reply.suspects)
      mark(one.cylinder, fixed(100 * one.confidence, 0) + " %", one.confidence >= kLikely, ", suspect");
  if (marks.empty()) return std::nullopt;
  const bool is_pull = !reply.relative.empty();
  const std::string title = is_pull ? "Weak cylinders on the joint plan" : "Suspect cylinders on the joint plan";
  const std::string svg = cylinder_plan_svg(*reply.engine, marks, "cylinders", title,
                                            is_pull ? "Each bore carries its pull in per cent of the stronger half; weak ones are ringed."
                                                    : "Each bore carries its share of the suspicion; those to look at first are ringed.");
  if (svg.empty()) return std::nullopt;
  return Picture{"plan", title, svg, table.html()};
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
  const std::string title = reply.events.empty() ? "The trace as recorded" : "The trace with its compressions";
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

/// Pulses round the crank: 720 degrees are one turn of the drawing, outwards is pressure; every speed has a dash of its own.
class PulseRose {
 public:
  explicit PulseRose(const assess::TraceReply& reply) : reply_(reply) {
    for (const assess::TracePulseBand& band : reply.bands) strongest_ = std::max(strongest_, band.strength);
  }

  std::string draw(const std::string& title) {
    svg_.circle({kMiddle, kMiddle}, kZero, paint::kCross);
    spokes();
    double below = kSize + 2;
    for (std::size_t i = 0; i < reply_.bands.size(); ++i) {
      ring(reply_.bands[i], i);
      svg_.polyline({{8, below}, {20, below}}, line(i));
      svg_.text({22, below + 1.1}, fmt::format("{:.0f} rpm, top at {:.0f} deg", reply_.bands[i].rpm, reply_.bands[i].peak_deg), kLetter,
                Svg::Anchor::kStart, "jp-dimtext");
      below += 5.5;
    }
    return svg_.drawing(
        {0, 0}, kSize, below + 2, "pulses", title,
        "One turn of the drawing is one cycle of 720 degrees, clockwise from the top; numbers stand where each cylinder fires, "
        "outwards is more pressure, the dot marks each speed's top. The faster the engine turns, the further behind its "
        "cylinder a pulse arrives.");
  }

 private:
  static constexpr double kSize = 90, kMiddle = kSize / 2, kInner = 14, kOuter = 36, kZero = (kInner + kOuter) / 2, kLetter = 3.2;

  static Spot spot(double degrees, double radius) {
    const double angle = degrees / 720 * 2 * std::numbers::pi;
    return {kMiddle + radius * std::sin(angle), kMiddle - radius * std::cos(angle)};
  }
  static Paint line(std::size_t band) {
    constexpr double kDashes[] = {0, 4, 1.2, 8};
    return {"jp-coolant", "none", paint::kBlue, 1.0, kDashes[band % 4]};
  }

  void spokes() {
    for (std::size_t i = 0; i < reply_.order.size(); ++i) {
      const double fires = 720.0 * static_cast<double>(i) / static_cast<double>(reply_.order.size());
      svg_.polyline({spot(fires, kInner - 4), spot(fires, kOuter)}, paint::kCross);
      const Spot at = spot(fires, kOuter + 4);
      svg_.text({at.x, at.y + 1}, std::to_string(reply_.order[i]), kLetter, Svg::Anchor::kMiddle, "jp-number", true);
    }
    svg_.text({kMiddle, kMiddle + 1}, "fires", kLetter, Svg::Anchor::kMiddle, "jp-dimtext");
  }

  [[nodiscard]] double radius(double value) const { return kZero + (kOuter - kZero) * (strongest_ > 0 ? value / strongest_ : 0); }

  void ring(const assess::TracePulseBand& band, std::size_t number) {
    const std::size_t count = band.single.size();
    if (count == 0) return;
    std::vector<Spot> points;
    for (std::size_t i = 0; i <= count; ++i)
      points.push_back(spot(720.0 * static_cast<double>(i) / static_cast<double>(count), radius(band.single[i % count])));
    svg_.polyline(points, line(number));
    const double top = *std::max_element(band.single.begin(), band.single.end());
    svg_.circle(spot(band.peak_deg, radius(top)), 1.1, {"jp-contact", paint::kPaper, paint::kInk, 0.8, 0});
  }

  const assess::TraceReply& reply_;
  Svg svg_{0.4};
  double strongest_ = 0;
};

Picture polar_picture(const assess::TraceReply& reply) {
  HtmlTable table("Pulses once a cycle", {{"speed, rpm", true}, {"cycles", true}, {"top, deg", true}, {"height", true}});
  for (const assess::TracePulseBand& band : reply.bands)
    table.row({fixed(band.rpm, 0), std::to_string(band.cycles), fixed(band.peak_deg, 0), fmt::format("{:.3g}", band.strength)});
  const std::string title = "Pulses by crank angle";
  return {"pulses", title, PulseRose(reply).draw(title), table.html()};
}

}  // namespace

std::vector<Picture> draw(const assess::TraceReply& reply) {
  std::vector<Picture> all;
  if (auto plan = plan_picture(reply)) all.push_back(std::move(*plan));
  if (!reply.relative.empty()) all.push_back(relative_picture(reply));
  if (!reply.average.mean.empty()) all.push_back(cycle_picture(reply));
  if (!reply.bands.empty()) all.push_back(polar_picture(reply));
  if (!reply.plot.least.empty()) all.push_back(trace_picture(reply));
  return all;
}

namespace {

std::vector<double> in_minutes(std::vector<double> times_s) {
  for (double& time : times_s) time /= 60;
  return times_s;
}

void shade_episodes(const assess::CoolantLogReply& reply, TraceChart& chart) {
  for (const assess::LogEpisode& one : reply.episodes) chart.shaded.emplace_back(one.from_s / 60, one.to_s / 60);
  chart.shaded_name = "above the limit";
}

Picture log_picture(const assess::CoolantLogReply& reply) {
  TraceChart chart;
  TraceChart::Curve log{"coolant", in_minutes(reply.time_s), reply.temperature_degC};
  const double first = log.x.front(), last = log.x.back();
  chart.curves = {log,
                  {"boils, cap good", {first, last}, {reply.boiling_degC, reply.boiling_degC}, 3},
                  {"boils, no cap", {first, last}, {reply.boiling_no_cap_degC, reply.boiling_no_cap_degC}, 1.2}};
  shade_episodes(reply, chart);
  HtmlTable table("Times above the limit", {{"from, min", true}, {"to, min", true}, {"peak, °C", true}, {"dose, K min", true}});
  for (const assess::LogEpisode& one : reply.episodes)
    table.row({fixed(one.from_s / 60, 1), fixed(one.to_s / 60, 1), fixed(one.peak_degC, 0), fixed(one.dose_K_min, 1)});
  if (reply.episodes.empty()) table.row({"none", "", fixed(reply.peak_degC, 0), fixed(0, 1)});
  const auto [low, high] = range_of({&reply.temperature_degC});
  chart.x = axis_between("time, min", first, last);
  chart.y = axis_between("°C", low, std::max(high, reply.boiling_degC));
  const std::string title = "The log with its boiling lines";
  return {"coolant-log", title,
          trace_chart_svg(chart, "coolant-log", title,
                          "Coolant temperature; straight lines mark boiling with a good cap and without one. The table lists the times "
                          "above the limit."),
          table.html()};
}

/// How far from boiling, all the way: below zero it boils.
Picture margin_picture(const assess::CoolantLogReply& reply) {
  TraceChart chart;
  const std::vector<double> minutes = in_minutes(reply.time_s);
  chart.curves = {{"cap good", minutes, reply.margins_K, 0}, {"cap failed", minutes, reply.margins_no_cap_K, 1.2}};
  if (!reply.margins_measured_K.empty()) chart.curves.push_back({"at the logged pressure", minutes, reply.margins_measured_K, 4});
  chart.curves.push_back({"boils below", {minutes.front(), minutes.back()}, {0, 0}, 0.6});
  shade_episodes(reply, chart);
  std::vector<HtmlColumn> columns = {{"time, min", true}, {"cap good, K", true}, {"cap failed, K", true}};
  if (!reply.margins_measured_K.empty()) columns.push_back({"at the logged pressure, K", true});
  HtmlTable table("How far from boiling", columns);
  constexpr std::size_t kMostRows = 60;
  const std::size_t step = (minutes.size() + kMostRows - 1) / kMostRows;
  for (std::size_t i = 0; i < minutes.size(); i += step) {
    std::size_t nearest = i;
    for (std::size_t k = i; k < std::min(minutes.size(), i + step); ++k)
      if (reply.margins_K[k] < reply.margins_K[nearest]) nearest = k;
    std::vector<std::string> cells = {fixed(minutes[nearest], 1), fixed(reply.margins_K[nearest], 0),
                                      fixed(reply.margins_no_cap_K[nearest], 0)};
    if (!reply.margins_measured_K.empty()) cells.push_back(fixed(reply.margins_measured_K[nearest], 0));
    table.row(cells);
  }
  const auto [low, high] = range_of({&reply.margins_K, &reply.margins_no_cap_K, &reply.margins_measured_K});
  chart.x = axis_between("time, min", minutes.front(), minutes.back());
  chart.y = axis_between("K below boiling", std::min(0.0, low), high);
  const std::string title = "How far from boiling";
  return {"boil-margin", title,
          trace_chart_svg(chart, "boil-margin", title,
                          "Boiling temperature minus the coolant's, with a good cap and with one that does not hold. The table gives the "
                          "nearest of each stretch of time."),
          table.html()};
}

}  // namespace

std::vector<Picture> draw(const assess::CoolantLogReply& reply) {
  if (reply.time_s.size() < 2) return {};
  return {log_picture(reply), margin_picture(reply)};
}

}  // namespace headjoint::report
