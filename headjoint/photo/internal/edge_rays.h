#pragma once

#include <optional>
#include <vector>

#include "headjoint/photo/circle_finder.h"

namespace headjoint::photo::internal {

/// A place on a ray where brightness changes fastest.
struct Edge {
  int ray = 0;
  double radius_mm = 0;
  PlanPlace at;
  double slope = 0;  ///< brightness per pixel, > 0: brighter outwards
};

struct RayEdges {
  std::vector<Edge> edges;  ///< ray after ray, outwards
  double least_slope = 0;   ///< what a slope had to exceed
};

/// Every edge along rays from `centre` between two radii.
/// @param least_slope  of an edge, brightness per pixel; empty: taken from the noise along these rays, which must then be long
[[nodiscard]] RayEdges edges_on_rays(const GreyPicture& picture, const PlanMap& map, PlanPlace centre, double least_mm, double most_mm,
                                     const CircleSearch& search, std::optional<double> least_slope = std::nullopt);

}  // namespace headjoint::photo::internal
