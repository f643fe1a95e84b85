#pragma once

#include <vector>

#include "headjoint/faces/internal/cloud.h"

namespace headjoint::faces::internal {

/// The thinnest zone found, with the contacts that hold it.
struct FoundZone {
  bool is_solved = false;  ///< no point pierces the planes that the contacts carry
  Vector3 normal{0, 0, 1};
  Range range;                     ///< of normal . point over all points
  std::vector<std::size_t> upper;  ///< contacts with a share in holding the zone
  std::vector<std::size_t> lower;
  int walks = 0;
};

/// Searches the minimum zone from the least-squares plane.
///
/// @param cloud  lets a plane be laid through it (why_no_plane)
/// @param start  frame of the least-squares plane
[[nodiscard]] FoundZone search_minimum_zone(const Cloud& cloud, const Frame& start);

/// Rounding error of normal . point for points `extent` wide.
[[nodiscard]] double rounding_of(const Cloud& cloud, double extent);

}  // namespace headjoint::faces::internal
