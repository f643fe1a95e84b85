#pragma once

#include <string>
#include <vector>

#include "headjoint/assess/results.h"
#include "headjoint/diagnosis/finding.h"
#include "headjoint/diagnosis/next_check.h"

/// The network's answer put into the trade's words.
namespace headjoint::assess {

/// Posterior, weights and conflicts of these observations, with the sentence that says it.
[[nodiscard]] Finding finding_of(const diagnosis::InstanceNetwork& network, const std::vector<diagnosis::Observation>& observations,
                                 std::vector<std::string> not_counted);

struct NextSteps {
  std::vector<NextCheck> checks;      ///< those that save more than they cost, best first
  std::vector<RepairOption> options;  ///< likeliest first
};

/// What to check next and what to put right, given these observations.
[[nodiscard]] NextSteps next_steps(const diagnosis::InstanceNetwork& network, const std::vector<diagnosis::Observation>& observations,
                                   bool head_off);

}  // namespace headjoint::assess
