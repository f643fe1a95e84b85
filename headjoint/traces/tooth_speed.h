#pragma once

#include <cstddef>
#include <vector>

#include "headjoint/traces/signal.h"

/// Crank speed from the signal of the sensor at a toothed wheel.
namespace headjoint::traces {

/// "60-2": sixty teeth round the wheel, two of them missing.
struct ToothedWheel {
  int teeth = 60;   ///< 6 to 400, the missing ones counted
  int missing = 2;  ///< in one place; 0 to 4
};

struct ToothSpeed {
  enum class Status {
    kNotRun,
    kFound,
    kNoTeeth,           ///< nothing in the signal repeats as teeth do
    kTooSlowlySampled,  ///< fewer than six samples a tooth
    kOtherWheel,        ///< the gap does not come once in as many teeth as the wheel should have
  };
  Status status = Status::kNotRun;
  Signal speed_rpm;
  std::vector<double> gaps_s;  ///< times of the missing teeth; empty when none are missing
  double needed_rate_Hz = 0;
};

/// Measures from tooth to tooth: speed = 60 / (teeth x time). A tooth is where the signal crosses its middle upwards after it was well
/// below it; well means a fifth of what it has swung lately, so that an inductive sensor, which gives more the faster it turns, is
/// followed. Where teeth are missing the time is shared among them.
/// @param sensor  inductive or Hall sensor, volts; joined samples blur it: at least six a tooth
[[nodiscard]] ToothSpeed tooth_speed(const Signal& sensor, const ToothedWheel& wheel);

}  // namespace headjoint::traces
