#pragma once

#include "headjoint/leakage/ambient.h"

/// Gases that leak or that a test is done with, at 20 degC unless said. Figures from handbooks, from memory: gas constant is the
/// universal one over the molar mass, heat ratios and viscosities are those commonly tabulated.
namespace headjoint::leakage {

inline constexpr Gas kDryAir{287.05, 1.400, 1.81e-5};
inline constexpr Gas kNitrogen{296.80, 1.400, 1.76e-5};
inline constexpr Gas kCarbonDioxide{188.92, 1.29, 1.47e-5};
/// Nitrogen with 5 % hydrogen, the usual tracer of leak seekers.
inline constexpr Gas kFormingGas{311.0, 1.400, 1.75e-5};
/// Burnt gas of a petrol engine at about 1200 K: nearly air's constant, less heat ratio.
inline constexpr Gas kBurntGas{288.0, 1.30, 4.7e-5};

}  // namespace headjoint::leakage
