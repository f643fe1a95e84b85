#include "headjoint/report/internal/trace_chart.h"

#include <algorithm>
#include <cmath>

#include "headjoint/base/text.h"
#include "headjoint/report/internal/svg.h"

namespace headjoint::report {
namespace {

using Anchor = Svg::Anchor;
constexpr double kUnit = 0.4, kLetter = 3.2;
constexpr double kWidth = 170, kHeight = 80, kLeft = 17, kRight = 5, kTop = 14, kBottom = 14;
constexpr Paint kGrid{"jp-cross", "none", paint::kSoft, 0.3, 0.8};
constexpr Paint kFrame{"jp-dim", "none", paint::kInk, 0.6, 0};
constexpr Paint kShade{"jp-fill2", "#d9dde2", "none", 0, 0};
constexpr Paint kHot{"jp-fill4", "#f2d9d0", "none", 0, 0};

class Drawing {
 public:
  explicit Drawing(const TraceChart& chart) : chart_(chart), svg_(kUnit) {}

  std::string draw(const std::string& id_prefix, const std::string& title, const std::string& description) {
    shade();
    axes();
    for (const TraceChart::Curve& curve : chart_.curves) draw_curve(curve);
    marks();
    legend();
    return svg_.drawing({0, 0}, kWidth, kHeight, id_prefix, title, description);
  }

 private:
  [[nodiscard]] double at_x(double x) const {
    return kLeft + (kWidth - kLeft - kRight) * std::clamp((x - chart_.x.low) / (chart_.x.high - chart_.x.low), 0.0, 1.0);
  }
  [[nodiscard]] double at_y(double y) const {
    return kHeight - kBottom - (kHeight - kBottom - kTop) * std::clamp((y - chart_.y.low) / (chart_.y.high - chart_.y.low), 0.0, 1.0);
  }
  static Paint line(double dash) { return {"jp-curve", "none", paint::kInk, 0.7, dash}; }

  void shade() {
    for (const auto& [from, to] : chart_.shaded)
      svg_.rectangle({at_x(from), kTop}, std::max(0.4, at_x(to) - at_x(from)), kHeight - kBottom - kTop, 0, kHot);
    if (chart_.band_x.empty()) return;
    std::vector<Spot> outline;
    for (std::size_t i = 0; i < chart_.band_x.size(); ++i) outline.push_back({at_x(chart_.band_x[i]), at_y(chart_.band_high[i])});
    for (std::size_t i = chart_.band_x.size(); i-- > 0;) outline.push_back({at_x(chart_.band_x[i]), at_y(chart_.band_low[i])});
    svg_.polygon(outline, kShade);
  }

  static std::string tick_text(double value, double step) { return number_text(std::abs(value) < step / 1000 ? 0 : value, 5); }

  void axes() {
    const double bottom = kHeight - kBottom, right = kWidth - kRight;
    for (double value = chart_.x.low; value <= chart_.x.high + chart_.x.step / 1000; value += chart_.x.step) {
      svg_.polyline({{at_x(value), kTop}, {at_x(value), bottom}}, kGrid);
      svg_.text({at_x(value), bottom + 4}, tick_text(value, chart_.x.step), kLetter, Anchor::kMiddle, "jp-dimtext");
    }
    for (double value = chart_.y.low; value <= chart_.y.high + chart_.y.step / 1000; value += chart_.y.step) {
      svg_.polyline({{kLeft, at_y(value)}, {right, at_y(value)}}, kGrid);
      svg_.text({kLeft - 1.5, at_y(value) + 1.1}, tick_text(value, chart_.y.step), kLetter, Anchor::kEnd, "jp-dimtext");
    }
    svg_.polyline({{kLeft, kTop}, {kLeft, bottom}, {right, bottom}}, kFrame);
    svg_.text({(kLeft + right) / 2, kHeight - 2}, chart_.x.title, kLetter, Anchor::kMiddle, "jp-dimtext");
    svg_.text({1, kTop - 2}, chart_.y.title, kLetter, Anchor::kStart, "jp-dimtext");
  }

  void draw_curve(const TraceChart::Curve& curve) {
    std::vector<Spot> points;
    for (std::size_t i = 0; i < curve.x.size(); ++i)
      if (std::isfinite(curve.y[i]) && curve.x[i] >= chart_.x.low && curve.x[i] <= chart_.x.high)
        points.push_back({at_x(curve.x[i]), at_y(curve.y[i])});
    if (points.size() > 1) svg_.polyline(points, line(curve.dash));
  }

  void marks() {
    const double bottom = kHeight - kBottom;
    for (const TraceChart::Mark& mark : chart_.marks) {
      const double x = at_x(mark.x);
      svg_.polyline({{x, bottom}, {x, bottom - (mark.is_strong ? 4.5 : 2.5)}},
                    {"jp-breach", "none", mark.is_strong ? paint::kRust : paint::kInk, mark.is_strong ? 1.2 : 0.6, 0});
      if (!mark.text.empty()) svg_.text({x, bottom - 5.2}, mark.text, 2.6, Anchor::kMiddle, "jp-tag", mark.is_strong);
    }
  }

  /// From the left, each name behind a sample of its line.
  void legend() {
    double x = kLeft;
    const auto put = [&](const std::string& name, auto sample) {
      if (name.empty()) return;
      sample(x);
      svg_.text({x + 9, 5}, name, kLetter, Anchor::kStart, "jp-dimtext");
      x += 9 + text_width(name, kLetter, false) + 5;
    };
    for (const TraceChart::Curve& curve : chart_.curves)
      put(curve.name, [&](double at) { svg_.polyline({{at, 4}, {at + 7, 4}}, line(curve.dash)); });
    put(chart_.band_x.empty() ? "" : chart_.band_name, [&](double at) { svg_.rectangle({at, 2.4}, 7, 3, 0, kShade); });
    put(chart_.shaded.empty() ? "" : chart_.shaded_name, [&](double at) { svg_.rectangle({at, 2.4}, 7, 3, 0, kHot); });
    put(chart_.marks.empty() ? "" : chart_.marks_name, [&](double at) {
      svg_.polyline({{at + 3.5, 5}, {at + 3.5, 2.5}}, {"jp-breach", "none", paint::kInk, 0.6, 0});
    });
  }

  const TraceChart& chart_;
  Svg svg_;
};

}  // namespace

std::string trace_chart_svg(const TraceChart& chart, const std::string& id_prefix, const std::string& title,
                            const std::string& description) {
  return Drawing(chart).draw(id_prefix, title, description);
}

}  // namespace headjoint::report
