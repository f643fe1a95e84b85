#include "headjoint/faces/surface.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <optional>
#include <set>

#include "headjoint/base/error.h"
#include "headjoint/faces/internal/triangulation.h"

namespace headjoint::faces {
namespace {

/// A corner with its height.
struct Corner {
  double x = 0;
  double y = 0;
  double height = 0;
};
using Polygon = std::vector<Corner>;

void check_heights(const FacePoints& points, const std::vector<double>& heights_mm) {
  if (heights_mm.size() != points.size()) throw InputError("heights", "there must be one per point");
}

void check_levels(const std::vector<double>& levels_mm) {
  if (!std::is_sorted(levels_mm.begin(), levels_mm.end())) throw InputError("levels", "must rise");
}

Polygon polygon_of(const FacePoints& points, const Triangle& triangle, const std::vector<double>& heights_mm) {
  Polygon polygon;
  for (const std::size_t i : triangle) polygon.push_back({points.x_mm[i], points.y_mm[i], heights_mm[i]});
  return polygon;
}

Corner between(const Corner& a, const Corner& b, double level) {
  const double share = (level - a.height) / (b.height - a.height);
  return {a.x + share * (b.x - a.x), a.y + share * (b.y - a.y), level};
}

/// The part at or over a level (sign 1) or at or under it (sign -1).
Polygon clipped(const Polygon& polygon, double level, double sign) {
  Polygon kept;
  for (std::size_t i = 0; i < polygon.size(); ++i) {
    const Corner& here = polygon[i];
    const Corner& next = polygon[(i + 1) % polygon.size()];
    const double over_here = sign * (here.height - level);
    const double over_next = sign * (next.height - level);
    if (over_here >= 0) kept.push_back(here);
    if ((over_here > 0 && over_next < 0) || (over_here < 0 && over_next > 0)) kept.push_back(between(here, next, level));
  }
  return kept;
}

double area_of(const Polygon& polygon) {
  double twice = 0;
  for (std::size_t i = 0; i + 1 < polygon.size(); ++i)
    twice += (polygon[i].x - polygon[0].x) * (polygon[i + 1].y - polygon[0].y) -
             (polygon[i + 1].x - polygon[0].x) * (polygon[i].y - polygon[0].y);
  return std::abs(twice) / 2;
}

/// A crossing of a level with the side between two points, the smaller number first.
using Side = std::pair<std::size_t, std::size_t>;

struct Segment {
  Side from;
  Side to;
};

OutlinePoint on_side(const FacePoints& points, const std::vector<double>& heights_mm, const Side& side, double level) {
  const auto& [a, b] = side;
  const Corner at = between({points.x_mm[a], points.y_mm[a], heights_mm[a]}, {points.x_mm[b], points.y_mm[b], heights_mm[b]}, level);
  return {at.x, at.y};
}

/// Crossings of one triangle; a corner on the level counts as over it, so that every line enters and leaves by sides.
std::optional<Segment> segment_in(const Triangle& triangle, const std::vector<double>& heights_mm, double level) {
  std::vector<Side> sides;
  for (std::size_t k = 0; k < 3; ++k) {
    const std::size_t a = triangle[k];
    const std::size_t b = triangle[(k + 1) % 3];
    if ((heights_mm[a] >= level) != (heights_mm[b] >= level)) sides.emplace_back(std::min(a, b), std::max(a, b));
  }
  if (sides.size() != 2) return std::nullopt;
  return Segment{sides[0], sides[1]};
}

double length_of(const std::vector<OutlinePoint>& line) {
  double length = 0;
  for (std::size_t i = 1; i < line.size(); ++i) length += std::hypot(line[i].x_mm - line[i - 1].x_mm, line[i].y_mm - line[i - 1].y_mm);
  return length;
}

/// Chains segments over the sides they share.
class Chains {
 public:
  explicit Chains(const std::vector<Segment>& segments) : segments_(segments), is_used_(segments.size(), false) {
    for (std::size_t i = 0; i < segments.size(); ++i) {
      at_[segments[i].from].push_back(i);
      at_[segments[i].to].push_back(i);
    }
  }

  /// The next chain of sides; empty when all segments are used.
  std::vector<Side> next() {
    while (first_ < segments_.size() && is_used_[first_]) ++first_;
    if (first_ == segments_.size()) return {};
    is_used_[first_] = true;
    std::vector<Side> chain{segments_[first_].from, segments_[first_].to};
    extend(chain);
    if (chain.front() == chain.back()) return chain;
    std::reverse(chain.begin(), chain.end());
    extend(chain);
    return chain;
  }

 private:
  void extend(std::vector<Side>& chain) {
    for (bool grown = true; grown && chain.front() != chain.back();) {
      grown = false;
      for (const std::size_t i : at_[chain.back()]) {
        if (is_used_[i]) continue;
        is_used_[i] = true;
        chain.push_back(segments_[i].from == chain.back() ? segments_[i].to : segments_[i].from);
        grown = true;
        break;
      }
    }
  }

  const std::vector<Segment>& segments_;
  std::vector<bool> is_used_;
  std::map<Side, std::vector<std::size_t>> at_;
  std::size_t first_ = 0;
};

/// Groups of points joined by sides.
class Groups {
 public:
  explicit Groups(std::size_t count) : parent_(count) { std::iota(parent_.begin(), parent_.end(), 0U); }
  std::size_t of(std::size_t i) {
    while (parent_[i] != i) i = parent_[i] = parent_[parent_[i]];
    return i;
  }
  void join(std::size_t a, std::size_t b) { parent_[of(a)] = of(b); }

 private:
  std::vector<std::size_t> parent_;
};

}  // namespace

std::vector<Triangle> joined_by_triangles(const FacePoints& points) {
  if (points.size() > kMostJoined) throw InputError("points", "more than 20 000: thin them first");
  std::vector<internal::Vector2> places;
  std::vector<std::size_t> number;
  std::set<internal::Vector2> seen;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const internal::Vector2 place{points.x_mm[i], points.y_mm[i]};
    if (!std::isfinite(place[0]) || !std::isfinite(place[1])) throw InputError("points", "a coordinate is not a number");
    if (!seen.insert(place).second) continue;
    places.push_back(place);
    number.push_back(i);
  }
  std::vector<Triangle> triangles = internal::delaunay(places);
  for (Triangle& triangle : triangles)
    for (std::size_t& corner : triangle) corner = number[corner];
  return triangles;
}

std::vector<HeightBand> height_bands(const FacePoints& points, const std::vector<Triangle>& triangles,
                                     const std::vector<double>& heights_mm, const std::vector<double>& levels_mm) {
  check_heights(points, heights_mm);
  check_levels(levels_mm);
  std::vector<HeightBand> bands;
  for (std::size_t b = 0; b + 1 < levels_mm.size(); ++b) {
    HeightBand band{levels_mm[b], levels_mm[b + 1], {}, 0};
    for (const Triangle& triangle : triangles) {
      const Polygon part = clipped(clipped(polygon_of(points, triangle, heights_mm), band.low_mm, 1), band.high_mm, -1);
      if (part.size() < 3) continue;
      Patch patch;
      for (const Corner& corner : part) patch.push_back({corner.x, corner.y});
      band.patches.push_back(std::move(patch));
      band.area_mm2 += area_of(part);
    }
    bands.push_back(std::move(band));
  }
  return bands;
}

std::vector<Contour> contours(const FacePoints& points, const std::vector<Triangle>& triangles, const std::vector<double>& heights_mm,
                              const std::vector<double>& levels_mm) {
  check_heights(points, heights_mm);
  check_levels(levels_mm);
  std::vector<Contour> found;
  for (const double level : levels_mm) {
    std::vector<Segment> segments;
    for (const Triangle& triangle : triangles)
      if (const auto segment = segment_in(triangle, heights_mm, level)) segments.push_back(*segment);
    Chains chains(segments);
    const std::size_t first = found.size();
    for (std::vector<Side> chain = chains.next(); !chain.empty(); chain = chains.next()) {
      Contour contour{level, {}, chain.front() == chain.back()};
      for (const Side& side : chain) contour.line.push_back(on_side(points, heights_mm, side, level));
      found.push_back(std::move(contour));
    }
    std::stable_sort(found.begin() + static_cast<std::ptrdiff_t>(first), found.end(),
                     [](const Contour& a, const Contour& b) { return length_of(a.line) > length_of(b.line); });
  }
  return found;
}

std::vector<Island> islands(const FacePoints& points, const std::vector<Triangle>& triangles, const std::vector<double>& over_mm) {
  check_heights(points, over_mm);
  Groups groups(points.size());
  const auto is_low = [&](std::size_t i) { return over_mm[i] < 0; };
  const auto low_corner = [&](const Triangle& triangle) { return std::find_if(triangle.begin(), triangle.end(), is_low); };
  for (const Triangle& triangle : triangles)
    for (const std::size_t corner : triangle)
      if (is_low(corner)) groups.join(corner, *low_corner(triangle));
  std::map<std::size_t, Island> by_group;
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (!is_low(i)) continue;
    Island& island = by_group[groups.of(i)];
    island.points.push_back(i);
    if (-over_mm[i] <= island.deepest_mm) continue;
    island.deepest_mm = -over_mm[i];
    island.deepest_at = {points.x_mm[i], points.y_mm[i]};
  }
  for (const Triangle& triangle : triangles) {
    const auto low = low_corner(triangle);
    if (low == triangle.end()) continue;
    by_group[groups.of(*low)].area_mm2 += area_of(clipped(polygon_of(points, triangle, over_mm), 0, -1));
  }
  std::vector<Island> found;
  for (auto& [group, island] : by_group) found.push_back(std::move(island));
  std::stable_sort(found.begin(), found.end(), [](const Island& a, const Island& b) { return a.area_mm2 > b.area_mm2; });
  return found;
}

}  // namespace headjoint::faces
