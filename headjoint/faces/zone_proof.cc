#include <algorithm>
#include <cmath>
#include <limits>

#include "headjoint/base/error.h"
#include "headjoint/faces/flatness.h"
#include "headjoint/faces/internal/convex_hull.h"

// The proof shares no code with the search but the drawing of hulls: it reads the points and the planes again.
namespace headjoint::faces {
namespace {

using internal::Vector2;

constexpr double kMillimetre = 1e-3;
constexpr double kRelativeSlack = 1e-8;  // share of the width a contact may lie off its plane
constexpr int kMostWalks = 16;           // after which the bound is taken as it is
constexpr double kRounding = 64 * std::numeric_limits<double>::epsilon();

/// Two axes square to the normal, and the distances of points seen along it.
class View {
 public:
  View(const FacePoints& points, const Plane& plane) : points_(points), plane_(plane) {
    const auto& n = plane.normal;
    const double length = std::hypot(n[0], n[2]);
    require(length > 0, "the plane does not stand on edge");
    first_ = {n[2] / length, 0, -n[0] / length};
    second_ = {n[1] * first_[2] - n[2] * first_[1], n[2] * first_[0] - n[0] * first_[2], n[0] * first_[1] - n[1] * first_[0]};
  }

  [[nodiscard]] double height(std::size_t i) const { return along(plane_.normal, i); }
  [[nodiscard]] Vector2 place(std::size_t i) const { return {along(first_, i), along(second_, i)}; }

  [[nodiscard]] std::vector<Vector2> hull(const std::vector<std::size_t>& which) const {
    std::vector<Vector2> places;
    places.reserve(which.size());
    for (const std::size_t i : which) places.push_back(place(i));
    return internal::convex_hull(std::move(places));
  }

 private:
  [[nodiscard]] double along(const std::array<double, 3>& d, std::size_t i) const {
    return d[0] * (points_.x_mm[i] - plane_.through_mm[0]) + d[1] * (points_.y_mm[i] - plane_.through_mm[1]) +
           d[2] * (points_.z_mm[i] - plane_.through_mm[2]);
  }

  const FacePoints& points_;
  const Plane& plane_;
  std::array<double, 3> first_;
  std::array<double, 3> second_;
};

/// What one walk over all points tells.
struct Survey {
  double highest = 0;  ///< largest distance from the mid plane on either side
  double extent = 0;
  std::vector<std::size_t> outermost;  ///< extreme points along and across and along both diagonals
};

Survey survey(const FacePoints& points, const View& view) {
  constexpr std::array<Vector2, 4> kDirections{{{1, 0}, {0, 1}, {1, 1}, {1, -1}}};
  std::array<std::size_t, 8> at{};
  std::array<double, 8> reach;
  reach.fill(-std::numeric_limits<double>::infinity());
  Survey found;
  for (std::size_t i = 0; i < points.size(); ++i) {
    found.highest = std::max(found.highest, std::abs(view.height(i)));
    const Vector2 p = view.place(i);
    for (std::size_t d = 0; d < kDirections.size(); ++d) {
      const double s = kDirections[d][0] * p[0] + kDirections[d][1] * p[1];
      if (s > reach[2 * d]) {
        reach[2 * d] = s;
        at[2 * d] = i;
      }
      if (-s > reach[2 * d + 1]) {
        reach[2 * d + 1] = -s;
        at[2 * d + 1] = i;
      }
    }
  }
  for (const double r : {reach[0], reach[1], reach[2], reach[3]}) found.extent = std::max(found.extent, std::abs(r));
  found.outermost = {at.begin(), at.end()};
  return found;
}

/// Adds the extreme points in the direction in which the outermost ones are narrowest.
/// @returns false when that widens nothing: the narrowest width is then that of all points
bool widen(const FacePoints& points, const View& view, const internal::Narrowest& narrowest, std::vector<std::size_t>& outermost) {
  const auto& d = narrowest.direction;
  std::size_t low = 0;
  std::size_t high = 0;
  double least = std::numeric_limits<double>::infinity();
  double greatest = -least;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const Vector2 p = view.place(i);
    const double s = d[0] * p[0] + d[1] * p[1];
    if (s < least) {
      least = s;
      low = i;
    }
    if (s > greatest) {
      greatest = s;
      high = i;
    }
  }
  outermost.push_back(low);
  outermost.push_back(high);
  return greatest - least > narrowest.width * (1 + kRelativeSlack);
}

/// Farthest any of the contacts lies from its plane at signed height `plane`.
double slack(const View& view, const std::vector<std::size_t>& contacts, double plane) {
  double farthest = 0;
  for (const std::size_t i : contacts) farthest = std::max(farthest, std::abs(view.height(i) - plane));
  return farthest;
}

/// Least width of a zone at any slope, from both bounds of the header.
void bound_all_slopes(double h, double overlap, double narrowest, double slack, ZoneProof& proof) {
  if (!(narrowest > h)) return;
  const double steepest = 2 * narrowest * h / (narrowest * narrowest - h * h);
  const double stretch = std::hypot(1.0, steepest);
  proof.no_thinner_zone = overlap * steepest >= h * (stretch - 1);
  const double width = proof.no_thinner_zone ? h : std::min(h, (h + std::max(overlap, 0.0) * steepest) / stretch);
  proof.at_least = Length::from_si((width - slack) * kMillimetre);
}

}  // namespace

ZoneProof prove_minimum_zone(const FacePoints& points, const MinimumZone& zone) {
  require(points.x_mm.size() == points.size() && points.y_mm.size() == points.size(), "coordinates are equally many");
  ZoneProof proof;
  proof.at_least = Length{};
  const double h = zone.flatness.si() / kMillimetre;
  if (!(h > 0) || zone.upper_touch.empty() || zone.lower_touch.empty()) return proof;
  const View view(points, zone.mid_plane);
  const Survey all = survey(points, view);
  const double tolerance = kRounding * all.extent + kRelativeSlack * h;
  const auto& base = zone.mid_plane.through_mm;
  const double rounding = kRounding * (all.extent + std::abs(base[0]) + std::abs(base[1]) + std::abs(base[2]));
  proof.holds_all_points = all.highest <= h / 2 + rounding;
  const double off_upper = std::max(slack(view, zone.upper, h / 2), slack(view, zone.upper_touch, h / 2));
  const double off_lower = std::max(slack(view, zone.lower, -h / 2), slack(view, zone.lower_touch, -h / 2));
  proof.contacts_touch = off_upper <= tolerance && off_lower <= tolerance;
  const double overlap = internal::overlap_depth(view.hull(zone.upper_touch), view.hull(zone.lower_touch));
  proof.overlap = Length::from_si(overlap * kMillimetre);
  proof.contacts_overlap = overlap >= -kRelativeSlack * all.extent;
  if (!proof.contacts_overlap || !proof.contacts_touch) return proof;
  std::vector<std::size_t> outermost = all.outermost;
  for (int walk = 0; walk < kMostWalks; ++walk) {
    const internal::Narrowest narrowest = internal::narrowest_of(view.hull(outermost));
    bound_all_slopes(h, overlap, narrowest.width, off_upper + off_lower, proof);
    if (proof.no_thinner_zone || !widen(points, view, narrowest, outermost)) break;
  }
  return proof;
}

}  // namespace headjoint::faces
