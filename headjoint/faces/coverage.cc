#include "headjoint/faces/coverage.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "headjoint/base/error.h"
#include "headjoint/base/text.h"
#include "headjoint/faces/internal/convex_hull.h"

namespace headjoint::faces {
namespace {

using internal::Vector2;

constexpr double kMillimetre = 1e-3;
constexpr double kSameLine = 1e-3;             // of the extent: points this near count as one row or column
constexpr double kFilledGrid = 0.6;            // share of crossings of rows and columns that hold a point
constexpr double kFewLines = 0.34;             // lines per point below which points lie on lines
constexpr std::size_t kJudgedPoints = 20'000;  // enough to judge a pattern roughly
constexpr int kRaster = 40;                    // cells along the longer side when looking for gaps

/// Every so many-th value, so that no more than kJudgedPoints remain.
std::vector<double> thinned(const std::vector<double>& values) {
  const std::size_t stride = values.size() / kJudgedPoints + 1;
  std::vector<double> kept;
  for (std::size_t i = 0; i < values.size(); i += stride) kept.push_back(values[i]);
  return kept;
}

/// How many different values there are, values nearer than `same` counting as one.
std::size_t distinct(std::vector<double> values, double same) {
  std::sort(values.begin(), values.end());
  std::size_t count = 0;
  double last = -std::numeric_limits<double>::infinity();
  for (const double v : values) {
    if (v - last > same) ++count;
    last = v;
  }
  return count;
}

struct Box {
  double low_x = 0, high_x = 0, low_y = 0, high_y = 0;
  [[nodiscard]] double longer() const { return std::max(high_x - low_x, high_y - low_y); }
};

Box box_of(const FacePoints& points) {
  const auto [low_x, high_x] = std::minmax_element(points.x_mm.begin(), points.x_mm.end());
  const auto [low_y, high_y] = std::minmax_element(points.y_mm.begin(), points.y_mm.end());
  return {*low_x, *high_x, *low_y, *high_y};
}

Pattern pattern_of(const FacePoints& points, const Box& box) {
  const double same = kSameLine * box.longer();
  const std::vector<double> x = thinned(points.x_mm);
  const auto columns = static_cast<double>(distinct(x, same));
  const auto rows = static_cast<double>(distinct(thinned(points.y_mm), same));
  const auto count = static_cast<double>(x.size());
  if (columns > 1 && rows > 1 && static_cast<double>(points.size()) >= kFilledGrid * rows * columns) return Pattern::kGrid;
  if (std::min(columns, rows) <= kFewLines * count) return Pattern::kLines;
  return Pattern::kScattered;
}

bool is_inside(const std::vector<Vector2>& hull, const Vector2& p) {
  for (std::size_t i = 0; i < hull.size(); ++i) {
    const Vector2& a = hull[i];
    const Vector2& b = hull[(i + 1) % hull.size()];
    if ((b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]) < 0) return false;
  }
  return true;
}

/// Centres of the cells of a raster over the hull, and one point per cell that has any: enough to find gaps to within a cell.
struct Raster {
  std::vector<Vector2> centres;
  std::vector<Vector2> occupied;
};

Raster raster_of(const FacePoints& points, const Box& box, const std::vector<Vector2>& hull) {
  const double cell = box.longer() / kRaster;
  const auto index = [cell](double from, double v) { return static_cast<std::size_t>(std::clamp((v - from) / cell, 0.0, kRaster - 1.0)); };
  std::vector<char> seen(static_cast<std::size_t>(kRaster) * kRaster, 0);
  Raster raster;
  for (std::size_t i = 0; i < points.size(); ++i) {
    char& is_seen = seen[index(box.low_y, points.y_mm[i]) * kRaster + index(box.low_x, points.x_mm[i])];
    if (is_seen == 0) raster.occupied.push_back({points.x_mm[i], points.y_mm[i]});
    is_seen = 1;
  }
  for (std::size_t row = 0; row < kRaster; ++row) {
    for (std::size_t column = 0; column < kRaster; ++column) {
      const Vector2 centre{box.low_x + (static_cast<double>(column) + 0.5) * cell, box.low_y + (static_cast<double>(row) + 0.5) * cell};
      if (is_inside(hull, centre)) raster.centres.push_back(centre);
    }
  }
  return raster;
}

double largest_gap_mm(const Raster& raster) {
  double largest = 0;
  for (const Vector2& centre : raster.centres) {
    double nearest = std::numeric_limits<double>::infinity();
    for (const Vector2& p : raster.occupied) {
      const double dx = p[0] - centre[0];
      const double dy = p[1] - centre[1];
      nearest = std::min(nearest, dx * dx + dy * dy);
    }
    largest = std::max(largest, nearest);
  }
  return 2 * std::sqrt(largest);
}

double area_of(std::span<const OutlinePoint> outline) {
  std::vector<Vector2> corners;
  for (const OutlinePoint& corner : outline) {
    if (!std::isfinite(corner.x_mm) || !std::isfinite(corner.y_mm)) throw InputError("outline", "a corner is not a number");
    corners.push_back({corner.x_mm, corner.y_mm});
  }
  const double area = std::abs(internal::signed_area(corners));
  if (!(area > 0)) throw InputError("outline", "encloses no area");
  return area;
}

void add_warning(Coverage& coverage, std::string what, std::string mend) {
  coverage.warnings.push_back({{}, std::move(what), {}, std::move(mend), Problem::Severity::kWarning});
}

void hold_against_outline(Coverage& coverage, double area_mm2, double outline_mm2) {
  coverage.outline_share = std::min(1.0, area_mm2 / outline_mm2);
  if (coverage.outline_share < kEnoughOfTheFace)
    add_warning(coverage, "the points cover " + number_text(100 * coverage.outline_share, 2) + " % of the face",
                "measure out to the edges: what lies outside the points has not been seen");
}

}  // namespace

std::string pattern_text(Pattern pattern) {
  switch (pattern) {
    case Pattern::kGrid:
      return "rows and columns";
    case Pattern::kLines:
      return "lines";
    case Pattern::kScattered:
      break;
  }
  return "scattered";
}

Coverage coverage_of(const FacePoints& points, std::span<const OutlinePoint> outline) {
  const double outline_mm2 = outline.empty() ? 0 : area_of(outline);
  Coverage coverage;
  coverage.points = points.size();
  coverage.unmeasured = points.unmeasured.size();
  double area_mm2 = 0;
  if (points.size() > 0) {
    const Box box = box_of(points);
    std::vector<Vector2> places;
    places.reserve(points.size());
    for (std::size_t i = 0; i < points.size(); ++i) places.push_back({points.x_mm[i], points.y_mm[i]});
    const std::vector<Vector2> hull = internal::convex_hull(std::move(places));
    area_mm2 = internal::signed_area(hull);
    coverage.length = Length::from_si(box.longer() * kMillimetre);
    coverage.width = Length::from_si(std::min(box.high_x - box.low_x, box.high_y - box.low_y) * kMillimetre);
    coverage.area = Area::from_si(area_mm2 * kMillimetre * kMillimetre);
    coverage.pattern = pattern_of(points, box);
    if (hull.size() > 2) coverage.largest_gap = Length::from_si(largest_gap_mm(raster_of(points, box, hull)) * kMillimetre);
  }
  if (!outline.empty()) hold_against_outline(coverage, area_mm2, outline_mm2);
  if (coverage.unmeasured > 0)
    add_warning(coverage, std::to_string(coverage.unmeasured) + " places of the pattern were not measured",
                "what lies there has not been seen");
  return coverage;
}

}  // namespace headjoint::faces
