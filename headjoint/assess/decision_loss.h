#pragma once

#include <optional>
#include <set>
#include <string>
#include <vector>

#include "headjoint/diagnosis/finding.h"

/// What decisions cost once it is known what was the matter. Workshop minutes.
namespace headjoint::assess {

/// Decisions the evidence calls for: those whose expected loss when left is above the cost of putting right. Empty when the evidence is
/// impossible.
[[nodiscard]] std::optional<std::set<std::string>> decisions_taken(const diagnosis::InstanceNetwork& network,
                                                                   const std::vector<diagnosis::Observation>& observations);

struct DecisionLoss {
  double put_right_minutes = 0;
  double left_minutes = 0;  ///< of what was there and left in: the largest of each decision, one come-back
  [[nodiscard]] double total() const { return put_right_minutes + left_minutes; }
};

/// @param there  names of the instances that were the matter; those of weaknesses and flags count for nothing
[[nodiscard]] DecisionLoss loss_of(const diagnosis::InstanceNetwork& network, const std::set<std::string>& taken,
                                   const std::vector<std::string>& there);

/// Minutes and prices of the looks behind these observations; a set-up that several share is counted once.
[[nodiscard]] double checking_minutes(const diagnosis::InstanceNetwork& network, const std::vector<diagnosis::Observation>& observations);

}  // namespace headjoint::assess
