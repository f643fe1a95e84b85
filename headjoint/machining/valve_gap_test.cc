#include "headjoint/machining/valve_gap.h"

#include <cmath>
#include <vector>

#include "headjoint/machining/test_engines.h"

namespace headjoint::machining {
namespace {

constexpr double kGap = 1e-4;  // worked examples give four decimals and a half
constexpr double kDegrees = 0.01;
constexpr double kClosed = 1e-8;  // closed forms given to eight digits
constexpr double kSlope = 1e-4;   // central differences of the smallest gap, relative

using joint::LiftLaw;

const CrankTrain kTrain = {mm(86), mm(143)};

/// Intake opening 15 degrees before the top, 250 degrees, 9.5 mm; exhaust closing 12 after it, 248 degrees, 9.0 mm; 2.2 mm shut.
ValveOverPiston intake() { return {LiftCurve(LiftLaw::kPolynomial345, mm(9.5), deg(250)), deg(-15 + 125), deg(0), mm(2.2)}; }
ValveOverPiston exhaust() { return {LiftCurve(LiftLaw::kPolynomial345, mm(9.0), deg(248)), deg(12 - 124), deg(0), mm(2.2)}; }

// Cam handbook factors: rise at a tenth and a quarter, greatest velocity.
TEST(Rise, OfTheStandardLaws) {
  struct Row {
    LiftLaw law;
    double tenth, quarter, velocity;
  };
  for (const Row& row :
       {Row{LiftLaw::kHarmonic, 0.02447174, 0.14644661, 1.570796}, Row{LiftLaw::kCycloidal, 0.00645107, 0.09084506, 2},
        Row{LiftLaw::kPolynomial345, 0.00856000, 0.10351563, 1.875}, Row{LiftLaw::kPolynomial4567, 0.00272800, 0.07055664, 2.1875}}) {
    EXPECT_NEAR(rise(row.law, 0.1), row.tenth, kClosed);
    EXPECT_NEAR(rise(row.law, 0.25), row.quarter, kClosed);
    EXPECT_NEAR((rise(row.law, 0.5 + 1e-5) - rise(row.law, 0.5 - 1e-5)) / 2e-5, row.velocity, 1e-6);
    EXPECT_EQ(rise(row.law, 0), 0);
    EXPECT_NEAR(rise(row.law, 1), 1, 1e-15);
    EXPECT_NEAR(rise(row.law, 0.3) + rise(row.law, 0.7), 1, 1e-12) << "rise and fall mirror each other";
  }
}

// Worked examples, computed twice; least lift at the top and place of the closest approach.
TEST(SmallestValveGap, OfTheWorkedExamples) {
  const SmallestGap in = smallest_valve_gap(intake(), kTrain), out = smallest_valve_gap(exhaust(), kTrain);
  EXPECT_NEAR(in_mm(in.gap), 2.04096, kGap);
  EXPECT_NEAR(in.at.degrees(), 1.814, kDegrees);
  EXPECT_NEAR(in_mm(out.gap), 2.12028, kGap);
  EXPECT_NEAR(out.at.degrees(), -1.149, kDegrees);
}

TEST(SmallestValveGap, AfterASkimAndWithALateCam) {
  const auto after = [](const ValveOverPiston& valve, double lowered, double retard) {
    return in_mm(smallest_valve_gap(valve, kTrain, {mm(lowered), deg(retard), {}}).gap);
  };
  EXPECT_NEAR(after(intake(), 0.3, 0), 1.74096, kGap);
  EXPECT_NEAR(after(exhaust(), 0.3, 0), 1.82028, kGap);
  EXPECT_NEAR(after(intake(), 0.3, 1.2), 1.77536, kGap);
  EXPECT_NEAR(after(exhaust(), 0.3, 1.2), 1.79451, kGap);
}

// c0 less the closest approach, for gentle, usual and long cams.
TEST(SmallestValveGap, FallsNearTheTopForSmoothLaws) {
  struct Row {
    double opens_before, duration, lift, lift_at_top, nearer, at;
  };
  for (const Row& row :
       {Row{15, 250, 9.5, 0.136, 0.159, 1.81}, Row{30, 280, 11, 0.764, 0.926, 4.84}, Row{50, 320, 13, 2.340, 2.771, 7.64}}) {
    const LiftCurve lift(LiftLaw::kPolynomial345, mm(row.lift), deg(row.duration));
    const ValveOverPiston valve{lift, deg(row.duration / 2 - row.opens_before), deg(0), mm(5)};
    EXPECT_NEAR(in_mm(lift.lift(deg(row.opens_before))), row.lift_at_top, 5e-4);
    EXPECT_NEAR(5 - in_mm(smallest_valve_gap(valve, kTrain).gap), row.nearer, 5e-4);
    EXPECT_NEAR(smallest_valve_gap(valve, kTrain).at.degrees(), row.at, 0.01);
  }
}

TEST(SmallestValveGap, IsNowhereUndercut) {
  for (const ValveOverPiston& valve : {intake(), exhaust()}) {
    const double smallest = smallest_valve_gap(valve, kTrain).gap.si();
    for (double at = -360; at <= 360; at += 0.05) EXPECT_GE(valve_gap(valve, kTrain, deg(at)).si(), smallest - 1e-12) << at;
  }
}

TEST(SmallestValveGap, OfTheExhaustMirrorsTheIntake) {
  const LiftCurve lift(LiftLaw::kCycloidal, mm(10), deg(260));
  const SmallestGap in = smallest_valve_gap({lift, deg(108), deg(12), mm(2.5)}, kTrain, {mm(0.1), deg(1), {}});
  const SmallestGap out = smallest_valve_gap({lift, deg(-108), deg(12), mm(2.5)}, kTrain, {mm(0.1), deg(-1), {}});
  EXPECT_NEAR(in_mm(in.gap), in_mm(out.gap), 1e-9);
  EXPECT_NEAR(in.at.degrees(), -out.at.degrees(), 1e-4);
}

TEST(SmallestValveGap, FallsByTheCutAlongTheValveAndRisesWithTheSeat) {
  ValveOverPiston leaning = intake();
  leaning.valve_angle = deg(25);
  const auto gap = [&](double lowered, double sunk) { return in_mm(smallest_valve_gap(leaning, kTrain, {mm(lowered), {}, mm(sunk)}).gap); };
  const double step = 1e-3;
  EXPECT_NEAR((gap(0.3 + step, 0) - gap(0.3 - step, 0)) / (2 * step), -std::cos(deg(25).radians()), kSlope);
  EXPECT_NEAR((gap(0.3, step) - gap(0.3, -step)) / (2 * step), 1, kSlope);
}

TEST(SmallestValveGap, ChangesWithTheCamAsTheLiftThereDoes) {
  const SmallestGap at = smallest_valve_gap(intake(), kTrain);
  const auto gap = [&](double retard) { return smallest_valve_gap(intake(), kTrain, {{}, deg(retard), {}}).gap.si(); };
  const LiftCurve lift = intake().lift;
  const double since = at.at.degrees() + 15, step = 1e-3;
  const double lift_slope = (lift.lift(deg(since + step)) - lift.lift(deg(since - step))).si() / (2 * step);
  EXPECT_NEAR((gap(step) - gap(-step)) / (2 * step) / lift_slope, 1, kSlope) << "a later cam has lifted that much less";
}

TEST(LiftCurve, OfAMeasuredTableGivesTheLawItWasTakenFrom) {
  std::vector<joint::LiftPoint> table;
  const LiftCurve law(LiftLaw::kPolynomial345, mm(9.5), deg(250));
  for (int degrees = 0; degrees <= 250; degrees += 2) table.push_back({static_cast<double>(degrees), in_mm(law.lift(deg(degrees)))});
  const auto measured = LiftCurve::measured(table);
  ASSERT_TRUE(measured);
  EXPECT_NEAR(measured->full_lift_at().degrees(), 125, 1e-9 + 1) << "between two readings of equal height";
  for (double at = 0; at < 250; at += 0.5) EXPECT_NEAR(in_mm(measured->lift(deg(at))), in_mm(law.lift(deg(at))), 2e-3) << at;
  ValveOverPiston valve = intake();
  valve.lift = *measured;
  valve.full_lift = deg(measured->full_lift_at().degrees() - 15);
  EXPECT_NEAR(in_mm(smallest_valve_gap(valve, kTrain).gap), 2.04096, 2e-3);
}

TEST(LiftCurve, MayBeginAtAnyAngleOfTheTable) {
  const std::vector<joint::LiftPoint> from_zero = {{0, 0}, {60, 4}, {120, 9}, {180, 4}, {240, 0}};
  const std::vector<joint::LiftPoint> from_100 = {{100, 0}, {160, 4}, {220, 9}, {280, 4}, {340, 0}};
  const auto a = LiftCurve::measured(from_zero), b = LiftCurve::measured(from_100);
  ASSERT_TRUE(a && b);
  for (double at = 0; at <= 240; at += 11) EXPECT_EQ(a->lift(deg(at)).si(), b->lift(deg(at)).si());
  EXPECT_EQ(a->full_lift_at().degrees(), b->full_lift_at().degrees());
}

TEST(LiftCurve, RefusesATableThatDoesNotClose) {
  const auto refused = [](std::vector<joint::LiftPoint> table, const char* why) {
    const auto curve = LiftCurve::measured(table);
    ASSERT_FALSE(curve);
    EXPECT_NE(to_string(curve.problems()).find(why), std::string::npos) << to_string(curve.problems());
  };
  refused({{0, 0}, {120, 9}, {200, 2.5}}, "does not close");
  refused({{0, 1.27}, {120, 9}, {240, 0}}, "does not begin shut");
  refused({{0, 0}, {120, 0}, {240, 0}}, "never opens");
  refused({{0, 0}, {120, 9}, {100, 0}}, "do not rise");
  refused({{0, 0}, {120, -9}, {240, 0}}, "below zero");
  refused({{0, 0}, {240, 0}}, "2 points");
  refused({{0, 0}, {120, std::nan("")}, {240, 0}}, "below zero");
}

}  // namespace
}  // namespace headjoint::machining
