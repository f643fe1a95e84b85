#include <algorithm>
#include <array>
#include <cmath>
#include <set>

#include "headjoint/base/error.h"
#include "headjoint/faces/internal/convex_hull.h"
#include "headjoint/faces/line_straightness.h"
#include "headjoint/faces/surface.h"

namespace headjoint::faces {
namespace {

constexpr double kOnLine = 1e-6;  // of the section's length: a point so near lies on it
constexpr double kReached = 0.6;  // share of a placement that the points must reach
constexpr double kInset = 0.08;   // of the face: how far inside the rim scattered points are cut
constexpr std::size_t kLeastSpots = 3;

using Profile = std::vector<std::pair<double, double>>;

/// The line as distance along and aside.
class Ruler {
 public:
  Ruler(OutlinePoint from, OutlinePoint to) : from_(from), length_(std::hypot(to.x_mm - from.x_mm, to.y_mm - from.y_mm)) {
    if (!(length_ > 0) || !std::isfinite(length_)) throw InputError("section", "needs two different ends");
    along_ = {(to.x_mm - from.x_mm) / length_, (to.y_mm - from.y_mm) / length_};
  }
  [[nodiscard]] double length() const { return length_; }
  [[nodiscard]] double along(double x, double y) const { return (x - from_.x_mm) * along_[0] + (y - from_.y_mm) * along_[1]; }
  [[nodiscard]] double aside(double x, double y) const { return (y - from_.y_mm) * along_[0] - (x - from_.x_mm) * along_[1]; }

 private:
  OutlinePoint from_;
  double length_;
  std::array<double, 2> along_{};
};

void add_crossing(const FacePoints& points, const std::vector<double>& heights_mm, const Ruler& ruler, std::size_t a, std::size_t b,
                  Profile& profile) {
  const double on = kOnLine * ruler.length();
  const auto aside = [&](std::size_t i) { return ruler.aside(points.x_mm[i], points.y_mm[i]); };
  const auto along = [&](std::size_t i) { return ruler.along(points.x_mm[i], points.y_mm[i]); };
  const double off_a = aside(a);
  const double off_b = aside(b);
  if (std::abs(off_a) <= on) profile.emplace_back(along(a), heights_mm[a]);
  if (std::abs(off_b) <= on) profile.emplace_back(along(b), heights_mm[b]);
  if (std::abs(off_a) <= on || std::abs(off_b) <= on || (off_a > 0) == (off_b > 0)) return;
  const double share = off_a / (off_a - off_b);
  profile.emplace_back(along(a) + share * (along(b) - along(a)), heights_mm[a] + share * (heights_mm[b] - heights_mm[a]));
}

/// Sorted, inside the section, spots closer than rounding merged.
void tidy(Profile& profile, double length) {
  const double near = kOnLine * length;
  std::sort(profile.begin(), profile.end());
  std::erase_if(profile, [&](const auto& spot) { return spot.first < -near || spot.first > length + near; });
  profile.erase(std::unique(profile.begin(), profile.end(), [near](const auto& a, const auto& b) { return b.first - a.first <= near; }),
                profile.end());
}

/// Where a straightedge rests that lies over the middle: the side of the upper hull that spans it.
void rest_edge(Section& section) {
  std::vector<std::pair<double, double>> hull;  // upper chain from left to right
  for (const auto& spot : section.profile) {
    while (hull.size() >= 2) {
      const auto& a = hull[hull.size() - 2];
      const auto& b = hull.back();
      if ((b.first - a.first) * (spot.second - a.second) - (b.second - a.second) * (spot.first - a.first) < 0) break;
      hull.pop_back();
    }
    hull.push_back(spot);
  }
  const double middle = (section.profile.front().first + section.profile.back().first) / 2;
  std::size_t side = 0;
  while (side + 2 < hull.size() && hull[side + 1].first < middle) ++side;
  const auto& from = hull[side];
  const auto& to = hull[side + 1];
  section.touch_from_mm = from.first;
  section.touch_to_mm = to.first;
  const double slope = (to.second - from.second) / (to.first - from.first);
  for (const auto& [along, height] : section.profile) {
    const double gap = from.second + slope * (along - from.first) - height;
    if (!(gap > section.largest_gap_mm)) continue;
    section.largest_gap_mm = gap;
    section.gap_at_mm = along;
  }
}

}  // namespace

Section section(const FacePoints& points, const std::vector<Triangle>& triangles, const std::vector<double>& heights_mm, OutlinePoint from,
                OutlinePoint to) {
  if (heights_mm.size() != points.size()) throw InputError("heights", "there must be one per point");
  const Ruler ruler(from, to);
  Section found;
  found.from = from;
  found.to = to;
  std::set<std::pair<std::size_t, std::size_t>> sides;
  for (const Triangle& triangle : triangles)
    for (std::size_t k = 0; k < 3; ++k) sides.insert(std::minmax(triangle[k], triangle[(k + 1) % 3]));
  for (const auto& [a, b] : sides) add_crossing(points, heights_mm, ruler, a, b, found.profile);
  tidy(found.profile, ruler.length());
  if (found.profile.size() < kLeastSpots) {
    found.profile.clear();
    return found;
  }
  found.straightness_mm = straightness_mm(found.profile);
  rest_edge(found);
  return found;
}

std::vector<Section> usual_sections(const FacePoints& points, const std::vector<Triangle>& triangles,
                                    const std::vector<double>& heights_mm) {
  if (triangles.empty()) return {};
  auto [low_x, high_x] = std::minmax_element(points.x_mm.begin(), points.x_mm.end());
  auto [low_y, high_y] = std::minmax_element(points.y_mm.begin(), points.y_mm.end());
  const bool in_rows = coverage_of(points).pattern != Pattern::kScattered;
  const double in_x = in_rows ? 0 : kInset * (*high_x - *low_x);
  const double in_y = in_rows ? 0 : kInset * (*high_y - *low_y);
  const double front = *low_x + in_x;
  const double rear = *high_x - in_x;
  const double left = *low_y + in_y;
  const double right = *high_y - in_y;
  const double middle_x = (front + rear) / 2;
  const double middle_y = (left + right) / 2;
  struct Placement {
    const char* name;
    OutlinePoint from;
    OutlinePoint to;
  };
  const std::array<Placement, 8> placements{{{"left edge, front to rear", {front, left}, {rear, left}},
                                             {"middle, front to rear", {front, middle_y}, {rear, middle_y}},
                                             {"right edge, front to rear", {front, right}, {rear, right}},
                                             {"diagonal, front left to rear right", {front, left}, {rear, right}},
                                             {"diagonal, front right to rear left", {front, right}, {rear, left}},
                                             {"front end, left to right", {front, left}, {front, right}},
                                             {"middle, left to right", {middle_x, left}, {middle_x, right}},
                                             {"rear end, left to right", {rear, left}, {rear, right}}}};
  std::vector<Section> found;
  for (const Placement& placement : placements) {
    Section cut = section(points, triangles, heights_mm, placement.from, placement.to);
    if (cut.profile.empty()) continue;
    const double length = std::hypot(placement.to.x_mm - placement.from.x_mm, placement.to.y_mm - placement.from.y_mm);
    if (cut.profile.back().first - cut.profile.front().first < kReached * length) continue;
    cut.name = placement.name;
    found.push_back(std::move(cut));
  }
  return found;
}

}  // namespace headjoint::faces
