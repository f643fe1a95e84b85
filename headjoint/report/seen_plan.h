#pragma once

#include <string>
#include <vector>

#include "headjoint/jobs/job.h"
#include "headjoint/report/joint_plan.h"

namespace headjoint::report {

/// The joint plan with a numbered mark at every place where something was seen at strip-down, in the order of the job; what belongs to
/// no place is listed below the drawing. What is sound has a round mark, all else a square one.
[[nodiscard]] std::string seen_plan_svg(const joint::Engine& engine, const std::vector<jobs::Seen>& seen, const PlanOptions& options = {});

/// The same in a table: number, part, place, what, note, photograph.
[[nodiscard]] std::string seen_table_html(const std::vector<jobs::Seen>& seen);

}  // namespace headjoint::report
