#pragma once

#include <optional>
#include <string>
#include <vector>

#include "headjoint/assess/results.h"
#include "headjoint/base/result.h"
#include "headjoint/diagnosis/finding.h"
#include "headjoint/diagnosis/instances.h"

namespace headjoint::assess {

/// Everything a job says, as observations for the network, with what was worked out on the way.
struct Evidence {
  std::vector<diagnosis::Observation> observations;
  std::vector<std::string> not_counted;  ///< with the reason
  std::optional<LeakDown> leak_down;
  std::optional<Compression> compression;
  std::vector<Flatness> faces;
  Problems warnings;
};

/// Signs, readings and faces of a job.
///
/// Of several readings of one test the last that counts is used; two gauges on the same leak are not two leaks.
///
/// @returns problems: signs, places and states that the network does not know, readings that cannot be, faces that do not read
[[nodiscard]] Result<Evidence> gather_evidence(const jobs::Job& job, const diagnosis::InstanceNetwork& network);

}  // namespace headjoint::assess
