#include "headjoint/faces/internal/cloud.h"

#include <algorithm>
#include <limits>

#include "headjoint/faces/face_points.h"

namespace headjoint::faces::internal {
namespace {

constexpr std::size_t kLanes = 8;
constexpr double kFarthest_mm = 1e5;        // 100 m: no face is so large or so far
constexpr double kNarrowestStrip = 1e-6;    // width / length below which points lie on one line
constexpr double kSteepestCosine = 0.7071;  // the face lies within 45 degrees of the x-y plane

/// Range of direction . point over a few points, eight running ranges side by side so that the compiler can use vector registers.
Range range_of(const double* x, const double* y, const double* z, std::size_t count, const Vector3& d) {
  const double first = d[0] * x[0] + d[1] * y[0] + d[2] * z[0];
  std::array<double, kLanes> low;
  std::array<double, kLanes> high;
  low.fill(first);
  high.fill(first);
  std::size_t i = 0;
  for (; i + kLanes <= count; i += kLanes) {
    for (std::size_t k = 0; k < kLanes; ++k) {
      const double s = d[0] * x[i + k] + d[1] * y[i + k] + d[2] * z[i + k];
      low[k] = s < low[k] ? s : low[k];
      high[k] = s > high[k] ? s : high[k];
    }
  }
  for (; i < count; ++i) {
    const double s = d[0] * x[i] + d[1] * y[i] + d[2] * z[i];
    low[0] = std::min(low[0], s);
    high[0] = std::max(high[0], s);
  }
  return {*std::min_element(low.begin(), low.end()), *std::max_element(high.begin(), high.end())};
}

/// Eigenvectors of a symmetric 3 x 3 matrix by Jacobi rotations, as columns, with the values on the diagonal of `m`.
std::array<Vector3, 3> jacobi_axes(std::array<Vector3, 3>& m) {
  std::array<Vector3, 3> v{{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}};
  constexpr int kSweeps = 30;
  for (int sweep = 0; sweep < kSweeps; ++sweep) {
    if (m[0][1] == 0 && m[0][2] == 0 && m[1][2] == 0) break;
    for (std::size_t p = 0; p < 2; ++p) {
      for (std::size_t q = p + 1; q < 3; ++q) {
        if (m[p][q] == 0) continue;
        const double theta = (m[q][q] - m[p][p]) / (2 * m[p][q]);
        const double t = (theta < 0 ? -1 : 1) / (std::abs(theta) + std::hypot(theta, 1.0));
        const double c = 1 / std::hypot(t, 1.0);
        const double s = t * c;
        for (std::size_t k = 0; k < 3; ++k) {
          const double kp = m[k][p];
          const double kq = m[k][q];
          m[k][p] = c * kp - s * kq;
          m[k][q] = s * kp + c * kq;
        }
        for (std::size_t k = 0; k < 3; ++k) {
          const double pk = m[p][k];
          const double qk = m[q][k];
          m[p][k] = c * pk - s * qk;
          m[q][k] = s * pk + c * qk;
        }
        m[p][q] = m[q][p] = 0;
        for (std::size_t k = 0; k < 3; ++k) {
          const double kp = v[k][p];
          const double kq = v[k][q];
          v[k][p] = c * kp - s * kq;
          v[k][q] = s * kp + c * kq;
        }
      }
    }
  }
  return v;
}

/// True as soon as four different places are found.
bool has_four_places(const Cloud& cloud) {
  std::array<Vector3, 3> seen{};
  std::size_t count = 0;
  for (std::size_t i = 0; i < cloud.size(); ++i) {
    const Vector3 p = cloud.at(i);
    if (std::find(seen.begin(), seen.begin() + static_cast<std::ptrdiff_t>(count), p) != seen.begin() + static_cast<std::ptrdiff_t>(count))
      continue;
    if (count == seen.size()) return true;
    seen[count++] = p;
  }
  return false;
}

}  // namespace

std::vector<Range> block_ranges(const Cloud& cloud, const Vector3& direction) {
  const std::size_t n = cloud.size();
  std::vector<Range> blocks((n + kBlock - 1) / kBlock);
  for (std::size_t b = 0; b < blocks.size(); ++b) {
    const std::size_t start = b * kBlock;
    blocks[b] = range_of(&cloud.x[start], &cloud.y[start], &cloud.z[start], std::min(kBlock, n - start), direction);
  }
  return blocks;
}

std::size_t highest_in_block(const Cloud& cloud, const Vector3& direction, std::size_t block) {
  const std::size_t end = std::min(cloud.size(), (block + 1) * kBlock);
  std::size_t best = block * kBlock;
  double highest = dot(direction, cloud.at(best));
  for (std::size_t i = best + 1; i < end; ++i) {
    const double s = dot(direction, cloud.at(i));
    if (s > highest) {
      highest = s;
      best = i;
    }
  }
  return best;
}

Extremes extremes(const Cloud& cloud, const Vector3& direction, std::span<const Range> blocks) {
  const auto low = std::min_element(blocks.begin(), blocks.end(), [](const Range& a, const Range& b) { return a.low < b.low; });
  const auto high = std::max_element(blocks.begin(), blocks.end(), [](const Range& a, const Range& b) { return a.high < b.high; });
  const Vector3 back{-direction[0], -direction[1], -direction[2]};
  return {{low->low, high->high},
          highest_in_block(cloud, back, static_cast<std::size_t>(low - blocks.begin())),
          highest_in_block(cloud, direction, static_cast<std::size_t>(high - blocks.begin()))};
}

Extremes extremes(const Cloud& cloud, const Vector3& direction) { return extremes(cloud, direction, block_ranges(cloud, direction)); }

Moments moments(const Cloud& cloud) {
  const std::size_t n = cloud.size();
  if (n == 0) return {};
  const Vector3 base = cloud.at(0);
  std::array<double, 9> total{};  // block sums are added to the total, so that rounding does not grow with the number of points
  for (std::size_t start = 0; start < n; start += kBlock) {
    std::array<std::array<double, kLanes>, 9> lanes{};
    const std::size_t end = std::min(n, start + kBlock);
    const auto add = [&](std::size_t i, std::size_t k) {
      const double x = cloud.x[i] - base[0];
      const double y = cloud.y[i] - base[1];
      const double z = cloud.z[i] - base[2];
      lanes[0][k] += x;
      lanes[1][k] += y;
      lanes[2][k] += z;
      lanes[3][k] += x * x;
      lanes[4][k] += x * y;
      lanes[5][k] += x * z;
      lanes[6][k] += y * y;
      lanes[7][k] += y * z;
      lanes[8][k] += z * z;
    };
    std::size_t i = start;
    for (; i + kLanes <= end; i += kLanes)
      for (std::size_t k = 0; k < kLanes; ++k) add(i + k, k);
    for (; i < end; ++i) add(i, 0);
    for (std::size_t m = 0; m < total.size(); ++m)
      for (const double part : lanes[m]) total[m] += part;
  }
  for (double& sum : total) sum /= static_cast<double>(n);
  const auto [x, y, z, xx, xy, xz, yy, yz, zz] = total;
  return {{base[0] + x, base[1] + y, base[2] + z}, {xx - x * x, xy - x * y, xz - x * z, yy - y * y, yz - y * z, zz - z * z}};
}

double sum_of_squares(const Cloud& cloud, const Vector3& normal, double offset) {
  double total = 0;
  for (std::size_t start = 0; start < cloud.size(); start += kBlock) {
    std::array<double, kLanes> lanes{};
    const std::size_t end = std::min(cloud.size(), start + kBlock);
    const auto add = [&](std::size_t i, std::size_t k) {
      const double s = normal[0] * cloud.x[i] + normal[1] * cloud.y[i] + normal[2] * cloud.z[i] - offset;
      lanes[k] += s * s;
    };
    std::size_t i = start;
    for (; i + kLanes <= end; i += kLanes)
      for (std::size_t k = 0; k < kLanes; ++k) add(i + k, k);
    for (; i < end; ++i) add(i, 0);
    for (const double part : lanes) total += part;
  }
  return total;
}

Frame least_squares_frame(const Moments& moments) {
  const auto& s = moments.second;
  std::array<Vector3, 3> matrix{{{s[0], s[1], s[2]}, {s[1], s[3], s[4]}, {s[2], s[4], s[5]}}};
  const std::array<Vector3, 3> v = jacobi_axes(matrix);
  std::array<std::size_t, 3> order{0, 1, 2};
  std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return matrix[a][a] > matrix[b][b]; });
  const auto axis = [&](std::size_t k) { return Vector3{v[0][order[k]], v[1][order[k]], v[2][order[k]]}; };
  Vector3 normal = unit(axis(2));
  if (normal[2] < 0) normal = {-normal[0], -normal[1], -normal[2]};
  Frame frame{moments.centroid, axis(0), {}, normal};
  return turned_to(frame, normal);
}

std::optional<std::string> why_no_plane(const Cloud& cloud, const Moments& moments) {
  if (cloud.x.size() != cloud.size() || cloud.y.size() != cloud.size()) return "the coordinates are not equally many";
  if (cloud.size() < kFewestPoints) return "fewer than 4 points always lie in a plane: they say nothing about flatness";
  for (std::size_t k = 0; k < 3; ++k)
    if (!(std::abs(moments.centroid[k]) < kFarthest_mm)) return "a coordinate is not a number or lies beyond 100 m";
  const auto& [xx, xy, xz, yy, yz, zz] = moments.second;
  if (!(xx + yy + zz < kFarthest_mm * kFarthest_mm)) return "a coordinate is not a number or lies beyond 100 m";
  const double half = (xx + yy) / 2;
  const double turn = std::hypot((xx - yy) / 2, xy);
  const double lines_up = half + turn;
  if (!(xx * yy - xy * xy > kNarrowestStrip * kNarrowestStrip * lines_up * lines_up)) return "all points lie on one line";
  if (!(least_squares_frame(moments).normal[2] > kSteepestCosine))
    return "the points stand on edge or lie in too narrow a strip: z must be the height over the face";
  if (!has_four_places(cloud)) return "fewer than 4 different places always lie in a plane: they say nothing about flatness";
  return std::nullopt;
}

}  // namespace headjoint::faces::internal
