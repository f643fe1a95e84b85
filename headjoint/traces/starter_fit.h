#pragma once

#include <vector>

#include "headjoint/traces/relative_compression.h"
#include "headjoint/traces/starter_model.h"

namespace headjoint::traces {

/// What a cylinder leaks more than the tightest one.
struct FittedLeak {
  int place = 0;
  int cylinder = 0;
  Area extra;
  Area low;
  Area high;
};

struct StarterFit {
  enum class Status { kNotRun, kFitted, kNoComparison };
  Status status = Status::kNotRun;
  std::vector<FittedLeak> leaks;  ///< by place
  Area smallest;                  ///< the least extra leak that would have counted as weak
};

/// Leak areas that make the starter model show the same relative heights.
///
/// The model turns the engine as it was turned (battery adjusted to the measured mean speed) with leaks of one cylinder rising from nothing
/// to 30 mm2, which gives one falling curve of relative height; every cylinder's area is read off it, then all are corrected together. Low
/// and high come from two standard errors of the height and a model error of 25 %, assumed. The areas are those over the tightest cylinder:
/// a loss that all share stays unseen.
///
/// @param engine  its leaks and bridges are not looked at
[[nodiscard]] StarterFit fit_leaks(const RelativeCompression& compared, const CrankedEngine& engine, CrankingKind kind);

}  // namespace headjoint::traces
