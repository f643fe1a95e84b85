#pragma once

#include <cstddef>
#include <vector>

#include "headjoint/diagnosis/finding.h"

namespace headjoint::diagnosis {

/// An event: at least one of these causes is there. Indices into InstanceNetwork::instances; none: it never happens.
using CauseEvent = std::vector<std::size_t>;

inline constexpr std::size_t kMostEvents = 12;

struct EventChances {
  Status status = Status::kNotRun;
  std::vector<double> chance;  ///< [combination]: bit i set where event i happens; sums to 1. Empty unless done
};

/// The chance of every combination of a few events, given the observations; exact.
///
/// P(all events of a set absent) for every set, then inclusion and exclusion over the sets; negative rounding is cut off at 0.
///
/// @param events  at most kMostEvents
/// @throws ContractError when check_observations has errors, there are more events, or an index is no cause
[[nodiscard]] EventChances event_chances(const InstanceNetwork& network, const std::vector<Observation>& observations,
                                         const std::vector<CauseEvent>& events);

}  // namespace headjoint::diagnosis
