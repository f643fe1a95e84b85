#pragma once

#include <string>
#include <vector>

#include "headjoint/joint/engine.h"

/// Where things are: heads, the cylinders under each, the bridges between neighbours, and a plan that can always be drawn.
namespace headjoint::joint {

/// The land between two cylinders next to each other under the same head.
struct Bridge {
  int first = 0;  ///< the lower number
  int second = 0;
  auto operator<=>(const Bridge&) const = default;
};

/// "2-3"
[[nodiscard]] std::string to_string(const Bridge& bridge);

/// How many heads; at least 1.
[[nodiscard]] int head_count(const Engine& engine);

/// Head of a cylinder, from 1. The bores say; else vee and flat engines carry the first half of the cylinders under head 1.
/// @pre 1 <= cylinder <= engine.general.cylinders
[[nodiscard]] int head_of(const Engine& engine, int cylinder);

/// Cylinders under a head, rising. Empty for a head that is not there.
[[nodiscard]] std::vector<int> cylinders_of_head(const Engine& engine, int head);

/// All bridges, rising.
///
/// Where bores have places two of them are neighbours when no third centre lies inside the circle that has the line between them
/// as its diameter: in a row each with the next, in a staggered row each with the next across. Without places: each with the
/// next number under the same head.
[[nodiscard]] std::vector<Bridge> bridges(const Engine& engine);

/// The words a finding may use for a place in this engine: cylinders "1".., bridges "1-2".., heads "1"...
struct PlaceNames {
  std::vector<std::string> cylinders;
  std::vector<std::string> bridges;
  std::vector<std::string> heads;
};
[[nodiscard]] PlaceNames place_names(const Engine& engine);

struct PlanBore {
  int number = 0;
  PlanPoint centre;
  double radius_mm = 0;
};

/// One head's joint as seen from above, complete enough to draw.
struct HeadPlan {
  int head = 1;
  std::vector<PlanPoint> outline;
  std::vector<PlanBore> bores;
  double fire_ring_radius_mm = 0;  ///< middle of the ring; a little outside the bore when the file has none
  std::vector<Passage> passages;
  std::vector<PlanPoint> bolts;  ///< empty when the file has none
  bool assumed_outline = false;  ///< not in the file: drawn round the bores
  bool assumed_bores = false;    ///< places or size not in the file
};

/// One plan per head, whatever the file leaves out: 80 mm bores on a pitch of 1.1 bores + 12 mm, an outline round them.
/// What is not from the file is marked as assumed; nothing may be computed from it. Passages, bolts and outline of the file appear
/// only where the bores have places too.
/// @returns empty when the number of cylinders is not known
[[nodiscard]] std::vector<HeadPlan> head_plans(const Engine& engine);

}  // namespace headjoint::joint
