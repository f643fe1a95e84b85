#pragma once

#include <vector>

#include "headjoint/diagnosis/instances.h"

namespace headjoint::diagnosis::internal {

/// Where each location stands along the scope that has most places.
struct Sweep {
  std::vector<bool> on_line;  ///< [location] is itself of that scope
  std::vector<int> last;      ///< [location] last position it touches, -1 for none
  std::vector<int> extent;    ///< [location] how many positions it touches
};

[[nodiscard]] Sweep sweep_of(const Layout& layout);

}  // namespace headjoint::diagnosis::internal
