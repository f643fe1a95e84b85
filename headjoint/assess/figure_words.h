#pragma once

#include <string>

#include "headjoint/assess/results_cooling.h"

/// Small figures as people read them.
namespace headjoint::assess {

/// Two significant digits without an exponent: "0.0052", "740"; "?" for a number that is not finite.
[[nodiscard]] std::string two_digits(double value);

/// "0.0025 to 0.011 mm²", "at least 0.0025 mm²" without an upper limit, "up to 0.011 mm²" from nothing.
[[nodiscard]] std::string area_words(const Band& area_mm2);

}  // namespace headjoint::assess
