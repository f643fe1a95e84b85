#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <set>

#include "headjoint/base/text.h"
#include "headjoint/report/internal/deck_sheet.h"
#include "headjoint/report/internal/face_bands.h"
#include "headjoint/report/internal/markup.h"
#include "headjoint/report/internal/svg.h"
#include "headjoint/report/joint_plan.h"

namespace headjoint::report {
namespace {

using Anchor = Svg::Anchor;

constexpr double kNumberSize = 0.8;  // of the letter size
constexpr Paint kFrame{"jp-deck", paint::kPaper, paint::kInk, 0.8, 0};
constexpr Paint kFaceBore{"jp-facebore", paint::kPaper, paint::kSoft, 0.5, 1.4};
constexpr Paint kContour{"jp-contour", "none", paint::kSoft, 0.5, 0};
constexpr Paint kContact{"jp-contact", "none", paint::kInk, 0.9, 0};

/// Where the face lies on the drawing: the head's own plan, or a bare frame round the points.
struct FaceSheet {
  std::optional<PlacedHead> head;
  double left = 0, right = 0, low = 0, top = 0;  ///< plan coordinates, mm
  [[nodiscard]] Spot spot(double x, double y) const { return {x - left, top - y}; }
  [[nodiscard]] double width() const { return right - left; }
  [[nodiscard]] double height() const { return top - low; }
};

std::optional<PlacedHead> known_head(const joint::Engine& engine, const std::string& number) {
  const DeckSheet sheet = deck_sheet(engine, 0.03);
  for (const DeckRow& row : sheet.rows) {
    for (const PlacedHead& head : row.heads) {
      const bool asked = number.empty() || std::to_string(head.plan.head) == number;
      if (asked && !head.plan.assumed_outline && !head.plan.assumed_bores) return head;
    }
  }
  return std::nullopt;
}

FaceSheet face_sheet(const joint::Engine& engine, const assess::Flatness& face) {
  FaceSheet sheet{known_head(engine, face.head), HUGE_VAL, -HUGE_VAL, HUGE_VAL, -HUGE_VAL};
  const auto include = [&](double x, double y) {
    if (!std::isfinite(x) || !std::isfinite(y)) return;
    sheet.left = std::min(sheet.left, x);
    sheet.right = std::max(sheet.right, x);
    sheet.low = std::min(sheet.low, y);
    sheet.top = std::max(sheet.top, y);
  };
  for (const assess::FacePoint& point : face.face) include(point.x_mm, point.y_mm);
  if (!(sheet.left <= sheet.right)) include(0, 0);
  const double frame = 0.06 * std::max({sheet.width(), sheet.height(), 20.0});
  sheet.left -= frame;
  sheet.right += frame;
  sheet.low -= frame;
  sheet.top += frame;
  if (sheet.head) {
    include(sheet.head->least_x, sheet.head->least_y);
    include(sheet.head->most_x, sheet.head->most_y);
  }
  return sheet;
}

void draw_face_outline(Svg& svg, const FaceSheet& sheet) {
  if (!sheet.head) return svg.rectangle({0, 0}, sheet.width(), sheet.height(), 0, kFrame);
  std::vector<Spot> outline;
  for (const joint::PlanPoint& corner : sheet.head->plan.outline) outline.push_back(sheet.spot(corner.x_mm, corner.y_mm));
  svg.polygon(outline, kFrame);
}

/// Bores lie over the bands: there is no face inside them.
void draw_bores(Svg& svg, const FaceSheet& sheet) {
  if (!sheet.head) return;
  for (const joint::PlanBore& bore : sheet.head->plan.bores) {
    const Spot at = sheet.spot(bore.centre.x_mm, bore.centre.y_mm);
    const double letter = 0.5 * bore.radius_mm;
    svg.circle(at, bore.radius_mm, kFaceBore);
    svg.text({at.x, at.y + 0.36 * letter}, std::to_string(bore.number), letter, Anchor::kMiddle, "jp-number", false, paint::kSoft);
  }
}

/// Filled bands under everything else.
void draw_bands(Svg& svg, const FaceSheet& sheet, const assess::FaceMap& map, const HeightScale& scale) {
  svg.open_group("jp-bands");
  for (const assess::MapBand& band : map.bands) {
    const Paint& fill = band_fill(scale.band((band.low_mm + band.high_mm) / 2), false);
    for (const auto& patch : band.patches) {
      std::vector<Spot> corners;
      for (const joint::PlanPoint& corner : patch) corners.push_back(sheet.spot(corner.x_mm, corner.y_mm));
      svg.polygon(corners, fill);
    }
  }
  svg.close_group();
}

void draw_contours(Svg& svg, const FaceSheet& sheet, const assess::FaceMap& map) {
  for (const assess::MapContour& contour : map.contours) {
    std::vector<Spot> line;
    for (const joint::PlanPoint& corner : contour.line) line.push_back(sheet.spot(corner.x_mm, corner.y_mm));
    svg.polyline(line, kContour);
  }
}

struct Box {
  double left, top, right, bottom;
};

bool overlap(const Box& a, const Box& b) { return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom; }

/// Writes numbers where they fit: under, over, right or left of their markers, contact points first.
class NumberPlacer {
 public:
  NumberPlacer(double size, double clearance, Box frame) : size_(size), clearance_(clearance), frame_(frame) {}

  void keep_clear(Spot at, double radius) { taken_.push_back({at.x - radius, at.y - radius, at.x + radius, at.y + radius}); }

  /// Whether a text fits with its middle here; its room is taken then.
  bool take(const Spot& middle, std::string_view text, double size) {
    const double half = text_width(text, size, false) / 2;
    const Box box{middle.x - half, middle.y - size / 2, middle.x + half, middle.y + size / 2};
    if (!is_free(box)) return false;
    taken_.push_back(box);
    return true;
  }

  std::optional<Spot> place(Spot at, std::string_view text, bool bold) {
    const double half = text_width(text, size_, bold) / 2;
    const double away = clearance_ + size_ * 0.6;
    const std::array<Spot, 4> middles = {Spot{at.x, at.y + away}, Spot{at.x, at.y - away}, Spot{at.x + clearance_ + half, at.y},
                                         Spot{at.x - clearance_ - half, at.y}};
    for (const Spot& middle : middles) {
      const Box box{middle.x - half, middle.y - size_ / 2, middle.x + half, middle.y + size_ / 2};
      if (!is_free(box)) continue;
      taken_.push_back(box);
      return Spot{middle.x, middle.y + 0.36 * size_};
    }
    return std::nullopt;
  }

 private:
  [[nodiscard]] bool is_free(const Box& box) const {
    const bool inside = box.left >= frame_.left && box.right <= frame_.right && box.top >= frame_.top && box.bottom <= frame_.bottom;
    return inside && std::none_of(taken_.begin(), taken_.end(), [&](const Box& other) { return overlap(box, other); });
  }

  double size_;
  double clearance_;
  Box frame_;
  std::vector<Box> taken_;
};

double least_spacing(const std::vector<assess::FacePoint>& points) {
  double least = HUGE_VAL;
  const std::size_t looked_at = std::min<std::size_t>(points.size(), 400);
  for (std::size_t i = 0; i < looked_at; ++i) {
    for (std::size_t j = i + 1; j < looked_at; ++j) {
      const double apart = std::hypot(points[i].x_mm - points[j].x_mm, points[i].y_mm - points[j].y_mm);
      if (apart > 0) least = std::min(least, apart);
    }
  }
  return least;
}

std::set<int> contact_numbers(const assess::Flatness& face) {
  std::set<int> out(face.upper_points.begin(), face.upper_points.end());
  out.insert(face.lower_points.begin(), face.lower_points.end());
  return out;
}

bool is_in_bore(const FaceSheet& sheet, const Spot& at) {
  if (!sheet.head) return false;
  return std::any_of(sheet.head->plan.bores.begin(), sheet.head->plan.bores.end(), [&](const joint::PlanBore& bore) {
    const Spot centre = sheet.spot(bore.centre.x_mm, bore.centre.y_mm);
    return std::hypot(at.x - centre.x, at.y - centre.y) < bore.radius_mm;
  });
}

/// Each contour's height once, where there is room on its line.
void number_contours(Svg& svg, const FaceSheet& sheet, const assess::FaceMap& map, const HeightScale& scale, double size,
                     NumberPlacer& placer) {
  for (const assess::MapContour& contour : map.contours) {
    const std::string text = scale.number(contour.level_mm);
    for (std::size_t i = 1; i < contour.line.size(); ++i) {
      const joint::PlanPoint& a = contour.line[i - 1];
      const joint::PlanPoint& b = contour.line[i];
      const Spot middle = sheet.spot((a.x_mm + b.x_mm) / 2, (a.y_mm + b.y_mm) / 2);
      if (is_in_bore(sheet, middle) || !placer.take(middle, text, size)) continue;
      const double half = text_width(text, size, false) / 2;
      svg.rectangle({middle.x - half, middle.y - 0.55 * size}, 2 * half, 1.1 * size, 0, paint::kTagBack);
      svg.text({middle.x, middle.y + 0.36 * size}, text, size, Anchor::kMiddle, "jp-dimtext", false, paint::kSoft);
      break;
    }
  }
}

void draw_points(Svg& svg, const FaceSheet& sheet, const assess::Flatness& face, const HeightScale& scale, double size) {
  const double marker = std::min(0.36 * size, 0.32 * least_spacing(face.face));
  const double number_size = kNumberSize * size;
  NumberPlacer placer(number_size, 1.7 * marker, {0.2 * size, 0.2 * size, sheet.width() - 0.2 * size, sheet.height() - 0.2 * size});
  const std::set<int> contacts = contact_numbers(face);
  std::vector<std::size_t> order;
  for (const bool contact_first : {true, false}) {
    for (std::size_t i = 0; i < face.face.size(); ++i) {
      if (contacts.contains(static_cast<int>(i) + 1) == contact_first) order.push_back(i);
    }
  }
  for (const std::size_t i : order) placer.keep_clear(sheet.spot(face.face[i].x_mm, face.face[i].y_mm), marker);
  for (const std::size_t i : order) {
    const assess::FacePoint& point = face.face[i];
    const Spot at = sheet.spot(point.x_mm, point.y_mm);
    const bool is_contact = contacts.contains(static_cast<int>(i) + 1);
    draw_marker(svg, at, marker, scale.band(point.deviation_mm));
    if (is_contact) svg.circle(at, 1.6 * marker, kContact);
    const std::string text = scale.number(point.deviation_mm);
    if (const auto base = placer.place(at, text, is_contact)) svg.text(*base, text, number_size, Anchor::kMiddle, "jp-height", is_contact);
  }
  number_contours(svg, sheet, face.map, scale, kNumberSize * number_size, placer);
}

/// Legend under the face. @returns where it ends
double draw_legend(Svg& svg, const HeightScale& scale, const assess::Flatness& face, double width, double y, double size) {
  const double left = 0;
  double x = left;
  for (int band = kBands - 1; band >= 0; --band) {
    const std::string text = scale.band_text(band);
    const double need = 1.6 * size + text_width(text, size, false) + size;
    if (x > left && x + need > width) {
      x = left;
      y += 1.5 * size;
    }
    draw_marker(svg, {x + 0.5 * size, y - 0.33 * size}, 0.36 * size, band);
    svg.text({x + 1.3 * size, y}, text, size, Anchor::kStart, "jp-legend");
    x += need;
  }
  const auto line = [&](const std::string& text) {
    y += 1.5 * size;
    svg.text({left, y}, text, size, Anchor::kStart, "jp-legend");
  };
  line("1/100 mm from the middle of the zone");
  line("highest " + scale.number(scale.highest()) + ", lowest " + scale.number(scale.lowest()));
  if (!face.map.contours.empty()) line("small numbers on lines: contours");
  if (!contact_numbers(face).empty()) line("ringed: touches a plane of the zone");
  return y;
}

std::string face_title(const joint::Engine& engine, const assess::Flatness& face) {
  std::string title = "Measured " + (face.part.empty() ? std::string("face") : face.part + " face");
  if (!face.head.empty()) title += ", head " + face.head;
  if (!engine.name.empty()) title += ", " + engine.name;
  return title;
}

std::string face_description(const assess::Flatness& face, const HeightScale& scale) {
  return std::to_string(face.face.size()) +
         " measured points seen from above, front of the engine at the left. Heights from the middle of the minimum zone: lowest " +
         scale.number(scale.lowest()) + ", highest " + scale.number(scale.highest()) + " hundredths of a millimetre. Flatness deviation " +
         fixed(face.minimum_zone_FLTt_mm, 4) + " mm.";
}

}  // namespace

std::string face_plan_svg(const joint::Engine& engine, const assess::Flatness& face, const PlanOptions& options) {
  const FaceSheet sheet = face_sheet(engine, face);
  const double margin = std::max(0.03 * sheet.width(), 0.35 * (1.5 * sheet.height() - sheet.width()));
  const double full = sheet.width() + 2 * margin;
  const double size = options.text_share * full;
  const HeightScale scale(face.face);
  Svg svg(full / 458);
  draw_face_outline(svg, sheet);
  draw_bands(svg, sheet, face.map, scale);
  draw_contours(svg, sheet, face.map);
  draw_bores(svg, sheet);
  draw_points(svg, sheet, face, scale, size);
  double y = sheet.height() + 1.8 * size;
  svg.text({sheet.width() / 2, y}, "front at left", 0.9 * size, Anchor::kMiddle, "jp-dimtext", false, paint::kSoft);
  y = draw_legend(svg, scale, face, sheet.width() + margin, y + 1.8 * size, size);
  return svg.drawing({-margin, -0.6 * size}, full, y + 1.4 * size, options.id_prefix, face_title(engine, face),
                     face_description(face, scale));
}

}  // namespace headjoint::report
