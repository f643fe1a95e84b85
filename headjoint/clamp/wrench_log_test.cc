#include "headjoint/clamp/wrench_log.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

namespace headjoint::clamp {
namespace {

constexpr double kWindow = 5;  // degrees

/// Alignment to `snug_deg`, then 2 N m per degree to 55 deg after it, then `later` N m per degree.
BoltTrace trace(double later, double noise = 0, double snug_deg = 0, double until = 80, int bolt = 1, double steepness = 2) {
  std::mt19937 random(4);
  std::uniform_real_distribution<double> uniform(-noise, noise);
  BoltTrace t;
  t.bolt = bolt;
  for (double a = 0; a <= until; a += 0.5) {
    const double straight = std::min(std::max(a - snug_deg, 0.0), 55.0), beyond = std::max(a - snug_deg - 55, 0.0);
    t.angle_deg.push_back(a);
    t.torque_Nm.push_back(0.1 * std::min(a, snug_deg) + steepness * straight + later * beyond + uniform(random));
  }
  return t;
}

TEST(WrenchLog, YieldIsFlaggedWithinOneWindow) {
  const auto readings = read_traces({trace(0.4)});
  ASSERT_TRUE(readings[0].yield);
  EXPECT_GE(*readings[0].yield_deg, 55);
  EXPECT_LE(*readings[0].yield_deg, 55 + kWindow);
  EXPECT_NEAR(*readings[0].slope_Nm_per_deg, 2, 1e-6);
}

TEST(WrenchLog, AStraightTraceDoesNotYield) {
  EXPECT_FALSE(read_traces({trace(2)})[0].yield);
  EXPECT_FALSE(read_traces({trace(2, 0.5)})[0].yield);
}

TEST(WrenchLog, NothingIsFlaggedBelowSnugInANoisyTrace) {
  const auto reading = read_traces({trace(2, 0.5, 30)})[0];
  EXPECT_FALSE(reading.yield);
  EXPECT_NEAR(*reading.snug_deg, 30, kWindow);
  EXPECT_NEAR(*reading.slope_Nm_per_deg, 2, 0.1);
}

TEST(WrenchLog, TheOddBoltIsNamed) {
  const auto readings = read_traces({trace(2, 0, 0, 50, 1), trace(2, 0, 0, 50, 2), trace(2, 0, 0, 50, 3, 1.4), trace(2, 0, 0, 50, 4)});
  EXPECT_EQ(readings[2].flag, BoltFlag::kOdd);
  EXPECT_EQ(readings[0].flag, BoltFlag::kNone);
  EXPECT_NE(readings[2].why.find("30 %"), std::string::npos);
}

TEST(WrenchLog, ThePreloadComesBackFromSlopeAndFriction) {
  const Thread m11 = thread(Length::from_si(0.011));
  const double lever = tightening_torque(m11, {0.12, 0.12}, Length::from_si(0.015), Force::from_si(1)).si();
  BoltTrace t;
  for (double a = 0; a <= 100; a += 1) {
    t.angle_deg.push_back(a);
    t.torque_Nm.push_back(lever * 421.42 * a);
  }
  const auto r = read_traces({t}, {.thread = m11, .mean_bearing = Length::from_si(0.015), .preload_per_degree_N = 421.42})[0];
  EXPECT_NEAR(*r.friction, 0.12, 1e-3);
  EXPECT_NEAR(*r.preload_kN, 42.142, 0.01);
}

TEST(WrenchLog, UnitsComeFromTheHeader) {
  const auto log = read_wrench_log("bolt;angle (deg);torque (lbf.ft)\n1;0;0\n1;10;10\n2;0;1\n", "log.csv");
  ASSERT_TRUE(log.has_value());
  ASSERT_EQ(log->size(), 2u);
  EXPECT_NEAR((*log)[0].torque_Nm[1], 13.55818, 1e-4);
}

TEST(WrenchLog, EverythingWrongIsListedAtOnce) {
  EXPECT_FALSE(read_wrench_log("bolt,angle,torque_Nm\n1,0,0\n", "log.csv").has_value());
  EXPECT_FALSE(read_wrench_log("bolt,torque_Nm\n1,0\n", "log.csv").has_value());
  const auto log = read_wrench_log("bolt,angle_deg,torque_Nm\n1,10,5\n1,5,x\n1.5,20,3\n1,5,6\n", "log.csv");
  ASSERT_FALSE(log.has_value());
  EXPECT_EQ(log.problems().size(), 3u);
  EXPECT_EQ(log.problems()[0].place.line, 3);
}

TEST(WrenchLog, AShortTraceIsSaidToBeShort) {
  const auto readings = read_traces({{1, {0, 1}, {0, 2}}, {2, {}, {}}, {3, {0, 10, 20, 30}, {5, 5, 5, 5}}});
  for (const BoltReading& r : readings) EXPECT_EQ(r.flag, BoltFlag::kShortTrace);
}

}  // namespace
}  // namespace headjoint::clamp
