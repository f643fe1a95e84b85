#include "headjoint/assess/figure_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace headjoint::assess {

std::string two_digits(double value) {
  if (!std::isfinite(value)) return "?";
  if (value == 0) return "0";
  const auto magnitude_of = [](double x) { return static_cast<int>(std::floor(std::log10(std::abs(x)) + 1e-12)); };
  const double step = std::pow(10, magnitude_of(value) - 1);
  const double rounded = std::round(value / step) * step;
  return fmt::format("{:.{}f}", rounded, std::clamp(1 - magnitude_of(rounded), 0, 12));
}

std::string area_words(const Band& area_mm2) {
  if (!std::isfinite(area_mm2.high)) return "at least " + two_digits(area_mm2.low) + " mm²";
  if (!(area_mm2.low > 0)) return "up to " + two_digits(area_mm2.high) + " mm²";
  return two_digits(area_mm2.low) + " to " + two_digits(area_mm2.high) + " mm²";
}

}  // namespace headjoint::assess
