#include "headjoint/leakage/leak_size.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "headjoint/base/error.h"

namespace headjoint::leakage {
namespace {

constexpr double kNotANumber = std::numeric_limits<double>::quiet_NaN();
constexpr double kLargestOdds = 100 * (1 + 1e-9);  // one wrong reading in a hundred
GaugePressure psi(double value) { return GaugePressure::from_pascal(value * 6894.757); }
LeakDownTest eighty_psi() { return {.supply = psi(80), .orifice = TesterOrifice::drilled(Length::from_si(1.016e-3))}; }
const CompressionModel& four_hundred() {
  static const CompressionModel model(Cranking{.displacement = Volume::from_si(400e-6)});
  return model;
}
LeakSizeLikelihood by_leak_down(double reading, std::optional<double> healthy = 0.05) {
  return leak_size_from_leak_down(eighty_psi(), psi(reading), healthy);
}
LeakSizeLikelihood by_compression(double ratio) { return leak_size_from_compression(ratio, 0.017, four_hundred()); }

void expect_bounded(const LeakSizeLikelihood& l, double at) {
  const double highest = std::max({l.none, l.small, l.large}), lowest = std::min({l.none, l.small, l.large});
  EXPECT_GT(lowest, 0) << at;
  EXPECT_LE(highest, 1) << at;
  EXPECT_LE(highest / lowest, kLargestOdds) << at;
}

TEST(LeakSize, EveryReadingIsPossibleAndNoneDecidesAlone) {
  for (double reading = 0; reading <= 80; reading += 0.5) {
    expect_bounded(by_leak_down(reading), reading);
    expect_bounded(by_leak_down(reading, std::nullopt), reading);
  }
  for (double ratio = 0; ratio <= 3; ratio += 0.01) expect_bounded(by_compression(ratio), ratio);
}

TEST(LeakSize, GoodReadingsSpeakAgainstLargeAndHardlyAgainstSmallLeaks) {
  for (const LeakSizeLikelihood& good : {by_leak_down(76), by_compression(1.0)}) {
    EXPECT_GT(good.none / good.large, 3);
    EXPECT_LT(good.none / good.small, 1.3);
  }
}

TEST(LeakSize, BadReadingsSpeakForLargeLeaks) {
  for (const LeakSizeLikelihood& bad : {by_leak_down(40), by_leak_down(0), by_compression(0.6), by_compression(0.0)}) {
    EXPECT_GT(bad.large / bad.none, 10);
    EXPECT_GT(bad.large / bad.small, 5);
  }
}

TEST(LeakSize, WorseReadingNeverSpeaksMoreForHealthUntilTheFloorRules) {
  double before = std::numeric_limits<double>::infinity();
  for (double reading = 76; reading >= 62; reading -= 1) {
    const LeakSizeLikelihood l = by_leak_down(reading);
    EXPECT_LE(l.none / l.large, before) << reading;
    before = l.none / l.large;
  }
  before = std::numeric_limits<double>::infinity();
  for (double ratio = 1; ratio >= 0.86; ratio -= 0.01) {
    const LeakSizeLikelihood l = by_compression(ratio);
    EXPECT_LE(l.none / l.large, before) << ratio;
    before = l.none / l.large;
  }
}

TEST(LeakSize, ImplausiblyHighCompressionSaysNothing) {
  const LeakSizeLikelihood wet = by_compression(1.35);
  EXPECT_NEAR(wet.none / wet.small, 1, 0.01);
  EXPECT_NEAR(wet.none / wet.large, 1, 0.01);
}

TEST(LeakSize, KnowingTheEnginesOwnLevelSharpensTheReading) {
  const LeakSizeLikelihood known = by_leak_down(70, 0.03), unknown = by_leak_down(70, std::nullopt);
  EXPECT_GT(known.large / known.none, unknown.large / unknown.none);
}

/// All possible readings of one class together have probability 1: the steps leave no gap and no overlap.
TEST(LeakSize, ProbabilitiesOverAllReadingsSumToOne) {
  LeakSizes sure;
  sure.wrong_reading = 1e-12;
  double none = 0, small = 0, large = 0;
  for (int reading = 0; reading <= 80; ++reading) {
    const LeakSizeLikelihood l = leak_size_from_leak_down(eighty_psi(), psi(reading), 0.05, sure);
    none += l.none;
    small += l.small;
    large += l.large;
  }
  EXPECT_NEAR(none, 1, 1e-9);
  EXPECT_NEAR(small, 1, 1e-9);
  EXPECT_NEAR(large, 1, 1e-9);
}

TEST(LeakSize, HealthyLevelIgnoresTheBadCylinders) {
  EXPECT_NEAR(*healthy_leak_down_loss({0.05, 0.06, 0.40, 0.45}), 0.055, 1e-12);
  EXPECT_NEAR(*healthy_leak_down_loss({0.25, 0.26, 0.30, 0.31}), 0.10, 1e-12);  // a worn engine is not its own excuse
  EXPECT_NEAR(*healthy_leak_down_loss({0, 0, 0, 0}), 0.02, 1e-12);
  EXPECT_FALSE(healthy_leak_down_loss({0.05}).has_value());
  EXPECT_FALSE(healthy_leak_down_loss({}).has_value());
}

TEST(LeakSize, RefusesHostileArguments) {
  EXPECT_THROW((void)by_leak_down(81), InputError);
  EXPECT_THROW((void)by_leak_down(kNotANumber), InputError);
  EXPECT_THROW((void)by_leak_down(60, kNotANumber), InputError);
  EXPECT_THROW((void)by_leak_down(60, 1.0), InputError);
  EXPECT_THROW((void)by_compression(kNotANumber), InputError);
  EXPECT_THROW((void)by_compression(-0.1), InputError);
  EXPECT_THROW((void)leak_size_from_compression(0.9, 0, four_hundred()), InputError);
  EXPECT_THROW((void)healthy_leak_down_loss({0.1, kNotANumber}), InputError);
  LeakSizes upside_down;
  upside_down.smallest = upside_down.largest;
  EXPECT_THROW((void)leak_size_from_compression(0.9, 0.01, four_hundred(), upside_down), InputError);
}

}  // namespace
}  // namespace headjoint::leakage
