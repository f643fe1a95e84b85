#pragma once

#include <vector>

#include "headjoint/assess/operation.h"
#include "headjoint/diagnosis/event_chances.h"
#include "headjoint/diagnosis/next_check.h"
#include "headjoint/repair/options.h"
#include "headjoint/repair/shop_table.h"

/// The engine in hand as the choice of a repair sees it: chances from the network, permissions from the engine, prices from the shop.
namespace headjoint::assess {

struct RepairInHand {
  std::string status = "not run";  ///< "done" | why there are no chances
  repair::RepairCase repair_case;
  repair::ShopPrices prices;
  repair::Cured cured;
  std::vector<diagnosis::CauseEvent> leak_events;
  std::vector<diagnosis::CauseEvent> part_events;
  unsigned measured_out = 0;  ///< PartBits of faces that were measured and are out of limit
};

/// The shop's table, or the shipped example; with the job's hour price. @returns its problems
[[nodiscard]] Result<repair::ShopPrices> shop_prices(const RepairTerms& terms, const jobs::Workshop& workshop);

/// @param assessed  its finding and faces count
[[nodiscard]] RepairInHand repair_in_hand(const diagnosis::InstanceNetwork& network,
                                          const std::vector<diagnosis::Observation>& observations, const Assessment& assessed,
                                          const RepairTerms& terms, const repair::ShopPrices& prices);

/// The network's costs from the shop's table: the next check is then weighed with the same figures as the repair.
void set_costs(diagnosis::InstanceNetwork& network, const RepairInHand& in_hand);

/// The rivals as the ranking of checks knows them: exact, with decisions that several places share.
void take_rivals(RepairInHand& in_hand, const diagnosis::InstanceNetwork& network, const diagnosis::NextChecks& ranked);

/// Chances of the leaks and parts after one more look.
struct RepairChances {
  std::vector<double> leaks;
  std::vector<double> parts;
};
[[nodiscard]] std::optional<RepairChances> chances_after(const diagnosis::InstanceNetwork& network,
                                                         std::vector<diagnosis::Observation> observations,
                                                         const diagnosis::Observation& look, const RepairInHand& in_hand);

}  // namespace headjoint::assess
