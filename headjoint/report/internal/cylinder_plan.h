#pragma once

#include <string>
#include <vector>

#include "headjoint/joint/engine.h"

namespace headjoint::report {

/// What is written into one bore.
struct BoreMark {
  int cylinder = 0;
  std::string text;        ///< "69 %"
  bool is_strong = false;  ///< ringed heavily: this one is meant
};

/// The joint plan with a word in every bore and the ones that are meant ringed; "" when the engine has no plan.
[[nodiscard]] std::string cylinder_plan_svg(const joint::Engine& engine, const std::vector<BoreMark>& marks, const std::string& id_prefix,
                                            const std::string& title, const std::string& description);

}  // namespace headjoint::report
