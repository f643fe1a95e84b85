#include <algorithm>
#include <cmath>
#include <limits>
#include <span>

#include "headjoint/base/error.h"
#include "headjoint/faces/flatness.h"
#include "headjoint/faces/internal/convex_hull.h"
#include "headjoint/faces/internal/slope_region.h"

// The proof shares no code with the search but the drawing of hulls: it reads the points and the planes again.
namespace headjoint::faces {
namespace {

using internal::Vector2;

constexpr double kMillimetre = 1e-3;
constexpr double kRelativeSlack = 1e-8;  // share of the width a contact may lie off its plane
constexpr int kMostWalks = 40;           // after which a bound is taken as it is
constexpr double kNothing = 1e-11;       // share of the width that makes no zone thinner
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
  [[nodiscard]] internal::Vector3 local(std::size_t i) const { return {along(first_, i), along(second_, i), height(i)}; }
  [[nodiscard]] std::array<double, 3> normal_at(const Vector2& slope) const {
    const auto& n = plane_.normal;
    const double length = std::hypot(1.0, slope[0], slope[1]);
    std::array<double, 3> turned{};
    for (std::size_t k = 0; k < 3; ++k) turned[k] = (n[k] - slope[0] * first_[k] - slope[1] * second_[k]) / length;
    return turned;
  }
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

/// The points that reach least and most along a direction (u, v, w) of the view.
struct Reach {
  std::size_t low_at = 0;
  std::size_t high_at = 0;
  double low = std::numeric_limits<double>::infinity();
  double high = -std::numeric_limits<double>::infinity();
};

Reach reach_along(const FacePoints& points, const View& view, const internal::Vector3& direction) {
  Reach found;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const double s = internal::dot(direction, view.local(i));
    if (s < found.low) {
      found.low = s;
      found.low_at = i;
    }
    if (s > found.high) {
      found.high = s;
      found.high_at = i;
    }
  }
  return found;
}

/// Adds the extreme points in the direction in which the outermost ones are narrowest.
/// @returns false when that widens nothing: the narrowest width is then that of all points
bool widen(const FacePoints& points, const View& view, const internal::Narrowest& narrowest, std::vector<std::size_t>& outermost) {
  const Reach found = reach_along(points, view, {narrowest.direction[0], narrowest.direction[1], 0});
  outermost.push_back(found.low_at);
  outermost.push_back(found.high_at);
  return found.high - found.low > narrowest.width * (1 + kRelativeSlack);
}

/// Farthest any of the contacts lies from its plane at signed height `plane`.
double slack(const View& view, const std::vector<std::size_t>& contacts, double plane) {
  double farthest = 0;
  for (const std::size_t i : contacts) farthest = std::max(farthest, std::abs(view.height(i) - plane));
  return farthest;
}

/// A zone in its own frame, with what is known of its contacts.
struct Evidence {
  double h = 0;        ///< width
  double overlap = 0;  ///< of the contacts
  double slack = 0;    ///< of the contacts from their planes, both sides together
};

/// Slope from which the points, `narrowest` wide, cannot lie in a zone as thin as h; infinite when they are no wider than high.
double steepest_thin_slope(double h, double narrowest) {
  if (!(narrowest > h)) return std::numeric_limits<double>::infinity();
  return 2 * narrowest * h / (narrowest * narrowest - h * h);
}

/// Height along the normal that a zone of width h takes at a slope.
double height_at(double h, double slope) { return h * std::hypot(1.0, slope); }

/// Whether no zone up to the slope `steepest` is thinner, and how thin one could be.
void bound_width(const Evidence& zone, double steepest, ZoneProof& proof) {
  if (!std::isfinite(steepest)) return;
  const double least = (zone.h + zone.overlap * steepest) / std::hypot(1.0, steepest);
  proof.no_thinner_zone = least >= zone.h * (1 - kNothing);
  proof.at_least = Length::from_si((std::min(zone.h, least) - zone.slack) * kMillimetre);
}

/// Draws in the slopes at which a thinner zone might be found, where the contacts alone cannot exclude them.
///
/// Every pair of points that stands too high at the steepest slope left cuts the region; its height is drawn in with it.
class SlopeSearch {
 public:
  SlopeSearch(const FacePoints& points, const View& view, const Evidence& zone) : points_(points), view_(view), zone_(zone) {}

  void run(double steepest, std::span<const std::size_t> first_points, ZoneProof& proof) {
    for (const std::size_t i : first_points)
      for (const std::size_t j : first_points) add_pair(i, j);
    for (int walk = 0; walk < kMostWalks && !proof.no_thinner_zone; ++walk) {
      const Vector2 corner = steepest_left(steepest);
      steepest = std::min(steepest, std::hypot(corner[0], corner[1]));
      bound_width(zone_, steepest, proof);
      proof.rival_normal = view_.normal_at(corner);
      const Reach found = reach_along(points_, view_, {-corner[0], -corner[1], 1});
      if (found.high - found.low <= height_at(zone_.h, steepest) * (1 + kRelativeSlack)) return;  // as thin a zone does exist there
      add_pair(found.high_at, found.low_at);
    }
  }

 private:
  void add_pair(std::size_t high, std::size_t low) {
    if (high != low) differences_.push_back(internal::plus(view_.local(high), -1, view_.local(low)));
  }

  [[nodiscard]] Vector2 steepest_left(double steepest) const {
    internal::SlopeRegion region(steepest);
    const double height = height_at(zone_.h, steepest);
    for (const internal::Vector3& difference : differences_) region.cut(difference, height);
    return region.steepest();
  }

  const FacePoints& points_;
  const View& view_;
  Evidence zone_;
  std::vector<internal::Vector3> differences_;
};

}  // namespace

ZoneProof prove_minimum_zone(const FacePoints& points, const MinimumZone& zone) {
  require(points.x_mm.size() == points.size() && points.y_mm.size() == points.size(), "coordinates are equally many");
  ZoneProof proof;
  proof.at_least = Length{};
  const double h = zone.flatness.si() / kMillimetre;
  if (!(h > 0) || zone.upper_touch.empty() || zone.lower_touch.empty()) return proof;
  for (const auto* contacts : {&zone.upper, &zone.lower, &zone.upper_touch, &zone.lower_touch})
    for (const std::size_t i : *contacts) require(i < points.size(), "the zone is of the same points");
  const View view(points, zone.mid_plane);
  const Survey all = survey(points, view);
  const auto& base = zone.mid_plane.through_mm;
  const double rounding = kRounding * (all.extent + std::abs(base[0]) + std::abs(base[1]) + std::abs(base[2]));
  const double tolerance = rounding + kRelativeSlack * h;
  proof.holds_all_points = all.highest <= h / 2 + rounding;
  const double off_upper = std::max(slack(view, zone.upper, h / 2), slack(view, zone.upper_touch, h / 2));
  const double off_lower = std::max(slack(view, zone.lower, -h / 2), slack(view, zone.lower_touch, -h / 2));
  proof.contacts_touch = off_upper <= tolerance && off_lower <= tolerance;
  const Evidence evidence{h, internal::overlap_depth(view.hull(zone.upper_touch), view.hull(zone.lower_touch)), off_upper + off_lower};
  proof.overlap = Length::from_si(evidence.overlap * kMillimetre);
  proof.contacts_overlap = evidence.overlap >= -kRelativeSlack * all.extent;
  if (!proof.contacts_overlap || !proof.contacts_touch) return proof;
  std::vector<std::size_t> outermost = all.outermost;
  double steepest = std::numeric_limits<double>::infinity();
  for (int walk = 0; walk < kMostWalks; ++walk) {
    const internal::Narrowest narrowest = internal::narrowest_of(view.hull(outermost));
    steepest = steepest_thin_slope(h, narrowest.width);
    bound_width(evidence, steepest, proof);
    if (proof.no_thinner_zone || !widen(points, view, narrowest, outermost)) break;
  }
  if (std::isfinite(steepest)) SlopeSearch(points, view, evidence).run(steepest, outermost, proof);
  return proof;
}

}  // namespace headjoint::faces
