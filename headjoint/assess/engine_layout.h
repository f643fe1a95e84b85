#pragma once

#include <set>
#include <string>

#include "headjoint/diagnosis/instances.h"
#include "headjoint/diagnosis/learning.h"
#include "headjoint/jobs/job.h"

/// The engine in the words of the network: its places and the facts that hold.
namespace headjoint::assess {

/// Heads, cylinders and bridges with their relations, cylinder by cylinder along each head.
[[nodiscard]] diagnosis::Layout layout_of(const joint::Engine& engine);

/// What is fitted, fuel, layout, cooling, materials and the job's history, as words of contexts.csv.
[[nodiscard]] std::set<std::string> facts_of(const joint::Engine& engine, const jobs::History& history);

/// The network of the head joint laid out over this engine.
/// @param learnt  the shop's own strengths in place of the shipped ones, or null pointer
[[nodiscard]] diagnosis::InstanceNetwork network_of(const joint::Engine& engine, const jobs::History& history,
                                                    const diagnosis::Learnt* learnt = nullptr);

}  // namespace headjoint::assess
