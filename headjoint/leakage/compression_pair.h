#pragma once

#include <cstddef>

#include "headjoint/leakage/compression_model.h"
#include "headjoint/units/points.h"

/// Two neighbours that a breach of the bridge joins: what it makes of their compression readings.
///
/// With the other plugs out the breach is a leak to the air and both read alike. With the plugs in, the cylinder that compresses
/// first feeds the second on its way down: the second reads up to 2 % higher at small breaches, lower at large ones; half a cycle
/// apart both read alike again.
namespace headjoint::leakage {

enum class Plugs {
  kOut,  ///< all but the tested cylinder's: the usual way
  kIn,   ///< only the tested cylinder's is replaced by the gauge
};

struct PairBreach {
  std::size_t first = 0;
  std::size_t second = 0;
  double difference = 0;           ///< (first - second) / mean of the readings
  double expected_difference = 0;  ///< what a breach of this size would make
  bool is_equal = false;           ///< within 5 % of the expected: the mark of a breach; else two causes are likelier
  LeakArea breach;                 ///< if all that both lack went across; kNotRun without cranking data
};

/// Difference of the two readings over their mean beyond which they are not taken for one breach. Assumption; a real breach makes
/// 0 to 3 % in the cycle model, two crankings of one cylinder differ by as much again.
inline constexpr double kPairEquality = 0.05;

/// The breach that explains two low ratios, through the coupled cycle.
///
/// @param apart         crank angle from the first's to the second's top dead centre of compression; counts with plugs in
/// @param first, second ratios to the healthy level; 0 < ratio <= 1
/// @param step          gauge step over the healthy level; > 0
/// @throws InputError naming the argument
/// @par Checked published.compression
[[nodiscard]] PairBreach pair_breach(const CompressionModel& model, Plugs plugs, Angle apart, double first, double second, double step);

}  // namespace headjoint::leakage
