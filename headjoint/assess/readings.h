#pragma once

#include <optional>
#include <string>
#include <vector>

#include "headjoint/assess/results.h"
#include "headjoint/base/result.h"
#include "headjoint/diagnosis/finding.h"
#include "headjoint/leakage/ambient.h"
#include "headjoint/leakage/leak_outlets.h"
#include "headjoint/leakage/leak_size.h"

/// Gauge readings turned into leak areas for the reader and into likelihoods for the network.
namespace headjoint::assess {

/// Air of the day: from the job's history, else 1013 mbar and 20 degC.
[[nodiscard]] leakage::Ambient ambient_of(const jobs::History& history);

/// One observation over leak sizes, and the likelihood of every area behind it: tests that see the same leak are joined area by area.
struct AreaReading {
  std::size_t observation = 0;  ///< index into the observations
  leakage::LeakAreaLikelihood areas;
};

/// One test with what it says.
template <class Shown>
struct ReadTest {
  Shown shown;
  std::vector<diagnosis::Observation> observations;  ///< on `leak_down` or `compression`, over the sizes none, small, large
  std::vector<std::string> not_counted;
  std::vector<AreaReading> areas;
};

/// Air heard, seen or metered at one outlet of one cylinder.
struct CylinderOutlet {
  std::size_t cylinder = 0;  ///< index
  leakage::OutletReading reading;
};

/// What is known of a leak-down beside its readings.
struct TesterDetails {
  std::optional<double> discharge;      ///< overrides the assumed discharge coefficient
  std::optional<Area> effective_area;   ///< calibrated
  std::optional<joint::Engine> engine;  ///< for the push on the crank
  std::vector<CylinderOutlet> outlets;
};

/// The engine, and the outlets that the job's signs say air came out of.
[[nodiscard]] TesterDetails details_of(const jobs::Job& job);

/// Leak-down. A tester without a stated orifice counts as 0.040 in, one that shows per cent without a stated supply as 80 psi,
/// and the notes say so.
/// @returns problems when a reading is above the supply or the supply is missing
[[nodiscard]] Result<ReadTest<LeakDown>> judge_leak_down(const jobs::Reading& reading, const leakage::Ambient& ambient,
                                                         const TesterDetails& details = {});

/// Cranking compression compared within the engine.
/// A value that looks like a slip counts when another reading of the job showed about the same: it was taken again.
[[nodiscard]] Result<ReadTest<Compression>> judge_compression(const jobs::Reading& reading, const jobs::Job& job,
                                                              const leakage::Ambient& ambient);

/// Starter's pull on each cylinder as a share of the strongest. Nothing is shown beside the finding.
struct StarterPull {};

/// The pull follows the pressure that the cylinder builds up, so it sees the area that a compression gauge sees, less exactly.
[[nodiscard]] Result<ReadTest<StarterPull>> judge_starter(const jobs::Reading& reading, const jobs::Job& job);

}  // namespace headjoint::assess
