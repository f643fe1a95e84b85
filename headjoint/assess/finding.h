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
  std::vector<CheckPack> packs;       ///< best first
  std::string stop;                   ///< "Enough is known: ...", or empty
  double joint_turns_at = 0;          ///< chance of a failed joint from which opening it costs less than leaving it; 0 when not known
  std::vector<RepairOption> options;  ///< likeliest first
  diagnosis::NextChecks ranked;       ///< as they came
};

/// What to check next and what to put right, given these observations.
[[nodiscard]] NextSteps next_steps(const diagnosis::InstanceNetwork& network, const std::vector<diagnosis::Observation>& observations,
                                   bool head_off);

/// Which observation's numbers, moved by one step, would take the joint over the point where the action turns.
[[nodiscard]] std::vector<Flip> flips_of(const Finding& finding, double turns_at);

/// How the verdict moved, entry by entry: readings of one test count as one entry.
[[nodiscard]] std::vector<VerdictStep> verdict_line(const diagnosis::InstanceNetwork& network,
                                                    const std::vector<diagnosis::Observation>& observations);

}  // namespace headjoint::assess
