#include "headjoint/report/internal/line_chart.h"

#include <algorithm>
#include <cmath>

#include "headjoint/base/text.h"
#include "headjoint/report/internal/svg.h"

namespace headjoint::report {
namespace {

using Anchor = Svg::Anchor;

constexpr double kUnit = 0.25;   // mm of the sheet
constexpr double kLetter = 3.2;  // mm
constexpr double kWidth = 150, kHeight = 70, kLeft = 14, kBottom = 13, kTop = 6, kRight = 6;
constexpr double kRowHeight = 7;
constexpr Paint kAxis{"jp-dim", "none", paint::kInk, 1.0, 0};
constexpr Paint kGrid{"jp-cross", "none", paint::kSoft, 0.5, 1.5};
constexpr double kDashes[] = {0, 6, 2.5, 10};

/// From numbers to places on the sheet.
struct Frame {
  ChartAxis x, y;
  double left, right, top, bottom;

  [[nodiscard]] double at_x(double value) const { return left + (right - left) * (value - x.low) / (x.high - x.low); }
  [[nodiscard]] double at_y(double value) const { return bottom - (bottom - top) * (value - y.low) / (y.high - y.low); }
};

std::vector<double> ticks(const ChartAxis& axis) {
  std::vector<double> found;
  constexpr int kMost = 40;
  for (int i = 0; i <= kMost && axis.low + i * axis.step <= axis.high + 1e-9 * axis.step; ++i) found.push_back(axis.low + i * axis.step);
  return found;
}

void draw_x_axis(Svg& svg, const Frame& frame) {
  for (const double tick : ticks(frame.x)) {
    svg.polyline({{frame.at_x(tick), frame.top}, {frame.at_x(tick), frame.bottom}}, kGrid);
    svg.text({frame.at_x(tick), frame.bottom + 4.2}, number_text(tick, 6), kLetter, Anchor::kMiddle, "jp-dimtext");
  }
  svg.text({(frame.left + frame.right) / 2, frame.bottom + 9.5}, frame.x.title, kLetter, Anchor::kMiddle, "jp-dimtext");
}

void draw_y_axis(Svg& svg, const Frame& frame) {
  for (const double tick : ticks(frame.y)) {
    svg.polyline({{frame.left, frame.at_y(tick)}, {frame.right, frame.at_y(tick)}}, kGrid);
    svg.text({frame.left - 1.5, frame.at_y(tick) + 1.1}, number_text(tick, 6), kLetter, Anchor::kEnd, "jp-dimtext");
  }
  svg.text({frame.left, frame.top - 2}, frame.y.title, kLetter, Anchor::kStart, "jp-dimtext");
}

void draw_curve(Svg& svg, const Frame& frame, const ChartCurve& curve, double dash) {
  std::vector<Spot> points;
  for (std::size_t i = 0; i < std::min(curve.x.size(), curve.y.size()); ++i)
    if (std::isfinite(curve.y[i]) && curve.x[i] >= frame.x.low && curve.x[i] <= frame.x.high)
      points.push_back({frame.at_x(curve.x[i]), frame.at_y(curve.y[i])});
  if (points.size() > 1) svg.polyline(points, {"jp-ring", "none", paint::kInk, 1.6, dash});
}

/// Where the names stand: at the right of each peak, pushed down until they no longer touch.
void draw_names(Svg& svg, const Frame& frame, const std::vector<ChartCurve>& curves) {
  struct Name {
    double x, y;
    std::size_t curve;
    double peak_x, peak_y;
  };
  std::vector<Name> names;
  for (std::size_t i = 0; i < curves.size(); ++i) {
    const auto highest = std::max_element(curves[i].y.begin(), curves[i].y.end());
    if (curves[i].name.empty() || highest == curves[i].y.end() || !std::isfinite(*highest)) continue;
    const auto index = static_cast<std::size_t>(highest - curves[i].y.begin());
    const double x = frame.at_x(curves[i].x[index]), y = frame.at_y(*highest);
    names.push_back({frame.left + 0.66 * (frame.right - frame.left), y, i, x, y});
  }
  std::stable_sort(names.begin(), names.end(), [](const Name& a, const Name& b) { return a.y < b.y; });
  double free_from = frame.top + kLetter;
  for (Name& name : names) {
    name.y = std::max(name.y + 1.1, free_from);
    free_from = name.y + 1.3 * kLetter;
    svg.polyline({{name.peak_x, name.peak_y}, {name.x - 1, name.y - 1.1}}, {"jp-lead", "none", paint::kInk, 0.4, 0});
    const double back = text_width(curves[name.curve].name, kLetter, false) + 2;
    svg.rectangle({name.x - 1, name.y - kLetter}, back, 1.3 * kLetter, 0, paint::kTagBack);
    svg.text({name.x, name.y}, curves[name.curve].name, kLetter, Anchor::kStart, "jp-tag");
  }
}

}  // namespace

ChartAxis round_axis(const std::string& title, double high) {
  if (!(high > 0) || !std::isfinite(high)) return {title, 0, 1, 0.25};
  const double rough = high / 5, power = std::pow(10, std::floor(std::log10(rough)));
  const double share = rough / power;
  const double step = power * (share <= 1 ? 1 : share <= 2 ? 2 : share <= 5 ? 5 : 10);
  return {title, 0, step * std::ceil(high / step - 1e-9), step};
}

std::string line_chart_svg(const std::vector<ChartCurve>& curves, const ChartAxis& x, const ChartAxis& y, const std::string& id_prefix,
                           const std::string& title, const std::string& description) {
  Svg svg(kUnit);
  const Frame frame{x, y, kLeft, kWidth - kRight, kTop + 4, kHeight - kBottom};
  draw_x_axis(svg, frame);
  draw_y_axis(svg, frame);
  svg.polyline({{frame.left, frame.top}, {frame.left, frame.bottom}, {frame.right, frame.bottom}}, kAxis);
  for (std::size_t i = 0; i < curves.size(); ++i) draw_curve(svg, frame, curves[i], kDashes[i % std::size(kDashes)]);
  draw_names(svg, frame, curves);
  return svg.drawing({0, 0}, kWidth, kHeight, id_prefix, title, description);
}

std::string range_chart_svg(const std::vector<ChartRange>& rows, const ChartAxis& x, const std::string& id_prefix, const std::string& title,
                            const std::string& description) {
  Svg svg(kUnit);
  double names = 0;
  for (const ChartRange& row : rows) names = std::max(names, text_width(row.name, kLetter, false));
  const double bottom = kTop + kRowHeight * static_cast<double>(rows.size());
  const Frame frame{x, {}, std::min(names + 4, kWidth / 2), kWidth - kRight, kTop, bottom};
  draw_x_axis(svg, frame);
  svg.polyline({{frame.left, frame.top}, {frame.left, frame.bottom}, {frame.right, frame.bottom}}, kAxis);
  for (std::size_t i = 0; i < rows.size(); ++i) {
    const ChartRange& row = rows[i];
    const double middle = kTop + kRowHeight * (static_cast<double>(i) + 0.5);
    svg.text({frame.left - 2.5, middle + 1.1}, row.name, kLetter, Anchor::kEnd, "jp-dimtext");
    if (!row.is_known) {
      svg.text({frame.left + 2, middle + 1.1}, row.note, kLetter, Anchor::kStart, "jp-note", false, paint::kSoft);
      continue;
    }
    const bool is_open = !std::isfinite(row.high);
    const double low = frame.at_x(std::clamp(row.low, x.low, x.high)),
                 high = frame.at_x(is_open ? x.high : std::clamp(row.high, x.low, x.high));
    const Paint band{"jp-lead", "none", paint::kInk, 1.2, 0};
    svg.polyline({{low, middle}, {high, middle}}, band);
    svg.polyline({{low, middle - 1.3}, {low, middle + 1.3}}, band);
    if (is_open)
      svg.polyline({{high - 1.5, middle - 1.3}, {high, middle}, {high - 1.5, middle + 1.3}}, band);
    else
      svg.polyline({{high, middle - 1.3}, {high, middle + 1.3}}, band);
    svg.circle({frame.at_x(std::clamp(row.value, x.low, x.high)), middle}, 1.3, {"jp-dot", paint::kInk, "none", 0, 0});
  }
  return svg.drawing({0, 0}, kWidth, bottom + kBottom, id_prefix, title, description);
}

}  // namespace headjoint::report
