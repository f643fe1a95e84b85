#pragma once

#include <vector>

#include "headjoint/assess/repair_in_hand.h"
#include "headjoint/assess/results.h"

namespace headjoint::assess {

/// The options with their costs, the check that may come first, what turns the choice, and the words that go with it.
/// @param ranked  checks ranked with the same costs; those offered stand in assessed.next_checks
[[nodiscard]] OptionsAnswer options_answer(const RepairInHand& in_hand, const diagnosis::InstanceNetwork& network,
                                           const std::vector<diagnosis::Observation>& observations, const diagnosis::NextChecks& ranked,
                                           const Assessment& assessed, const RepairTerms& terms);

/// What to mind before the best option is begun.
[[nodiscard]] std::vector<Caution> option_cautions(const OptionsAnswer& answer);

/// "684 crowns", "11.4 workshop hours"
[[nodiscard]] std::string cost_text(double cost, const std::string& unit);

}  // namespace headjoint::assess
