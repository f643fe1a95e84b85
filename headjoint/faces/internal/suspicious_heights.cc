#include "headjoint/faces/internal/suspicious_heights.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdint>
#include <optional>
#include <utility>
#include <vector>

#include "headjoint/base/text.h"

namespace headjoint::faces::internal {
namespace {

constexpr double kRepeats_mm = 0.02;      // a dial gauge on a clean face comes back to within this: common practice, no source
constexpr std::size_t kMostTyped = 2000;  // nobody types more; a machine does not slip between units in one row
constexpr std::size_t kNeighbours = 6;    // whose median the height is held against
constexpr double kLeastSlip = 20;         // around the 25.4 between thou and um, inch and mm
constexpr double kMostSlip = 30;
constexpr double kStandsOut = 10;  // times the median height of the whole set

double median(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

Problem warning(const FacePoints& points, std::size_t i, const std::string& source, int column, std::string what, std::string mend) {
  return {{source, points.lines[i], column, {}}, std::move(what), {}, std::move(mend), Problem::Severity::kWarning};
}

bool same_place(const FacePoints& points, std::size_t a, std::size_t b) {
  return points.x_mm[a] == points.x_mm[b] && points.y_mm[a] == points.y_mm[b];
}

/// Remembers the last point at every place: a table of point numbers with open addressing, twice as long as the points are many.
class Places {
 public:
  explicit Places(const FacePoints& points) : points_(points), slots_(std::bit_ceil(2 * points.size() + 2), 0U) {}

  /// The point met before at the place of point i; notes i in its stead.
  std::optional<std::size_t> meet(std::size_t i) {
    const std::size_t mask = slots_.size() - 1;
    for (std::size_t at = start_of(i) & mask;; at = (at + 1) & mask) {
      if (slots_[at] == 0) {
        slots_[at] = static_cast<std::uint32_t>(i + 1);
        return std::nullopt;
      }
      const std::size_t before = slots_[at] - 1;
      if (!same_place(points_, before, i)) continue;
      slots_[at] = static_cast<std::uint32_t>(i + 1);
      return before;
    }
  }

 private:
  [[nodiscard]] std::size_t start_of(std::size_t i) const {
    const auto bits = [](double v) { return std::bit_cast<std::uint64_t>(v + 0.0); };  // + 0.0: -0 and 0 are one place
    std::uint64_t mixed = bits(points_.x_mm[i]) * 0x9E3779B97F4A7C15U ^ std::rotl(bits(points_.y_mm[i]) * 0xC2B2AE3D27D4EB4FU, 31);
    mixed ^= mixed >> 32U;
    return static_cast<std::size_t>(mixed * 0xD6E8FEB86659FD93U >> 20U);
  }

  const FacePoints& points_;
  std::vector<std::uint32_t> slots_;  ///< point number + 1; 0 = free
};

void add_double_places(const FacePoints& points, const std::string& source, int column, Problems& warnings) {
  Places places(points);
  for (std::size_t again = 0; again < points.size(); ++again) {
    const auto first = places.meet(again);
    if (!first) continue;
    const double apart = std::abs(points.z_mm[again] - points.z_mm[*first]);
    if (!(apart > kRepeats_mm)) continue;
    warnings.push_back(warning(
        points, again, source, column,
        "this place was measured before on line " + std::to_string(points.lines[*first]) + ", " + number_text(apart, 3) + " mm away",
        "measure the place again and keep one of the two"));
  }
}

/// Median of the heights (without sign) of the points nearest to point i.
double median_of_neighbours(const FacePoints& points, std::size_t i) {
  std::vector<std::pair<double, double>> others;
  others.reserve(points.size());
  for (std::size_t j = 0; j < points.size(); ++j)
    if (j != i) others.emplace_back(std::hypot(points.x_mm[j] - points.x_mm[i], points.y_mm[j] - points.y_mm[i]), std::abs(points.z_mm[j]));
  const std::size_t count = std::min(kNeighbours, others.size());
  std::partial_sort(others.begin(), others.begin() + static_cast<std::ptrdiff_t>(count), others.end());
  std::vector<double> heights;
  for (std::size_t k = 0; k < count; ++k) heights.push_back(others[k].second);
  return median(heights);
}

void add_unit_slips(const FacePoints& points, const std::string& source, int column, Problems& warnings) {
  if (points.size() > kMostTyped || points.size() < kFewestPoints) return;
  std::vector<double> heights;
  for (const double z : points.z_mm) heights.push_back(std::abs(z));
  const double usual = median(heights);
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (!(heights[i] > kStandsOut * usual)) continue;
    const double around = median_of_neighbours(points, i);
    if (!(heights[i] >= kLeastSlip * around && heights[i] <= kMostSlip * around)) continue;
    warnings.push_back(
        warning(points, i, source, column, "this height is " + number_text(heights[i] / around, 2) + " times its neighbours'",
                "thousandths typed as hundredths, or in another unit? 1 thousandth of an inch is 25.4 micrometres, 1 inch is 25.4 mm"));
  }
}

}  // namespace

bool has_places(const FacePoints& points, std::size_t count) {
  std::vector<std::size_t> seen;
  for (std::size_t i = 0; i < points.size() && seen.size() < count; ++i)
    if (std::none_of(seen.begin(), seen.end(), [&](std::size_t j) { return same_place(points, i, j); })) seen.push_back(i);
  return seen.size() >= count;
}

Problems suspicious_heights(const FacePoints& points, const std::string& source, int column) {
  Problems warnings;
  add_double_places(points, source, column, warnings);
  add_unit_slips(points, source, column, warnings);
  return warnings;
}

}  // namespace headjoint::faces::internal
