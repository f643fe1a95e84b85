#include <algorithm>
#include <array>
#include <cmath>

#include "headjoint/report/face_drawings.h"
#include "headjoint/report/internal/html_table.h"
#include "headjoint/report/internal/markup.h"
#include "headjoint/report/internal/svg.h"

namespace headjoint::report {
namespace {

using Anchor = Svg::Anchor;

constexpr double kWidth = 400;  // of the sheet
constexpr double kText = 13;
constexpr double kStrip = 44;  // height of one line's heights
constexpr double kLeading = 1.35;
constexpr Paint kEdge{"jp-dim", "none", paint::kInk, 1.6, 0};
constexpr Paint kProfile{"jp-coolant", "none", paint::kBlue, 1.4, 0};
constexpr Paint kGap{"jp-breach", "none", paint::kRust, 1.6, 0};
constexpr Paint kBar{"jp-bar", "none", paint::kBlue, 2.4, 0};
constexpr Paint kRest{"jp-facebore", paint::kPaper, paint::kInk, 0.9, 0};

/// Heights are drawn alike on all lines, so that they can be compared.
double scale_for(double most_mm) { return most_mm > 0 ? kStrip / most_mm : 1; }

std::string exaggeration_text(double scale_y, double scale_x) { return fixed(scale_y / scale_x, 0) + " x"; }

double longest_of(const assess::FaceMap& map) {
  double longest = 1;
  for (const assess::FaceSection& section : map.sections) longest = std::max(longest, section.profile.back().first);
  return longest;
}

/// Height of the resting edge at a distance along.
double edge_at(const assess::FaceSection& section, double along) {
  const auto height = [&](double at) {
    for (const auto& [where, z] : section.profile)
      if (where >= at - 1e-9) return z;
    return section.profile.back().second;
  };
  const double from = height(section.touch_from_mm);
  const double to = height(section.touch_to_mm);
  const double run = section.touch_to_mm - section.touch_from_mm;
  return from + (run > 0 ? (to - from) * (along - section.touch_from_mm) / run : 0);
}

double deepest_under_edge(const assess::FaceSection& section) {
  double most = 0;
  for (const auto& [along, z] : section.profile) most = std::max(most, std::abs(edge_at(section, along) - z));
  return most;
}

/// One section with the edge lying level. @returns where it ends
double draw_section(Svg& svg, const assess::FaceSection& section, double scale_x, double scale_y, double y) {
  svg.text({0, y}, section.name + ": out of straight by " + fixed(section.straightness_mm, 3) + " mm", kText, Anchor::kStart, "jp-legend");
  const double edge = y + kText;
  const auto spot = [&](double along, double z) { return Spot{along * scale_x, edge + (edge_at(section, along) - z) * scale_y}; };
  std::vector<Spot> profile;
  for (const auto& [along, z] : section.profile) profile.push_back(spot(along, z));
  svg.polyline(profile, kProfile);
  svg.polyline({{section.profile.front().first * scale_x, edge}, {section.profile.back().first * scale_x, edge}}, kEdge);
  for (const double at : {section.touch_from_mm, section.touch_to_mm}) svg.circle({at * scale_x, edge}, 2.2, kRest);
  if (section.largest_gap_mm > 0) {
    const Spot from{section.gap_at_mm * scale_x, edge};
    const Spot to{from.x, edge + section.largest_gap_mm * scale_y};
    svg.polyline({from, to}, kGap);
    const bool is_right = from.x > 0.7 * kWidth;
    svg.text({from.x + (is_right ? -4 : 4), std::max(to.y, edge + kText)}, fixed(section.largest_gap_mm, 3), kText,
             is_right ? Anchor::kEnd : Anchor::kStart, "jp-height", true);
  }
  return edge + std::max(deepest_under_edge(section) * scale_y, kText) + 1.6 * kText;
}

double most_of_lines(const assess::Straightedge& lines) {
  double most = 0;
  for (const assess::LineFigure& line : lines.lines)
    for (const assess::LineSpotFigure& spot : line.spots)
      if (spot.state == "measured")
        most = std::max({most, std::abs(spot.low_mm), std::isfinite(spot.high_mm) ? std::abs(spot.high_mm) : 0});
  return most;
}

std::string spot_text(const assess::LineSpotFigure& spot) {
  if (spot.state != "measured") return spot.state;
  return std::isfinite(spot.high_mm) ? fixed(spot.low_mm, 3) + "–" + fixed(spot.high_mm, 3) : fixed(spot.low_mm, 3) + " or more";
}

/// One line's edge with the interval at every spot. @returns where it ends
double draw_line(Svg& svg, const assess::LineFigure& line, double scale_x, double scale_y, bool is_gap, double y) {
  svg.text({0, y}, shortened(plain_text(line.name), 30) + ": " + line.bend, kText, Anchor::kStart, "jp-legend");
  const double edge = y + kText + (is_gap ? 0 : kStrip);
  svg.polyline({{0, edge}, {line.length_mm * scale_x, edge}}, kEdge);
  std::array<double, 2> row_end{-1e9, -1e9};  // figures stand in two rows where they are close
  double lowest = edge;
  for (const assess::LineSpotFigure& spot : line.spots) {
    const double x = (spot.along_mm - line.spots.front().along_mm) * scale_x;
    if (spot.state != "measured") {
      svg.text({x, edge + kText}, "?", kText, Anchor::kMiddle, "jp-note");
      continue;
    }
    const double sign = is_gap ? 1 : -1;
    const double low = edge + sign * spot.low_mm * scale_y;
    const double high = edge + sign * (std::isfinite(spot.high_mm) ? spot.high_mm : spot.low_mm + kStrip / scale_y) * scale_y;
    svg.polyline({{x, low}, {x, high}}, kBar);
    svg.polyline({{x - 3, low}, {x + 3, low}}, kProfile);
    if (std::isfinite(spot.high_mm)) svg.polyline({{x - 3, high}, {x + 3, high}}, kProfile);
    lowest = std::max({lowest, low, high});
    const std::string text = spot_text(spot);
    const double half = text_width(text, 0.85 * kText, false) / 2;
    const double middle = std::clamp(x, half, std::max(half, kWidth - half));
    const std::size_t row = middle - half >= row_end[0] ? 0 : 1;
    if (middle - half < row_end[row]) continue;
    row_end[row] = middle + half + 2;
    svg.text({middle, edge + kStrip + (row == 0 ? 1.1 : 2.1) * kText}, text, 0.85 * kText, Anchor::kMiddle, "jp-height");
  }
  return std::max(lowest, edge + kStrip) + 3.6 * kText;
}

}  // namespace

std::string sections_svg(const assess::FaceMap& map, const std::string& id_prefix) {
  if (map.sections.empty()) return {};
  double most = 0;
  for (const assess::FaceSection& section : map.sections) most = std::max(most, deepest_under_edge(section));
  const double scale_x = kWidth / longest_of(map);
  const double scale_y = scale_for(most);
  Svg svg(1);
  double y = kText;
  for (const assess::FaceSection& section : map.sections) y = draw_section(svg, section, scale_x, scale_y, y);
  svg.text({0, y}, "heights exaggerated " + exaggeration_text(scale_y, scale_x) + "; gaps in mm", kText, Anchor::kStart, "jp-legend", true);
  svg.text({0, y += kLeading * kText}, "heavy line: straightedge; rings: where it rests", kText, Anchor::kStart, "jp-legend");
  return svg.drawing({-6, -2}, kWidth + 12, y + kText, id_prefix, "A straightedge laid over the face",
                     std::to_string(map.sections.size()) +
                         " placements of a straightedge with the profile of the face under it, heights exaggerated " +
                         exaggeration_text(scale_y, scale_x) + ". The figures stand in the table.");
}

std::string sections_table_html(const assess::FaceMap& map) {
  HtmlTable table(
      "A straightedge laid over the face; between the points the face is taken as straight",
      {{"line"}, {"out of straight, mm", true}, {"largest gap, mm", true}, {"at, mm", true}, {"rests at, mm", true}, {"and at, mm", true}});
  for (const assess::FaceSection& section : map.sections)
    table.row({section.name, fixed(section.straightness_mm, 4), fixed(section.largest_gap_mm, 4), fixed(section.gap_at_mm, 0),
               fixed(section.touch_from_mm, 0), fixed(section.touch_to_mm, 0)});
  return table.html();
}

std::string measured_lines_svg(const assess::Straightedge& lines, const std::string& id_prefix) {
  if (lines.lines.empty()) return {};
  double longest = 1;
  for (const assess::LineFigure& line : lines.lines) longest = std::max(longest, line.length_mm);
  const double scale_x = kWidth / longest;
  const double scale_y = scale_for(most_of_lines(lines));
  const bool is_gap = lines.method != "tilts of a stepped foot";
  Svg svg(1);
  double y = kText;
  for (const assess::LineFigure& line : lines.lines) y = draw_line(svg, line, scale_x, scale_y, is_gap, y);
  svg.text({0, y}, "heights exaggerated " + exaggeration_text(scale_y, scale_x) + "; mm", kText, Anchor::kStart, "jp-legend", true);
  svg.text({0, y += kLeading * kText},
           is_gap ? "heavy line: straightedge; bars: where the face lies; ?: not measured"
                  : "heavy line: the first tilt; bars: where the face lies",
           kText, Anchor::kStart, "jp-legend");
  return svg.drawing({-6, -2}, kWidth + 12, y + kText, id_prefix, "Measured lines",
                     std::to_string(lines.lines.size()) + " lines with the interval of every reading, heights exaggerated " +
                         exaggeration_text(scale_y, scale_x) + ". The figures stand in the table.");
}

std::string measured_lines_table_html(const assess::Straightedge& lines) {
  HtmlTable table("Measured lines, millimetres",
                  {{"line"}, {"at", true}, {"gap or height", true}, {"line out of straight", true}, {"bend"}});
  for (const assess::LineFigure& line : lines.lines)
    for (const assess::LineSpotFigure& spot : line.spots)
      table.row({line.name, fixed(spot.along_mm, 0), spot_text(spot),
                 fixed(line.low_mm, 3) + "–" + (std::isfinite(line.high_mm) ? fixed(line.high_mm, 3) : std::string("no upper limit")),
                 line.bend});
  return table.html();
}

}  // namespace headjoint::report
