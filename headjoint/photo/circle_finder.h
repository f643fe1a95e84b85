#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "headjoint/photo/photo.h"
#include "headjoint/photo/plan_map.h"

/// A hole tapped near its middle, snapped to its edge in the picture.
namespace headjoint::photo {

struct CircleSearch {
  double least_radius_mm = 1.5;
  double most_radius_mm = 60;
  int rays = 180;               ///< from the tap outwards; 24 to 720
  double edge_blur_px = 1.2;    ///< standard deviation of the slope filter along a ray
  double least_contrast = 6;    ///< of 255: a weaker edge is no edge
  double edge_floor_px = 0.25;  ///< what blur, paint and burr may shift an edge by, two standard deviations
};

enum class CircleStatus {
  kNotRun,
  kFound,     ///< at least 70 % of the rim seen
  kPartly,    ///< 35 % to 70 %: shadow, dirt, or something over it; look at it
  kCutOff,    ///< part of the circle lies outside the picture
  kNotFound,  ///< no circle round the tap
  kOffPlan    ///< the tap lies outside the picture or beyond the horizon
};

/// "found", "partly seen", "cut off", "not found", "off the plan", "not run"
[[nodiscard]] std::string_view text_of(CircleStatus status);

struct FoundCircle {
  CircleStatus status = CircleStatus::kNotRun;
  PlanPlace centre;  ///< may be used for found, partly and cut off
  double diameter_mm = 0;
  double centre_uncertainty_mm = 0;    ///< two standard deviations, edge and map together
  double edge_uncertainty_mm = 0;      ///< of the centre, from the edges alone, two standard deviations
  double diameter_uncertainty_mm = 0;  ///< two standard deviations, edge and map together
  double seen_share = 0;               ///< of the rays that met the edge, 0 to 1
  PicturePoint centre_px;
  std::vector<PicturePoint> rim;   ///< 72 places of the found circle in the picture, for drawing; empty when not found
  std::vector<PicturePoint> edge;  ///< the edges that it rests on

  [[nodiscard]] bool may_be_used() const {
    return status == CircleStatus::kFound || status == CircleStatus::kPartly || status == CircleStatus::kCutOff;
  }
};

/// Looks outwards from the tap along rays in the plane of the gasket, so that a hole seen at an angle is a circle again.
///
/// On every ray the places are noted where brightness changes fastest (slope of a Gaussian, to a part of a pixel). Of the circles
/// through three such edges the one with most edges near it wins, darker and lighter edges apart; where several do nearly as well
/// the innermost is the hole, the others are beads and rings round it. Then rays from the found centre and a robust fit, twice.
///
/// The band holds the scatter of the edges, the floor for blur and burr, and the map's own uncertainty.
[[nodiscard]] FoundCircle find_circle(const GreyPicture& picture, const PlanMap& map, PicturePoint tap, const CircleSearch& search = {});

}  // namespace headjoint::photo
