#pragma once

#include <string>
#include <vector>

#include "headjoint/base/result.h"
#include "headjoint/diagnosis/instances.h"
#include "headjoint/jobs/job.h"

/// The end of a job in the network's words.
namespace headjoint::assess {

/// Causes of [closure] that the network of this engine does not have, with the nearest name and the places that would do.
[[nodiscard]] Problems closure_problems(const jobs::Job& job, const diagnosis::InstanceNetwork& network);

/// Names of the instances that were found: "gas_to_neighbour@2-3".
/// @pre closure_problems is empty
[[nodiscard]] std::vector<std::string> found_instances(const jobs::Closure& closure);

/// The job as it stood before the engine was opened: no sign or reading that needs the head off, no faces, no closure.
[[nodiscard]] jobs::Job before_opening(jobs::Job job, const diagnosis::Pattern& pattern);

/// The job as its owner told it: only answers that cost nothing.
[[nodiscard]] jobs::Job complaint_alone(jobs::Job job, const diagnosis::Pattern& pattern);

/// A cause that can be named at the end of a job: of layer root, path or rival.
[[nodiscard]] bool can_be_named(const diagnosis::Cause& cause);

/// Places at which this engine can have the cause; empty for the whole engine or when it cannot.
[[nodiscard]] std::vector<std::string> places_of_cause(const diagnosis::InstanceNetwork& network, const diagnosis::Cause& cause);

}  // namespace headjoint::assess
