#pragma once

#include <vector>

#include "headjoint/machining/consequences.h"
#include "headjoint/machining/internal/figures.h"
#include "headjoint/machining/internal/reckoning.h"

namespace headjoint::machining {

/// Everything the lines are made from.
struct Work {
  const joint::Engine& engine;
  const Cut& cut;
  const ChargeAssumption& charge;
  const Figures& figures;
  joint::Limits limits;  ///< empty when the file has none
};

/// Adds the ingredients of Values::lowered().
void need_lowered(Asked& asked, const Work& work);

void add_castings(const Work& work, Consequences& into);     ///< heights, metal removed, dowels, bolts, liners
void add_cylinder(const Work& work, Consequences& into);     ///< ratio, squish, protrusion and grade
void add_valves(const Work& work, Consequences& into);       ///< gaps, recession, inserts
void add_valve_drive(const Work& work, Consequences& into);  ///< timing, tensioner, lash, preload
void add_manifold(const Work& work, Consequences& into);

/// How much later an overhead cam moves, in radians at the cam; the ingredients it reads are those of timing_needs.
[[nodiscard]] double cam_retard(const Values& values, bool by_strand_angle);

/// How the timing shift can be told for this engine.
struct TimingBasis {
  bool is_fixed = false;         ///< cam in the block: a cut does not shift it
  bool by_strand_angle = false;  ///< else exactly between two sprockets
  std::vector<Ingredient> needs;
  std::vector<std::string> missing;
  std::vector<std::string> assumed;
};
[[nodiscard]] TimingBasis timing_basis(const Work& work);

}  // namespace headjoint::machining
