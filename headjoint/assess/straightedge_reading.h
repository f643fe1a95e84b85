#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "headjoint/assess/results_faces.h"
#include "headjoint/base/result.h"
#include "headjoint/units/quantity.h"

/// Lines under a straightedge evaluated, alone and joined.
namespace headjoint::assess {

struct LinesQuestion {
  std::string_view table;             ///< CSV with units in its header
  std::string source;                 ///< file name for messages
  std::optional<Length> limit;        ///< > 0
  std::optional<Length> window;       ///< longest stretch of a local limit, > 0
  std::optional<Length> local_limit;  ///< > 0
  std::string limit_source;
  std::optional<Length> uncertainty;  ///< expanded, k = 2, of blade, edge and dirt without the step; a usual budget when not given
};

/// @returns the evaluated lines, with warnings, or every problem of the table
[[nodiscard]] Result<Straightedge> judge_lines(const LinesQuestion& question);

}  // namespace headjoint::assess
