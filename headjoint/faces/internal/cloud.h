#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "headjoint/faces/internal/vector3.h"

/// Walks over all points of a face. Everything here costs one pass per call.
namespace headjoint::faces::internal {

/// A view of points; the arrays are equally long.
struct Cloud {
  std::span<const double> x;
  std::span<const double> y;
  std::span<const double> z;

  [[nodiscard]] std::size_t size() const { return z.size(); }
  [[nodiscard]] Vector3 at(std::size_t i) const { return {x[i], y[i], z[i]}; }
};

/// Least and greatest of one quantity.
struct Range {
  double low = 0;
  double high = 0;
};

/// Points per block: a walk notes the range of every block, so that the extreme points are found again without a second walk.
inline constexpr std::size_t kBlock = 256;

/// Range of direction . point for every block of kBlock points.
[[nodiscard]] std::vector<Range> block_ranges(const Cloud& cloud, const Vector3& direction);

/// Range of direction . point over all points, with the points where it is reached.
struct Extremes {
  Range range;
  std::size_t low_at = 0;
  std::size_t high_at = 0;
};
[[nodiscard]] Extremes extremes(const Cloud& cloud, const Vector3& direction, std::span<const Range> blocks);
[[nodiscard]] Extremes extremes(const Cloud& cloud, const Vector3& direction);

/// Index of the greatest direction . point within block `block`; with direction negated, of the least.
[[nodiscard]] std::size_t highest_in_block(const Cloud& cloud, const Vector3& direction, std::size_t block);

/// Where the points lie and how they scatter: centroid and central second moments xx, xy, xz, yy, yz, zz divided by the count.
struct Moments {
  Vector3 centroid{};
  std::array<double, 6> second{};
};
[[nodiscard]] Moments moments(const Cloud& cloud);

/// Sum of squared distances from the plane normal . p = offset.
[[nodiscard]] double sum_of_squares(const Cloud& cloud, const Vector3& normal, double offset);

/// Frame of the least-squares plane: `along` the longest scatter, `normal` the least, its z not negative.
[[nodiscard]] Frame least_squares_frame(const Moments& moments);

/// Why no plane can be laid through the points: too few, not numbers, on one line. Empty when one can.
[[nodiscard]] std::optional<std::string> why_no_plane(const Cloud& cloud, const Moments& moments);

}  // namespace headjoint::faces::internal
