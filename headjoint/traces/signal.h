#pragma once

#include <cstddef>
#include <vector>

namespace headjoint::traces {

/// Evenly spaced samples; value i stands for the time start_s + i / rate_Hz.
struct Signal {
  double start_s = 0;
  double rate_Hz = 0;  ///< samples per second; > 0 once there are values
  std::vector<float> values;

  [[nodiscard]] double time_s(double index) const { return start_s + index / rate_Hz; }
  [[nodiscard]] double duration_s() const { return rate_Hz > 0 ? static_cast<double>(values.size()) / rate_Hz : 0; }
};

/// A stretch of time without samples.
struct Gap {
  double start_s = 0;
  double length_s = 0;
};

}  // namespace headjoint::traces
