#pragma once

#include <array>
#include <cmath>

namespace headjoint::faces::internal {

using Vector3 = std::array<double, 3>;

inline double dot(const Vector3& a, const Vector3& b) { return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]; }
inline Vector3 plus(const Vector3& a, double k, const Vector3& b) { return {a[0] + k * b[0], a[1] + k * b[1], a[2] + k * b[2]}; }
inline Vector3 cross(const Vector3& a, const Vector3& b) {
  return {a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]};
}
inline Vector3 unit(const Vector3& a) {
  const double length = std::sqrt(dot(a, a));
  return {a[0] / length, a[1] / length, a[2] / length};
}

/// Right-handed axes: `along` and `across` in the plane, `normal` out of it.
struct Frame {
  Vector3 origin{};
  Vector3 along{1, 0, 0};
  Vector3 across{0, 1, 0};
  Vector3 normal{0, 0, 1};
};

/// The frame with its normal turned to `normal`, its first axis as near as can be to where it was.
inline Frame turned_to(const Frame& frame, const Vector3& normal) {
  const Vector3 along = unit(plus(frame.along, -dot(frame.along, normal), normal));
  return {frame.origin, along, cross(normal, along), normal};
}

}  // namespace headjoint::faces::internal
