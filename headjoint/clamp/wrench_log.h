#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "headjoint/base/result.h"
#include "headjoint/clamp/bolt.h"

/// What a wrench that records torque and angle says of each bolt.
namespace headjoint::clamp {

/// One bolt's trace, angle rising.
struct BoltTrace {
  int bolt = 0;
  std::vector<double> angle_deg;
  std::vector<double> torque_Nm;
};

/// How to read the traces.
struct WrenchLogOptions {
  Angle window = Angle::from_degrees(5);  ///< chord of the gradient; 2 to 5 deg from a controller, 5 to 10 by hand
  double yield_share = 0.5;               ///< yield when the gradient falls below this share of its greatest
  double odd_share = 0.15;                ///< a bolt whose slope or final torque differs this much from the median is odd
  std::optional<Thread> thread;           ///< with the next two: preload estimates
  std::optional<Length> mean_bearing;
  std::optional<double> preload_per_degree_N;
};

enum class BoltFlag { kNone, kYield, kOdd, kShortTrace };

struct BoltReading {
  int bolt = 0;
  std::optional<double> snug_Nm;  ///< where the trace becomes straight
  std::optional<double> snug_deg;
  std::optional<double> slope_Nm_per_deg;
  double final_Nm = 0;  ///< greatest of the last stroke
  double final_deg = 0;
  bool yield = false;
  std::optional<double> yield_deg;
  std::optional<double> yield_Nm;
  std::optional<double> friction;    ///< that explains the slope, thread and head alike
  std::optional<double> preload_kN;  ///< at the end
  BoltFlag flag = BoltFlag::kNone;
  std::string why;  ///< one sentence when flagged
};

/// Columns bolt, angle and torque with units in the header ("angle_deg", "torque_Nm", "torque (lbf ft)").
/// @returns traces by bolt number, or all problems with line and column
[[nodiscard]] Result<std::vector<BoltTrace>> read_wrench_log(std::string_view text, const std::string& source);

/// Snug, slope and yield by the gradient method; odd bolts against the median of all.
///
/// A trace is cut into strokes where the wrench was released: the torque falls below half of the greatest so far; readings count again
/// from 0.9 of that greatest. Windows of the gradient lie inside one stroke; slope, yield and final torque are those of the last one.
/// @par Checked T38
[[nodiscard]] std::vector<BoltReading> read_traces(const std::vector<BoltTrace>& traces, const WrenchLogOptions& options = {});

}  // namespace headjoint::clamp
