#pragma once

#include <optional>

#include "headjoint/assess/results_machining.h"
#include "headjoint/base/result.h"
#include "headjoint/jobs/job.h"
#include "headjoint/joint/engine.h"
#include "headjoint/machining/consequences.h"
#include "headjoint/machining/shim_plan.h"

namespace headjoint::assess {

/// What a cut changes on this engine, in words.
/// @returns the answer, or a problem naming --head, --deck or --gasket when one is outside its range
[[nodiscard]] Result<AfterSkim> judge_cut(const joint::Engine& engine, const machining::Cut& cut);

/// The cut a job orders, or empty when it orders none.
[[nodiscard]] std::optional<machining::Cut> ordered_cut(const jobs::Job& job);

/// The plan of a shim task, in words.
[[nodiscard]] ShimAnswer judge_shims(const machining::ShimTask& task);

}  // namespace headjoint::assess
