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

/// 40 N m at 0.75 N m per degree, then 90 + 90 deg at the same slope, the wrench released before each; `bend_deg` before the end the slope
/// falls to 0.1 N m per degree. A released wrench shows no torque, then winds up to the last torque before the bolt turns again.
BoltTrace staged(double bend_deg = 0, double creep_deg = 0) {
  BoltTrace t;
  t.bolt = 1;
  const double snug = 40 / 0.75, last = snug + 180, bend = last - bend_deg;
  const auto at = [&](double a) { return 0.75 * std::min(a, bend) + 0.1 * std::max(a - bend, 0.0); };
  const auto add = [&](double a, double torque) { t.angle_deg.push_back(a), t.torque_Nm.push_back(torque); };
  double from = 0, shown = 0;
  for (const double to : {snug, snug + 90, last}) {
    for (double a = from; a < to; a += 0.5) add(a + shown, at(a));
    add(to + shown, at(to));
    for (const double share : {0.7, 0.3, 0.0, 0.0}) add(to + shown, share * at(to));
    if (to < last)
      for (const double share : {0.4, 0.8, 0.95}) add(to + (shown += creep_deg), share * at(to));
    from = to;
  }
  return t;
}

TEST(WrenchLog, AReleasedWrenchIsNoYield) {
  for (const double creep : {0.0, 0.5}) {
    const auto reading = read_traces({staged(0, creep)})[0];
    EXPECT_FALSE(reading.yield) << creep;
    EXPECT_NEAR(*reading.slope_Nm_per_deg, 0.75, 1e-6) << creep;
    EXPECT_NEAR(reading.final_Nm, 175, 1e-9) << creep;  // 40 + 180 * 0.75
    EXPECT_NEAR(reading.final_deg, 40 / 0.75 + 180 + 6 * creep, 1e-9);
  }
}

TEST(WrenchLog, ABendInTheLastStrokeIsFlaggedThereAlone) {
  const auto reading = read_traces({staged(30)})[0];
  ASSERT_TRUE(reading.yield);
  const double bend = 40 / 0.75 + 150;
  EXPECT_GE(*reading.yield_deg, bend);
  EXPECT_LE(*reading.yield_deg, bend + kWindow);
  EXPECT_NEAR(*reading.slope_Nm_per_deg, 0.75, 1e-6);
  EXPECT_NEAR(reading.final_Nm, 0.75 * bend + 3, 1e-9);
}

TEST(WrenchLog, AStrokeThatBendsFromItsStartIsHeldAgainstTheOneBefore) {
  const auto reading = read_traces({staged(90)})[0];
  EXPECT_TRUE(reading.yield);
  EXPECT_GE(*reading.yield_deg, 40 / 0.75 + 90);
  EXPECT_NEAR(*reading.slope_Nm_per_deg, 0.75, 1e-6);
}

TEST(WrenchLog, ABoltThatGivesWayIsNoReleasedWrench) {
  BoltTrace t = trace(2, 0, 0, 50);
  for (double a = 50.5; a <= 80; a += 0.5) t.angle_deg.push_back(a), t.torque_Nm.push_back(std::max(100 - 4 * (a - 50), 5.0));
  EXPECT_TRUE(read_traces({t})[0].yield);
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
