#include "headjoint/faces/internal/zone_search.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include "headjoint/faces/internal/chebyshev_simplex.h"

namespace headjoint::faces::internal {
namespace {

constexpr std::size_t kAllAtOnce = 48;    // so few points all go into the working set
constexpr std::size_t kCutsPerSide = 6;   // points that join the working set after one walk, per plane
constexpr int kMostWalks = 200;           // each walk but the last adds a point; a dozen is common
constexpr int kMostTurns = 20;            // quadratic: two or three are common
constexpr double kStraightEnough = 1e-8;  // a slope that changes distances by its half square, below rounding
constexpr double kLeastWeight = 1e-9;     // share of a contact below which it proves nothing
constexpr double kRoundings = 16;         // rounding errors allowed in one dot product
constexpr double kFarFromLine = 0.2;      // third corner of the first triangle, as a share of the width

/// The working set and the zone that holds it.
class WorkingSet {
 public:
  WorkingSet(const Cloud& cloud, const Frame& start) : cloud_(cloud), frame_(start) {}

  bool add(std::size_t point) {
    if (std::find(points_.begin(), points_.end(), point) != points_.end()) return false;
    points_.push_back(point);
    return true;
  }

  /// Thinnest zone of the working set: solves, turns the frame into the normal and solves again until distances are square to the planes.
  bool solve() {
    for (int turn = 0; turn < kMostTurns; ++turn) {
      zone_ = least_sloped_zone(local_points(), basis_);
      if (!zone_.is_solved) return false;
      basis_ = zone_.basis;
      const double slope = std::hypot(zone_.a, zone_.b);
      frame_ = turned_to(frame_, unit(plus(plus(frame_.normal, -zone_.a, frame_.along), -zone_.b, frame_.across)));
      if (slope < kStraightEnough) return true;
    }
    return true;
  }

  [[nodiscard]] const Vector3& normal() const { return frame_.normal; }

  /// The planes as normal . point.
  [[nodiscard]] Range planes() const {
    const double base = dot(frame_.normal, frame_.origin);
    return {base + zone_.lower, base + zone_.upper};
  }

  [[nodiscard]] std::vector<std::size_t> contacts(bool upper) const {
    std::vector<std::size_t> found;
    for (std::size_t k = 0; k < 4; ++k)
      if (zone_.basis.is_upper[k] == upper && zone_.weight[k] > kLeastWeight) found.push_back(points_[zone_.basis.point[k]]);
    std::sort(found.begin(), found.end());
    return found;
  }

 private:
  [[nodiscard]] std::vector<Vector3> local_points() const {
    std::vector<Vector3> local;
    local.reserve(points_.size());
    for (const std::size_t i : points_) {
      const Vector3 p = plus(cloud_.at(i), -1, frame_.origin);
      local.push_back({dot(frame_.along, p), dot(frame_.across, p), dot(frame_.normal, p)});
    }
    return local;
  }

  const Cloud& cloud_;
  Frame frame_;
  std::vector<std::size_t> points_;
  std::optional<ContactBasis> basis_;
  SlopedZone zone_;
};

/// Three points that do not line up, then the other extremes: the first working set.
double add_first_points(const Cloud& cloud, const Frame& start, WorkingSet& set, int& walks) {
  const Extremes along = extremes(cloud, start.along);
  const Extremes across = extremes(cloud, start.across);
  const Vector3 a = cloud.at(along.low_at);
  const Vector3 line = unit(plus(cloud.at(along.high_at), -1, a));
  const Vector3 aside = cross(start.normal, line);
  const auto offset = [&](std::size_t i) { return std::abs(dot(aside, plus(cloud.at(i), -1, a))); };
  std::size_t third = offset(across.low_at) > offset(across.high_at) ? across.low_at : across.high_at;
  walks += 3;
  if (offset(third) < kFarFromLine * (across.range.high - across.range.low)) {
    const Extremes beside = extremes(cloud, aside);
    third = offset(beside.low_at) > offset(beside.high_at) ? beside.low_at : beside.high_at;
    ++walks;
  }
  const Extremes height = extremes(cloud, start.normal);
  for (const std::size_t i : {along.low_at, along.high_at, third, across.low_at, across.high_at, height.low_at, height.high_at}) set.add(i);
  return along.range.high - along.range.low;
}

/// Adds the points that pierce the planes most, at most one per block. @returns how many joined
std::size_t add_cuts(const Cloud& cloud, const std::vector<Range>& blocks, const Range& planes, double tolerance, WorkingSet& set) {
  std::size_t joined = 0;
  const Vector3 up = set.normal();
  const Vector3 down{-up[0], -up[1], -up[2]};
  for (const bool above : {true, false}) {
    const auto pierced = [&](std::size_t b) { return above ? blocks[b].high - planes.high : planes.low - blocks[b].low; };
    std::vector<std::size_t> worst;
    for (std::size_t b = 0; b < blocks.size(); ++b)
      if (pierced(b) > tolerance) worst.push_back(b);
    const std::size_t count = std::min(kCutsPerSide, worst.size());
    std::partial_sort(worst.begin(), worst.begin() + static_cast<std::ptrdiff_t>(count), worst.end(),
                      [&](std::size_t a, std::size_t b) { return pierced(a) > pierced(b); });
    for (std::size_t k = 0; k < count; ++k) joined += set.add(highest_in_block(cloud, above ? up : down, worst[k])) ? 1 : 0;
  }
  return joined;
}

}  // namespace

double rounding_of(const Cloud& cloud, double extent) {
  const Vector3 first = cloud.at(0);
  return kRoundings * std::numeric_limits<double>::epsilon() * (extent + std::abs(first[0]) + std::abs(first[1]) + std::abs(first[2]));
}

FoundZone search_minimum_zone(const Cloud& cloud, const Frame& start) {
  FoundZone found;
  WorkingSet set(cloud, start);
  const double extent = add_first_points(cloud, start, set, found.walks);
  const double tolerance = rounding_of(cloud, extent);
  if (cloud.size() <= kAllAtOnce)
    for (std::size_t i = 0; i < cloud.size(); ++i) set.add(i);
  while (found.walks < kMostWalks) {
    const bool solved = set.solve();
    const std::vector<Range> blocks = block_ranges(cloud, set.normal());
    ++found.walks;
    found.normal = set.normal();
    found.range = extremes(cloud, found.normal, blocks).range;
    if (!solved) break;
    const Range planes = set.planes();
    found.is_solved = found.range.high <= planes.high + tolerance && found.range.low >= planes.low - tolerance;
    if (found.is_solved || add_cuts(cloud, blocks, planes, tolerance, set) == 0) break;
  }
  found.upper = set.contacts(true);
  found.lower = set.contacts(false);
  return found;
}

}  // namespace headjoint::faces::internal
