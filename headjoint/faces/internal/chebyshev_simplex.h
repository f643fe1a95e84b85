#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <span>

#include "headjoint/faces/internal/vector3.h"

namespace headjoint::faces::internal {

/// Four contacts, each a point on the upper or the lower plane.
struct ContactBasis {
  std::array<std::size_t, 4> point{};
  std::array<bool, 4> is_upper{};
};

/// Two parallel planes w = a u + b v + upper and ... + lower.
struct SlopedZone {
  bool is_solved = false;
  double a = 0;
  double b = 0;
  double upper = 0;
  double lower = 0;
  ContactBasis basis;
  std::array<double, 4> weight{};  ///< share of each contact; upper ones sum to 1, lower ones too; 0 for a contact that proves nothing

  [[nodiscard]] double height() const { return upper - lower; }
};

/// Zone of least height upper - lower that holds points (u, v, w), heights along w.
///
/// Solved by the simplex method on the dual: maximise sum of upper weights x w minus sum of lower weights x w, weights non-negative, each
/// side summing to 1, both with the same centre of gravity in u and v. A basis is a set of four contacts, so every step is an exchange of
/// one contact for the point that pierces a plane most. Ties cannot cycle: after a run of steps without progress Bland's rule takes over.
///
/// @param points    (u, v, w), best centred; scaled inside. The first three do not line up in u and v.
/// @param previous  contacts of an earlier solution with the same numbering, tried as the start
/// @returns is_solved false only when rounding defeats the exchange
[[nodiscard]] SlopedZone least_sloped_zone(std::span<const Vector3> points, const std::optional<ContactBasis>& previous = {});

}  // namespace headjoint::faces::internal
