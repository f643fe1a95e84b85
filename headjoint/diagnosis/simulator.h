#pragma once

#include <cstddef>
#include <random>
#include <vector>

#include "headjoint/diagnosis/finding.h"

/// Engines drawn from the network itself: what is wrong with each, and what looking at it shows.
namespace headjoint::diagnosis {

/// The state of every node; readings have none of their own.
struct DrawnEngine {
  std::vector<std::size_t> state;  ///< [instance]
};

/// One engine, causes before what they bring.
[[nodiscard]] DrawnEngine draw_engine(const InstanceNetwork& network, std::mt19937& random);

/// What a look at this finding shows; a reading through its confusion rows.
/// @param instance  a finding that is not hidden
[[nodiscard]] Observation look_at(const InstanceNetwork& network, const DrawnEngine& engine, std::size_t instance, std::mt19937& random);

/// The same network with every strength, false-positive rate and chance moved up or down by half a decade of odds at random;
/// definitions stay.
[[nodiscard]] InstanceNetwork disturbed(InstanceNetwork network, std::mt19937& random);

}  // namespace headjoint::diagnosis
