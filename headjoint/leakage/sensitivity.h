#pragma once

#include <optional>
#include <string>

#include "headjoint/leakage/compression_model.h"
#include "headjoint/leakage/leak_down.h"

/// What a test could not have seen: a negative result is evidence only against leaks above these areas.
namespace headjoint::leakage {

/// Smallest extra leak that lowers the leak-down reading by one gauge step.
/// @param healthy_reading  what a sound cylinder of this engine shows; at most the supply, more than one step above 0
/// @throws InputError naming the argument
[[nodiscard]] Area smallest_leak_by_leak_down(const LeakDownTest& test, GaugePressure healthy_reading);

/// Smallest leak that shows as bubbles in the filler neck during the leak-down test.
/// @param slowest_flow  smallest stream of bubbles that is noticed; > 0. Default 0.05 L/min, an assumption
/// @throws InputError naming the argument
[[nodiscard]] Area smallest_leak_by_bubbles(GaugePressure cylinder, VolumeFlow slowest_flow = VolumeFlow::from_si(0.05e-3 / 60),
                                            const Ambient& ambient = {}, const Gas& gas = {});

/// Smallest extra leak that lowers one cylinder's cranking compression by the given share.
/// @param visible_drop  share of the healthy reading that stands out; 0 < drop < 0.8. Default 5 %, common practice
/// @throws InputError naming the argument
[[nodiscard]] Area smallest_leak_by_compression(const CompressionModel& model, double visible_drop = 0.05);

/// The tests on one cylinder that show a leak by its size.
enum class LeakTest {
  kCompression,      ///< cranking compression, a cylinder 5 % or one gauge step below the others, whichever is more
  kCompressionRule,  ///< cranking compression judged by "lowest at least 75 % of highest" alone
  kLeakDown,         ///< leak-down gauge, one step below a sound cylinder
  kLeakDownRule,     ///< leak-down judged by the 25 % loss alone
  kLeakDownBubbles,  ///< bubbles in the filler neck during the leak-down
};

/// The engine and the gauges the tests are done with.
struct TestedEngine {
  Cranking cranking;
  std::optional<GaugePressure> healthy_compression = {};             ///< empty: not known
  GaugePressure compression_step = GaugePressure::from_pascal(2e4);  ///< default 0.2 bar (3 psi)
  LeakDownTest leak_down;
  double healthy_loss = 0.06;                                      ///< of sound rings and valves, common practice, no source
  VolumeFlow slowest_bubbles = VolumeFlow::from_si(0.05e-3 / 60);  ///< that is noticed: 0.05 L/min, an assumption
};

struct Sensitivity {
  Area smallest;         ///< effective area that the test would just have shown
  std::string shown_by;  ///< in words: "a cylinder 5 % below the others"
};

/// The smallest leak a test could have shown on this engine; to be printed with every negative result.
/// @throws InputError naming the argument
/// @par Checked published.sensitivity
[[nodiscard]] Sensitivity sensitivity(LeakTest test, const TestedEngine& engine);

}  // namespace headjoint::leakage
