#pragma once

#include <optional>
#include <string>
#include <vector>

#include "headjoint/assess/results.h"
#include "headjoint/base/result.h"
#include "headjoint/diagnosis/finding.h"
#include "headjoint/leakage/ambient.h"

/// Gauge readings turned into leak areas for the reader and into likelihoods for the network.
namespace headjoint::assess {

/// Air of the day: from the job's history, else 1013 mbar and 20 degC.
[[nodiscard]] leakage::Ambient ambient_of(const jobs::History& history);

/// One test with what it says.
template <class Shown>
struct ReadTest {
  Shown shown;
  std::vector<diagnosis::Observation> observations;  ///< on `leak_down` or `compression`, over the sizes none, small, large
  std::vector<std::string> not_counted;
};

/// Leak-down. A tester without a stated orifice counts as 0.040 in, one that shows per cent without a stated supply as 80 psi,
/// and the notes say so.
/// @param discharge_or_area  overrides the assumed discharge coefficient, or carries the calibrated area
/// @returns problems when a reading is above the supply or the supply is missing
struct TesterDetails {
  std::optional<double> discharge;
  std::optional<Area> effective_area;
};
[[nodiscard]] Result<ReadTest<LeakDown>> judge_leak_down(const jobs::Reading& reading, const leakage::Ambient& ambient,
                                                         const TesterDetails& details = {});

/// Cranking compression compared within the engine.
/// A value that looks like a slip counts when another reading of the job showed about the same: it was taken again.
[[nodiscard]] Result<ReadTest<Compression>> judge_compression(const jobs::Reading& reading, const jobs::Job& job,
                                                              const leakage::Ambient& ambient);

}  // namespace headjoint::assess
