#include "headjoint/report/internal/face_views.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "headjoint/report/internal/face_bands.h"
#include "headjoint/report/internal/html_table.h"
#include "headjoint/report/internal/markup.h"
#include "headjoint/report/internal/svg.h"

namespace headjoint::report {
namespace {

using Anchor = Svg::Anchor;

constexpr double kWidth = 180;    // mm of the sheet
constexpr double kRelief = 0.14;  // height of the relief as a share of the width
constexpr double kSlope = 0.5;    // how far a millimetre of depth moves up the sheet
constexpr double kLean = 0.35;    // and to the right
constexpr double kLetter = 5;
constexpr double kStrip = 26;  // height of one section's strip
constexpr double kUnit = 0.45;
constexpr Paint kEdge{"jp-edge", "none", paint::kInk, 1.4, 0};
constexpr Paint kProfile{"jp-profile", "none", paint::kBlue, 1.1, 0};
constexpr Paint kGap{"jp-gap", "none", paint::kRust, 1.1, 1.2};
constexpr Paint kRest{"jp-rest", paint::kInk, "none", 0, 0};
constexpr Paint kBase{"jp-base", "none", paint::kSoft, 0.6, 2};

/// The largest of 1, 2, 5, 10, 20 ... that is not above `most`.
double round_down(double most) {
  if (!(most > 1)) return 1;
  const double decade = std::pow(10, std::floor(std::log10(most)));
  for (const double step : {5.0, 2.0})
    if (step * decade <= most) return step * decade;
  return decade;
}

/// Where a point of the face lies in the relief.
class Relief {
 public:
  explicit Relief(const assess::Flatness& face) : scale_(face.face) {
    for (const assess::FacePoint& point : face.face) {
      least_x_ = std::min(least_x_, point.x_mm);
      most_x_ = std::max(most_x_, point.x_mm);
      least_y_ = std::min(least_y_, point.y_mm);
      most_y_ = std::max(most_y_, point.y_mm);
    }
    const double across = (most_x_ - least_x_) + kLean * (most_y_ - least_y_);
    per_mm_ = kWidth / std::max(across, 1e-9);
    const double range = std::max(scale_.highest() - scale_.lowest(), 1e-9);
    exaggeration_ = round_down(kRelief * kWidth / (range * per_mm_));
  }

  [[nodiscard]] double exaggeration() const { return exaggeration_; }
  [[nodiscard]] const HeightScale& scale() const { return scale_; }
  [[nodiscard]] double height() const { return kSlope * (most_y_ - least_y_) * per_mm_ + kRelief * kWidth; }
  [[nodiscard]] Spot spot(double x, double y, double z) const {
    const double up = kSlope * (y - least_y_) * per_mm_ + (z - scale_.lowest()) * exaggeration_ * per_mm_;
    return {((x - least_x_) + kLean * (y - least_y_)) * per_mm_, height() - up};
  }
  [[nodiscard]] std::vector<Spot> floor() const {
    const double low = scale_.lowest();
    return {spot(least_x_, least_y_, low), spot(most_x_, least_y_, low), spot(most_x_, most_y_, low), spot(least_x_, most_y_, low),
            spot(least_x_, least_y_, low)};
  }

 private:
  HeightScale scale_;
  double least_x_ = HUGE_VAL, most_x_ = -HUGE_VAL, least_y_ = HUGE_VAL, most_y_ = -HUGE_VAL;
  double per_mm_ = 1;
  double exaggeration_ = 1;
};

/// Triangles, the farthest first.
std::vector<std::array<int, 3>> painters_order(const assess::Flatness& face) {
  std::vector<std::array<int, 3>> order = face.map.triangles;
  const auto depth = [&](const std::array<int, 3>& corners) {
    double sum = 0;
    for (const int corner : corners) sum += face.face[static_cast<std::size_t>(corner)].y_mm;
    return sum;
  };
  std::stable_sort(order.begin(), order.end(), [&](const auto& a, const auto& b) { return depth(a) > depth(b); });
  return order;
}

std::pair<double, double> reach(const assess::FaceSection& section) {
  double low = HUGE_VAL, high = -HUGE_VAL;
  for (const auto& [along, height] : section.profile) {
    low = std::min(low, height);
    high = std::max(high, height);
  }
  return {low, high};
}

double height_at(const assess::FaceSection& section, double along) {
  const auto& line = section.profile;
  for (std::size_t i = 1; i < line.size(); ++i) {
    if (along > line[i].first) continue;
    const double span = line[i].first - line[i - 1].first;
    const double share = span > 0 ? (along - line[i - 1].first) / span : 0;
    return line[i - 1].second + share * (line[i].second - line[i - 1].second);
  }
  return line.empty() ? 0 : line.back().second;
}

/// One section in its strip, heights to the scale that all strips share.
class Strip {
 public:
  Strip(const assess::FaceSection& section, double top, double per_mm, double lift)
      : section_(section), top_(top), per_mm_(per_mm), lift_(lift) {}

  void draw(Svg& svg) const {
    svg.text({0, top_ + kLetter}, section_.name, kLetter, Anchor::kStart, "jp-legend", true);
    svg.text({kWidth, top_ + kLetter}, "largest gap " + fixed(section_.largest_gap_mm, 3) + " mm", kLetter, Anchor::kEnd, "jp-legend");
    std::vector<Spot> profile;
    for (const auto& [along, height] : section_.profile) profile.push_back(spot(along, height));
    svg.polyline(profile, kProfile);
    const double length = section_.profile.empty() ? 0 : section_.profile.back().first;
    svg.polyline({spot(0, edge(0)), spot(length, edge(length))}, kEdge);
    for (const double at : {section_.touch_from_mm, section_.touch_to_mm}) svg.circle(spot(at, height_at(section_, at)), 1.2, kRest);
    if (section_.largest_gap_mm > 0)
      svg.polyline({spot(section_.gap_at_mm, edge(section_.gap_at_mm)), spot(section_.gap_at_mm, height_at(section_, section_.gap_at_mm))},
                   kGap);
  }

 private:
  [[nodiscard]] Spot spot(double along, double height) const {
    const double high = std::max(reach(section_).second, std::max(edge(0), edge(section_.profile.back().first)));
    return {along * per_mm_, top_ + 1.6 * kLetter + (high - height) * lift_};
  }
  /// Height of the straightedge: the line through the two places where it rests.
  [[nodiscard]] double edge(double along) const {
    const double from = height_at(section_, section_.touch_from_mm), to = height_at(section_, section_.touch_to_mm);
    const double span = section_.touch_to_mm - section_.touch_from_mm;
    return span > 0 ? from + (along - section_.touch_from_mm) / span * (to - from) : from;
  }

  const assess::FaceSection& section_;
  double top_, per_mm_, lift_;
};

}  // namespace

std::string face_relief_svg(const assess::Flatness& face, const std::string& id_prefix) {
  if (face.map.triangles.empty()) return {};
  const Relief relief(face);
  Svg svg(kUnit);
  svg.polyline(relief.floor(), kBase);
  for (const std::array<int, 3>& corners : painters_order(face)) {
    std::vector<Spot> spots;
    double mean = 0;
    for (const int corner : corners) {
      const assess::FacePoint& point = face.face[static_cast<std::size_t>(corner)];
      spots.push_back(relief.spot(point.x_mm, point.y_mm, point.deviation_mm));
      mean += point.deviation_mm / 3;
    }
    Paint paint = band_fill(relief.scale().band(mean));
    paint.stroke = paint::kSoft;
    paint.width = 0.4;
    svg.polygon(spots, paint);
  }
  const std::string title = "Heights exaggerated " + fixed(relief.exaggeration(), 0) + " x";
  double y = relief.height() + 2 * kLetter;
  svg.text({0, y}, title + "; dashed: the lowest plane; front of the engine at the left", kLetter, Anchor::kStart, "jp-legend");
  return svg.drawing({-4, -4}, kWidth + 8, y + kLetter + 4, id_prefix, title,
                     "The face from the front left above: highest " + relief.scale().number(relief.scale().highest()) + ", lowest " +
                         relief.scale().number(relief.scale().lowest()) + " hundredths of a millimetre from the middle of the zone.");
}

std::string face_sections_svg(const std::vector<assess::FaceSection>& sections, const std::string& id_prefix) {
  double longest = 0, widest = 1e-9;
  for (const assess::FaceSection& section : sections) {
    if (section.profile.size() < 2) continue;
    const auto [low, high] = reach(section);
    longest = std::max(longest, section.profile.back().first);
    widest = std::max({widest, high - low, section.largest_gap_mm});
  }
  if (!(longest > 0)) return {};
  const double per_mm = kWidth / longest;
  const double exaggeration = round_down((kStrip - 2.6 * kLetter) / widest / per_mm);
  Svg svg(kUnit);
  double top = 0;
  for (const assess::FaceSection& section : sections) {
    if (section.profile.size() < 2) continue;
    Strip(section, top, per_mm, exaggeration * per_mm).draw(svg);
    top += kStrip;
  }
  const std::string title = "The straightedge on the face, heights exaggerated " + fixed(exaggeration, 0) + " x";
  svg.text({0, top + kLetter}, title, kLetter, Anchor::kStart, "jp-legend");
  return svg.drawing({-4, -4}, kWidth + 8, top + 2 * kLetter + 4, id_prefix, title,
                     "Each strip is one line over the face: the straightedge as a thick line resting on two dots, the largest gap dashed.");
}

std::string face_sections_table_html(const std::vector<assess::FaceSection>& sections) {
  HtmlTable table("A straightedge laid over the points, lengths in mm",
                  {{"line"}, {"straightness", true}, {"largest gap", true}, {"at", true}, {"edge rests at", true}});
  for (const assess::FaceSection& one : sections)
    table.row({one.name, fixed(one.straightness_mm, 3), fixed(one.largest_gap_mm, 3), fixed(one.gap_at_mm, 0),
               fixed(one.touch_from_mm, 0) + " and " + fixed(one.touch_to_mm, 0)});
  return table.html();
}

}  // namespace headjoint::report
