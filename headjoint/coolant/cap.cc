#include "headjoint/coolant/cap.h"

#include <cmath>

#include "headjoint/coolant/internal/arguments.h"

namespace headjoint::coolant {
namespace {

constexpr double kNewCapLow = 93.0 / 108, kNewCapHigh = 123.0 / 108;  // of the middle of the printed range

Margin margin_between(const TemperatureBand& boiling, Temperature hottest) {
  return {(boiling.value - hottest).si(), (boiling.low - hottest).si(), (boiling.high - hottest).si()};
}

}  // namespace

BoilMargin boil_margin(const Coolant& coolant, GaugePressure cap, AbsolutePressure ambient, std::optional<Temperature> hottest) {
  check_argument(cap.pascal() >= 0 && cap <= kLargestCap, "cap",
                 "must lie between 0 bar and 2.5 bar, as stamped on it (psi typed as bar? 15 psi are 1.03 bar)");
  check_argument(ambient.pascal() >= 2e4 && ambient.pascal() <= 1.1e5, "ambient", "must lie between 200 hPa and 1100 hPa, absolute");
  const auto boiling = [&](double share) {
    return boiling_temperature(coolant, AbsolutePressure::from_pascal(ambient.pascal() + share * cap.pascal()));
  };
  BoilMargin result{boiling(1), boiling(kWornCapShare), boiling(0), {}, {}};
  if (!hottest) return result;
  check_argument(hottest->celsius() >= -40 && hottest->celsius() <= 200, "coolant", "must lie between -40 degC and 200 degC");
  result.margin = margin_between(result.boiling, *hottest);
  result.margin_no_cap = margin_between(result.boiling_no_cap, *hottest);
  return result;
}

CapState judge_cap(GaugePressure stamp, GaugePressure opened) {
  check_argument(stamp.pascal() > 0 && stamp <= kLargestCap, "stamp", "must be above 0 bar and at most 2.5 bar");
  check_argument(opened.pascal() >= 0 && std::isfinite(opened.pascal()), "opened", "must not be negative");
  const double share = opened.pascal() / stamp.pascal();
  if (share < kWornCapShare) return CapState::kWeak;
  if (share < kNewCapLow) return CapState::kWorn;
  return share <= kNewCapHigh ? CapState::kHolds : CapState::kOpensLate;
}

}  // namespace headjoint::coolant
