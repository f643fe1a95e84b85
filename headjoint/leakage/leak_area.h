#pragma once

#include <optional>

#include "headjoint/units/quantity.h"

namespace headjoint::leakage {

/// An effective leak area as one test saw it, with the limits its gauge allows.
struct LeakArea {
  enum class Status {
    kNotRun,             ///< nothing was computed; the areas mean nothing
    kMeasured,           ///< low > 0: there is a leak
    kBelowLimit,         ///< low = 0: no leak told from none; `high` is the smallest leak the test would have shown
    kTooLargeToMeasure,  ///< off the scale: only `low` is known, and `area` repeats it
  };
  Area area;
  Area low;
  std::optional<Area> high;  ///< empty: the test sets no upper limit
  Status status = Status::kNotRun;
};

}  // namespace headjoint::leakage
