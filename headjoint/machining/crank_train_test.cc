#include "headjoint/machining/crank_train.h"

#include <cmath>
#include <numbers>

#include "headjoint/machining/test_engines.h"

namespace headjoint::machining {
namespace {

constexpr double kSixDigits = 1e-6;

TEST(PistonDrop, OfTheWorkedTables) {
  const CrankTrain long_rod{mm(90), mm(150)}, short_rod{mm(86), mm(145)};
  const auto drop = [](const CrankTrain& train, double degrees) { return in_mm(piston_drop(train, deg(degrees))); };
  EXPECT_NEAR(drop(long_rod, 10), 0.887327, kSixDigits);
  EXPECT_NEAR(drop(long_rod, 15), 1.986186, kSixDigits);
  EXPECT_NEAR(drop(long_rod, 20), 3.505521, kSixDigits);
  EXPECT_NEAR(drop(long_rod, 30), 7.725957, kSixDigits);
  EXPECT_NEAR(drop(long_rod, 60), 27.650941, kSixDigits);
  EXPECT_NEAR(drop(long_rod, 90), 51.909120, kSixDigits);
  EXPECT_NEAR(drop(long_rod, 180), 90, 1e-9);
  EXPECT_NEAR(drop(short_rod, 5), 0.212068, kSixDigits);
  EXPECT_NEAR(drop(short_rod, 20), 3.340980, kSixDigits);
  EXPECT_NEAR(drop(short_rod, 90), 49.522565, kSixDigits);
  EXPECT_EQ(drop(long_rod, 0), 0);
}

// Printed: rod 6.024 in, stroke 3.307 in at 6000 rpm: fastest 1078 in/s at 75.6 degrees, the pin then 6.218 in above the crank.
TEST(PistonDrop, HasThePrintedFastestSpeed) {
  const Length inch = headjoint::unit_of<Length>("in");
  const CrankTrain train{3.307 * inch, 6.024 * inch};
  const double step = 1e-3, turn = 6000.0 / 60 * 360;  // degrees a second
  const auto speed = [&](double at) {
    return (piston_drop(train, deg(at + step)) - piston_drop(train, deg(at - step))).in(inch) / (2 * step) * turn;
  };
  double fastest = 0, at = 0;
  for (double angle = 60; angle < 90; angle += 0.01)
    if (speed(angle) > fastest) fastest = speed(angle), at = angle;
  EXPECT_NEAR(fastest, 1078, 0.5);
  EXPECT_NEAR(at, 75.6, 0.05);
  EXPECT_NEAR(6.024 + 3.307 / 2 - piston_drop(train, deg(at)).in(inch), 6.218, 5e-4);
}

// Printed: crank 45 mm, rod 150 mm, 6500 rpm: 27 100 m/s2 at the top.
TEST(PistonDrop, HasThePrintedAccelerationAtTheTop) {
  const CrankTrain train{mm(90), mm(150)};
  const double step = 1e-3, per_second = 6500.0 / 60 * 2 * std::numbers::pi;
  const double curvature = 2 * piston_drop(train, Angle::from_radians(step)).si() / (step * step);
  EXPECT_NEAR(curvature * per_second * per_second, 27104.4, 1);
}

TEST(PistonDrop, IsTheSameBeforeAndAfterTheTop) {
  const CrankTrain train{mm(86), mm(143)};
  for (int degrees = 0; degrees <= 360; degrees += 7) {
    EXPECT_NEAR(in_mm(piston_drop(train, deg(degrees))), in_mm(piston_drop(train, deg(-degrees))), 1e-12);
    EXPECT_NEAR(in_mm(piston_drop(train, deg(degrees))), in_mm(piston_drop(train, deg(degrees + 360))), 1e-9);
  }
}

TEST(PistonDrop, RefusesARodThatCannotTurn) {
  EXPECT_THROW((void)piston_drop({mm(86), mm(43)}, deg(10)), InputError);
  EXPECT_THROW((void)piston_drop({mm(0), mm(43)}, deg(10)), InputError);
}

}  // namespace
}  // namespace headjoint::machining
