#pragma once

#include <string>
#include <vector>

#include "headjoint/jobs/job.h"

namespace headjoint::assess {

/// What a reading of the cooling system says by the physics of its leak.
struct CoolingReading {
  std::vector<double> likelihood;  ///< P(reading | no leak that shows), P(reading | one that does), largest 1; empty: not calculated
  std::string remark;              ///< why the class table judges instead, or what was taken for granted
  std::string not_counted;         ///< the test is worth nothing: what it was and why; else empty
};

/// Pressure hold, rise from cold and carbon dioxide over the coolant through the forward models of leak and tank.
///
/// P(reading | leak) is averaged over leak areas spread evenly in their logarithm, 0.003 to 1 mm2 (coolant) or 3 mm2 (gas), and over what
/// the job does not tell: air in the system, how fast it warms or cools, how long the analyser stood there. Mixed with a floor for a
/// gauge that says nothing (class_readings.h). The areas and spreads are orders of magnitude, common practice, no source.
///
/// Pressures need the volume of coolant in the engine's file, carbon dioxide its fuel; without them the likelihood stays empty.
///
/// @param reading  any test; others than these three are left alone
[[nodiscard]] CoolingReading judge_cooling_reading(const jobs::Reading& reading, const jobs::Job& job);

}  // namespace headjoint::assess
