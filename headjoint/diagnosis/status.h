#pragma once

#include <string_view>

namespace headjoint::diagnosis {

/// How a run of exact inference ended. Only kDone carries numbers that may be used.
enum class Status {
  kNotRun,
  kDone,
  kImpossible,  ///< the observations cannot all be true: their joint probability is zero, or cannot be told from zero within rounding
  kInaccurate,  ///< more digits may have been lost to cancellation than kErrorBound and kAccuracy allow
  kTooLarge,    ///< the best elimination order found needs more than kCellLimit table cells
};

/// Largest rounding residue in a marginal, and largest disagreement of P(evidence) between parts of the tree, that still count as done.
inline constexpr double kAccuracy = 1e-9;

/// Largest running bound of the relative error of P(evidence) that still counts as done. The bound adds up the worst case of every
/// rounding: over 2000 simulated jobs it reached 5e-4 while different parts of the tree still agreed to 3e-11, which is held to kAccuracy.
inline constexpr double kErrorBound = 1e-2;

/// Largest total number of table cells of one elimination tree: 2^24, so 128 MiB of tables.
inline constexpr double kCellLimit = 16777216.0;

/// "not run", "done", "impossible", "inaccurate", "too large".
[[nodiscard]] std::string_view to_text(Status status);

}  // namespace headjoint::diagnosis
