#include "headjoint/faces/local_flatness.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <numeric>
#include <optional>
#include <span>
#include <unordered_set>

#include "headjoint/base/error.h"

namespace headjoint::faces {
namespace {

constexpr double kMillimetre = 1e-3;
constexpr double kSameEdge = 1e-9;  // of the window: a point on its rim lies in it

/// Places of a window's low side: those at which it stands on a point.
std::vector<double> every_low_side(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  values.erase(std::unique(values.begin(), values.end()), values.end());
  return values;
}

std::vector<double> sampled_low_sides(const std::vector<double>& values, double window) {
  const auto [low, high] = std::minmax_element(values.begin(), values.end());
  std::vector<double> sides;
  const double last = std::max(*low, *high - window);
  for (double side = *low; side < last; side += window / 4) sides.push_back(side);
  sides.push_back(last);
  return sides;
}

/// A position of the window with the range of its heights over the plane of the whole face.
struct Window {
  double low_x = 0;
  double low_y = 0;
  double range = 0;
};

/// The points in a window, found by walking a strip that is sorted by y.
class Windows {
 public:
  Windows(const FacePoints& points, double side) : points_(points), reach_(side * (1 + kSameEdge)), by_y_(points.size()) {
    std::iota(by_y_.begin(), by_y_.end(), 0U);
    std::sort(by_y_.begin(), by_y_.end(), [&](std::size_t a, std::size_t b) { return points.y_mm[a] < points.y_mm[b]; });
  }

  [[nodiscard]] std::vector<std::size_t> strip(double low_x) const {
    std::vector<std::size_t> inside;
    for (const std::size_t i : by_y_)
      if (points_.x_mm[i] >= low_x && points_.x_mm[i] <= low_x + reach_) inside.push_back(i);
    return inside;
  }

  [[nodiscard]] std::span<const std::size_t> in_strip(const std::vector<std::size_t>& strip, double low_y) const {
    const auto is_under = [&](std::size_t i, double y) { return points_.y_mm[i] < y; };
    const auto is_over = [&](double y, std::size_t i) { return y < points_.y_mm[i]; };
    const auto first = std::lower_bound(strip.begin(), strip.end(), low_y, is_under);
    const auto last = std::upper_bound(first, strip.end(), low_y + reach_, is_over);
    return {first, last};
  }

 private:
  const FacePoints& points_;
  double reach_;
  std::vector<std::size_t> by_y_;
};

/// The same number for the same points.
std::uint64_t fingerprint(std::span<const std::size_t> which) {
  std::uint64_t mixed = 0x9E3779B97F4A7C15U;
  for (const std::size_t i : which) mixed = (mixed ^ (i + 0x632BE59BD9B4E019U)) * 0xFF51AFD7ED558CCDU + (mixed >> 29U);
  return mixed;
}

/// All different positions, the one with the largest range first.
std::vector<Window> positions_of(const FacePoints& points, const Windows& windows, double side, bool every) {
  const std::vector<double> over = residuals_mm(points, least_squares_flatness(points).plane);
  const auto lows = [&](const std::vector<double>& values) { return every ? every_low_side(values) : sampled_low_sides(values, side); };
  std::vector<Window> found;
  std::unordered_set<std::uint64_t> seen;
  for (const double low_x : lows(points.x_mm)) {
    const std::vector<std::size_t> strip = windows.strip(low_x);
    if (strip.empty()) continue;
    std::vector<double> strip_y;
    for (const std::size_t i : strip) strip_y.push_back(points.y_mm[i]);
    for (const double low_y : lows(strip_y)) {
      const auto inside = windows.in_strip(strip, low_y);
      if (inside.empty() || !seen.insert(fingerprint(inside)).second) continue;
      const auto [low, high] =
          std::minmax_element(inside.begin(), inside.end(), [&](std::size_t a, std::size_t b) { return over[a] < over[b]; });
      found.push_back({low_x, low_y, over[*high] - over[*low]});
    }
  }
  std::stable_sort(found.begin(), found.end(), [](const Window& a, const Window& b) { return a.range > b.range; });
  return found;
}

FacePoints chosen(const FacePoints& points, std::span<const std::size_t> which) {
  FacePoints some;
  for (const std::size_t i : which) {
    some.x_mm.push_back(points.x_mm[i]);
    some.y_mm.push_back(points.y_mm[i]);
    some.z_mm.push_back(points.z_mm[i]);
  }
  return some;
}

/// Heights over the least-squares plane z = a x + b y + c through some points, at one more; empty when they do not span a plane.
std::optional<double> off_plane_of(const FacePoints& points, const std::vector<std::size_t>& neighbours, std::size_t at) {
  double xx = 0, xy = 0, yy = 0, xz = 0, yz = 0, mx = 0, my = 0, mz = 0;
  const auto count = static_cast<double>(neighbours.size());
  for (const std::size_t i : neighbours) {
    mx += points.x_mm[i] / count;
    my += points.y_mm[i] / count;
    mz += points.z_mm[i] / count;
  }
  for (const std::size_t i : neighbours) {
    const double x = points.x_mm[i] - mx;
    const double y = points.y_mm[i] - my;
    const double z = points.z_mm[i] - mz;
    xx += x * x;
    xy += x * y;
    yy += y * y;
    xz += x * z;
    yz += y * z;
  }
  const double determinant = xx * yy - xy * xy;
  if (!(determinant > 1e-6 * (xx + yy) * (xx + yy))) return std::nullopt;
  const double a = (xz * yy - yz * xy) / determinant;
  const double b = (yz * xx - xz * xy) / determinant;
  return points.z_mm[at] - mz - a * (points.x_mm[at] - mx) - b * (points.y_mm[at] - my);
}

std::vector<std::size_t> nearest_to(const FacePoints& points, std::size_t at, std::size_t count) {
  std::vector<std::pair<double, std::size_t>> others;
  for (std::size_t i = 0; i < points.size(); ++i)
    if (i != at) others.emplace_back(std::hypot(points.x_mm[i] - points.x_mm[at], points.y_mm[i] - points.y_mm[at]), i);
  std::partial_sort(others.begin(), others.begin() + static_cast<std::ptrdiff_t>(count), others.end());
  std::vector<std::size_t> nearest;
  for (std::size_t k = 0; k < count; ++k) nearest.push_back(others[k].second);
  return nearest;
}

}  // namespace

LocalFlatness local_flatness(const FacePoints& points, Length window) {
  if (!(window.si() > 0) || !std::isfinite(window.si())) throw InputError("window", "must be more than 0");
  LocalFlatness found;
  const double side = window.si() / kMillimetre;
  const bool every = every_low_side(points.x_mm).size() * every_low_side(points.y_mm).size() <= kMostWindows;
  const Windows windows(points, side);
  found.status = WindowStatus::kTooSparse;
  std::size_t looked_at = 0;
  for (const Window& position : positions_of(points, windows, side, every)) {
    if (found.windows > 0 && position.range * kMillimetre <= found.flatness.si()) break;  // no window from here on can be worse
    ++looked_at;
    const std::vector<std::size_t> strip = windows.strip(position.low_x);
    const auto inside = windows.in_strip(strip, position.low_y);
    if (inside.size() < kFewestPoints) continue;
    Length flatness = kNoLength;
    try {
      flatness = minimum_zone_flatness(chosen(points, inside)).flatness;
    } catch (const InputError&) {
      continue;  // its points lie on one line
    }
    ++found.windows;
    if (found.windows > 1 && flatness <= found.flatness) continue;
    found.flatness = flatness;
    found.low_x_mm = position.low_x;
    found.low_y_mm = position.low_y;
    found.points = inside.size();
  }
  if (found.windows > 0) found.status = every ? WindowStatus::kEvery : WindowStatus::kSampled;
  found.judged_share = looked_at > 0 ? static_cast<double>(found.windows) / static_cast<double>(looked_at) : 0;
  return found;
}

std::vector<Outlier> outliers(const FacePoints& points) {
  constexpr std::size_t kNeighbours = 8;
  constexpr std::size_t kLeast = 12;
  constexpr std::size_t kMost = 5000;
  constexpr double kTimes = 5;
  constexpr double kLeast_mm = 0.01;
  if (points.size() < kLeast || points.size() > kMost) return {};
  std::vector<double> off(points.size(), 0.0);
  for (std::size_t i = 0; i < points.size(); ++i) off[i] = off_plane_of(points, nearest_to(points, i, kNeighbours), i).value_or(0);
  std::vector<double> sizes;
  for (const double d : off) sizes.push_back(std::abs(d));
  const auto middle = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 2);
  std::nth_element(sizes.begin(), middle, sizes.end());
  const double usual = std::max(*middle, 1e-6);
  std::vector<Outlier> found;
  for (std::size_t i = 0; i < off.size(); ++i)
    if (std::abs(off[i]) > kTimes * usual && std::abs(off[i]) > kLeast_mm) found.push_back({i, off[i], std::abs(off[i]) / usual});
  std::stable_sort(found.begin(), found.end(), [](const Outlier& a, const Outlier& b) { return std::abs(a.off_mm) > std::abs(b.off_mm); });
  return found;
}

}  // namespace headjoint::faces
