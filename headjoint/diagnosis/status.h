#pragma once

#include <string_view>

namespace headjoint::diagnosis {

/// How a run of exact inference ended. Only kDone carries numbers that may be used.
enum class Status {
  kNotRun,
  kDone,
  kImpossible,  ///< the observations cannot all be true: their joint probability is zero, or cannot be told from zero within rounding
  kInaccurate,  ///< more digits were lost to cancellation than kAccuracy allows
  kTooLarge,    ///< the best elimination order found needs more than kCellLimit table cells
};

/// Largest relative error of P(evidence) that still counts as done, and largest rounding residue that is clamped in a marginal.
inline constexpr double kAccuracy = 1e-8;

/// Largest total number of table cells of one elimination tree: 2^24, so 128 MiB of tables.
inline constexpr double kCellLimit = 16777216.0;

/// "not run", "done", "impossible", "inaccurate", "too large".
[[nodiscard]] std::string_view to_text(Status status);

}  // namespace headjoint::diagnosis
