#include "headjoint/assess/face_map.h"

#include <algorithm>
#include <cmath>

#include "headjoint/faces/surface.h"

namespace headjoint::assess {
namespace {

constexpr int kBands = 5;

joint::PlanPoint plan_point(const faces::OutlinePoint& point) { return {point.x_mm, point.y_mm}; }

/// Edges of bands of equal height from the farthest height below to the same above.
std::vector<double> band_edges(const std::vector<double>& heights_mm) {
  double half = 0;
  for (const double height : heights_mm) half = std::max(half, std::abs(height));
  std::vector<double> edges;
  for (int k = 0; k <= kBands; ++k) edges.push_back(-half + 2 * half * k / kBands);
  return edges;
}

FaceSection section_of(faces::Section&& section) {
  return {std::move(section.name), std::move(section.profile), section.straightness_mm, section.touch_from_mm,
          section.touch_to_mm,     section.largest_gap_mm,     section.gap_at_mm};
}

}  // namespace

std::vector<std::size_t> points_to_show(std::size_t count, const std::vector<std::size_t>& always) {
  std::vector<std::size_t> shown = always;
  const std::size_t stride = (count + kMostListed - 1) / kMostListed;
  for (std::size_t i = 0; i < count; i += std::max<std::size_t>(stride, 1)) shown.push_back(i);
  std::sort(shown.begin(), shown.end());
  shown.erase(std::unique(shown.begin(), shown.end()), shown.end());
  return shown;
}

FaceMap face_map(const faces::FacePoints& points, const std::vector<double>& heights_mm) {
  FaceMap map;
  const std::vector<faces::Triangle> triangles = faces::joined_by_triangles(points);
  const std::vector<double> edges = band_edges(heights_mm);
  if (triangles.empty()) return map;
  for (const faces::Triangle& t : triangles)
    map.triangles.push_back({static_cast<int>(t[0]), static_cast<int>(t[1]), static_cast<int>(t[2])});
  for (faces::Section& section : faces::usual_sections(points, triangles, heights_mm))
    map.sections.push_back(section_of(std::move(section)));
  if (!(edges.back() > 0)) return map;
  for (const faces::HeightBand& band : faces::height_bands(points, triangles, heights_mm, edges)) {
    MapBand drawn{band.low_mm, band.high_mm, band.area_mm2, {}};
    for (const faces::Patch& patch : band.patches) {
      drawn.patches.emplace_back();
      for (const faces::OutlinePoint& corner : patch) drawn.patches.back().push_back(plan_point(corner));
    }
    map.bands.push_back(std::move(drawn));
  }
  const std::vector<double> levels(edges.begin() + 1, edges.end() - 1);
  for (const faces::Contour& contour : faces::contours(points, triangles, heights_mm, levels)) {
    MapContour drawn{contour.level_mm, contour.is_closed, {}};
    for (const faces::OutlinePoint& corner : contour.line) drawn.line.push_back(plan_point(corner));
    map.contours.push_back(std::move(drawn));
  }
  return map;
}

}  // namespace headjoint::assess
