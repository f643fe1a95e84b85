#pragma once

#include "headjoint/leakage/leak_down.h"
#include "headjoint/leakage/leak_number.h"

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
[[nodiscard]] Area smallest_leak_by_compression(const Cranking& cranking, double visible_drop = 0.05, const Gas& gas = {});

}  // namespace headjoint::leakage
