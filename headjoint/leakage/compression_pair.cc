#include "headjoint/leakage/compression_pair.h"

#include <algorithm>
#include <cmath>

#include "headjoint/leakage/internal/arguments.h"
#include "headjoint/numerics/root.h"

namespace headjoint::leakage {
namespace {

constexpr double kRootTolerance = 1e-4;  // of the area; the march is as good

struct Ratios {
  double first, second;

  [[nodiscard]] double mean() const { return (first + second) / 2; }
  [[nodiscard]] double difference() const { return mean() > 0 ? (first - second) / mean() : 0; }
};

/// Ratios that a breach makes of two cylinders with the base leak each.
Ratios coupled_ratios(const CompressionModel& model, HeatLoss law, Angle apart, double breach) {
  CrankingEngine engine = model.cranking().engine();
  engine.firing = {Angle{}, apart};
  const CrankingConditions conditions = model.cranking().conditions(law);
  const CylinderLeaks base{.rings = model.base(law)};
  const double ambient = conditions.ambient.pressure.pascal();
  const CrankingRun sound = simulate_cranking(engine, conditions, {base, base});
  const CrankingRun run = simulate_cranking(engine, conditions, {base, base}, {{0, 1, Area::from_si(breach)}});
  const auto ratio = [&](std::size_t i) {
    return (run.cylinders[i].peak.pascal() - ambient) / (sound.cylinders[i].peak.pascal() - ambient);
  };
  return {ratio(0), ratio(1)};
}

/// The breach under one law that brings the mean to the wanted ratio; starts from the leak to the air that would.
double fitted_breach(const CompressionModel& model, HeatLoss law, Angle apart, double mean, double start) {
  const auto surplus = [&](double area) { return coupled_ratios(model, law, apart, area).mean() - mean; };
  double low = start / 1.5, high = start * 1.5;
  constexpr double kLargest = 1e-3, kSmallest = 1e-12;
  while (surplus(high) > 0 && high * 2 < kLargest) high *= 2;
  while (surplus(low) < 0 && low > kSmallest) low /= 2;
  if (surplus(low) < 0 || surplus(high) > 0) return start;
  return numerics::bracketed_root(surplus, low, high, kRootTolerance * start).x;
}

}  // namespace

PairBreach pair_breach(const CompressionModel& model, Plugs plugs, Angle apart, double first, double second, double step) {
  check_argument(first > 0 && first <= 1.5 && second > 0 && second <= 1.5, "ratios of a pair", "must be above 0 and near 1 or below");
  check_positive(step, "gauge step");
  const Ratios seen{first, second};
  PairBreach pair;
  pair.difference = seen.difference();
  pair.breach = model.extra_leak(seen.mean(), std::max(0.0, seen.mean() - step), seen.mean() + step);
  const double to_air = pair.breach.area.si();
  if (plugs == Plugs::kIn && to_air > 0 && pair.breach.status != LeakArea::Status::kTooLargeToMeasure) {
    double factor = 0, difference = 0;
    for (HeatLoss law : {HeatLoss::kWoschni, HeatLoss::kHohenberg}) {
      const double area = fitted_breach(model, law, apart, seen.mean(), to_air);
      factor += area / to_air / 2;
      difference += coupled_ratios(model, law, apart, area).difference() / 2;
    }
    pair.expected_difference = difference;
    pair.breach.area = factor * pair.breach.area;
    pair.breach.low = factor * pair.breach.low;
    if (pair.breach.high) pair.breach.high = factor * *pair.breach.high;
  }
  pair.is_equal = std::abs(pair.difference - pair.expected_difference) <= kPairEquality;
  return pair;
}

}  // namespace headjoint::leakage
