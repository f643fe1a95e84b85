#include "headjoint/assess/class_readings.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "headjoint/units/quantity_text.h"

namespace headjoint::assess {
namespace {

constexpr double kSame = 1e-12;

GaugePressure bar(double value) { return GaugePressure::from_pascal(value * 1e5); }
Duration minutes(double value) { return Duration::from_si(60 * value); }
double odds(const std::vector<double>& states) { return states.back() / states.front(); }

TEST(ClassReadings, TheFartherTheNeedleFallsTheMoreItSaysForALeak) {
  double before = 0;
  for (double end : {1.0, 0.99, 0.97, 0.9, 0.7, 0.3, 0.0}) {
    const double now = odds(pressure_hold_likelihood(bar(1), bar(end), minutes(10)));
    EXPECT_GE(now, before);
    before = now;
  }
  EXPECT_GT(before, 10);
  EXPECT_LT(odds(pressure_hold_likelihood(bar(1), bar(1), minutes(10))), 0.1);
}

TEST(ClassReadings, ASlowFallOverALongTimeIsASlowFall) {
  EXPECT_NEAR(odds(pressure_hold_likelihood(bar(1), bar(.9), minutes(10))), odds(pressure_hold_likelihood(bar(1), bar(.8), minutes(20))),
              kSame);
}

TEST(ClassReadings, NoReadingGoesBeyondTheFloorOfAWrongGauge) {
  for (const auto& states :
       {pressure_hold_likelihood(bar(1), bar(0), minutes(1)), cold_rise_likelihood(bar(0), bar(3), minutes(.1)), gas_likelihood(.25, -1),
        gas_likelihood(-1, 100000), water_in_oil_likelihood(1),
        release_torque_likelihood(std::vector<Torque>{Torque::from_si(0), Torque::from_si(80), Torque::from_si(82)})}) {
    for (double value : states) EXPECT_GE(value, kWrongReading * (1 - kWrongReading));
    EXPECT_DOUBLE_EQ(*std::max_element(states.begin(), states.end()), 1.0);
  }
}

TEST(ClassReadings, OddsNeverTurnRoundAtTheEndOfTheScale) {
  double before = 0;
  for (double ppm : {0.0, 20.0, 40.0, 100.0, 300.0, 1000.0, 5000.0, 50000.0}) {
    const double now = odds(gas_likelihood(-1, ppm));
    EXPECT_GE(now, before) << ppm;
    before = now;
  }
}

TEST(ClassReadings, ALeakMayBeShutWhenColdButAnOpenOneIsSeen) {
  const std::vector<double> sound{1, .2, .01};
  const std::vector<double> cold = with_shut_leaks(sound, "cold");
  const std::vector<double> warm = with_shut_leaks(sound, "warm");
  EXPECT_GT(cold[2], warm[2]);
  EXPECT_GT(warm[2], sound[2]);
  const std::vector<double> leaking{.01, .5, 1};
  EXPECT_GT(with_shut_leaks(leaking, "cold")[2], .8);
}

}  // namespace
}  // namespace headjoint::assess
