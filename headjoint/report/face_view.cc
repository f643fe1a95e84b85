#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

#include "headjoint/report/face_drawings.h"
#include "headjoint/report/internal/face_bands.h"
#include "headjoint/report/internal/markup.h"
#include "headjoint/report/internal/svg.h"

namespace headjoint::report {
namespace {

using Anchor = Svg::Anchor;

constexpr double kCos30 = 0.86602540378443865;
constexpr double kSin30 = 0.5;
constexpr double kHeightShare = 0.16;  // of length and width together that the heights may take
constexpr double kTextShare = 0.032;
constexpr Paint kBase{"jp-cross", "none", paint::kSoft, 0.6, 1.4};
constexpr Paint kPost{"jp-dim", "none", paint::kInk, 0.7, 0};

/// 1, 2 or 5 times a power of ten, at most `value`.
double round_factor(double value) {
  const double power = std::pow(10.0, std::floor(std::log10(value)));
  const double share = value / power;
  return (share >= 5 ? 5 : share >= 2 ? 2 : 1) * power;
}

/// Plan and height to the sheet: x runs away to the lower right, y to the upper right.
class View {
 public:
  explicit View(const assess::Flatness& face) {
    low_x_ = low_y_ = HUGE_VAL;
    double high_x = -HUGE_VAL;
    double high_y = -HUGE_VAL;
    lowest_ = HUGE_VAL;
    double highest = -HUGE_VAL;
    for (const assess::FacePoint& p : face.face) {
      low_x_ = std::min(low_x_, p.x_mm);
      high_x = std::max(high_x, p.x_mm);
      low_y_ = std::min(low_y_, p.y_mm);
      high_y = std::max(high_y, p.y_mm);
      lowest_ = std::min(lowest_, p.deviation_mm);
      highest = std::max(highest, p.deviation_mm);
    }
    length_ = high_x - low_x_;
    width_ = high_y - low_y_;
    const double range = highest - lowest_;
    exaggeration_ = range > 0 ? round_factor(kHeightShare * (length_ + width_) / range) : 1;
    rise_ = range * exaggeration_;
  }

  [[nodiscard]] Spot spot(double x, double y, double deviation) const {
    const double u = x - low_x_;
    const double v = y - low_y_;
    return {(u + v) * kCos30, (u - v) * kSin30 - (deviation - lowest_) * exaggeration_};
  }
  [[nodiscard]] Spot spot(const assess::FacePoint& p) const { return spot(p.x_mm, p.y_mm, p.deviation_mm); }
  [[nodiscard]] std::vector<Spot> base() const {
    return {spot(low_x_, low_y_, lowest_), spot(low_x_ + length_, low_y_, lowest_), spot(low_x_ + length_, low_y_ + width_, lowest_),
            spot(low_x_, low_y_ + width_, lowest_)};
  }
  [[nodiscard]] double left_to_right() const { return (length_ + width_) * kCos30; }
  [[nodiscard]] double top() const { return -width_ * kSin30 - rise_; }
  [[nodiscard]] double bottom() const { return length_ * kSin30; }
  [[nodiscard]] double exaggeration() const { return exaggeration_; }

 private:
  double low_x_ = 0, low_y_ = 0, length_ = 0, width_ = 0, lowest_ = 0, exaggeration_ = 1, rise_ = 0;
};

void draw_triangles(Svg& svg, const View& view, const assess::Flatness& face, const HeightScale& scale) {
  std::vector<std::size_t> order(face.map.triangles.size());
  std::iota(order.begin(), order.end(), 0U);
  const auto nearness = [&](std::size_t t) {
    double sum = 0;
    for (const int i : face.map.triangles[t])
      sum += face.face[static_cast<std::size_t>(i)].x_mm - face.face[static_cast<std::size_t>(i)].y_mm;
    return sum;
  };
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return nearness(a) < nearness(b); });
  for (const std::size_t t : order) {
    std::vector<Spot> corners;
    double mean = 0;
    for (const int i : face.map.triangles[t]) {
      const assess::FacePoint& p = face.face[static_cast<std::size_t>(i)];
      corners.push_back(view.spot(p));
      mean += p.deviation_mm / 3;
    }
    svg.polygon(corners, band_fill(scale.band(mean), true));
  }
}

void mark_point(Svg& svg, const View& view, const assess::FacePoint& point, const std::string& text, double size) {
  const Spot at = view.spot(point);
  const Spot top{at.x, at.y - 1.6 * size};
  svg.polyline({at, top}, kPost);
  svg.text({top.x, top.y - 0.3 * size}, text, size, Anchor::kMiddle, "jp-height", true);
}

}  // namespace

std::string face_view_svg(const assess::Flatness& face, const std::string& id_prefix) {
  if (face.face.empty()) return {};
  const View view(face);
  const HeightScale scale(face.face);
  const double full = 1.08 * view.left_to_right();
  const double size = kTextShare * full;
  Svg svg(full / 458);
  svg.polygon(view.base(), kBase);
  draw_triangles(svg, view, face, scale);
  const auto higher = [](const assess::FacePoint& a, const assess::FacePoint& b) { return a.deviation_mm < b.deviation_mm; };
  const auto [lowest, highest] = std::minmax_element(face.face.begin(), face.face.end(), higher);
  mark_point(svg, view, *highest, scale.number(highest->deviation_mm), size);
  if (lowest != highest) mark_point(svg, view, *lowest, scale.number(lowest->deviation_mm), size);
  const double left = -0.04 * view.left_to_right();
  double y = view.bottom() + 2.0 * size;
  const std::string exaggerated = "heights exaggerated " + fixed(view.exaggeration(), 0) + " x";
  svg.text({left + size, y}, exaggerated, size, Anchor::kStart, "jp-legend", true);
  for (const char* line : {"1/100 mm from the middle of the zone", "front left corner at the left"})
    svg.text({left + size, y += 1.5 * size}, line, size, Anchor::kStart, "jp-legend");
  const double top = view.top() - 3.2 * size;
  return svg.drawing({left, top}, full, y + size - top, id_prefix, "The face in view, " + exaggerated,
                     "The measured face seen from above its front left corner, " + exaggerated + ". Highest point " +
                         scale.number(highest->deviation_mm) + ", lowest " + scale.number(lowest->deviation_mm) +
                         " hundredths of a millimetre from the middle of the minimum zone.");
}

}  // namespace headjoint::report
