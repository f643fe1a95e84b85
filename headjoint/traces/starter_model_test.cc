#include "headjoint/traces/starter_model.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "headjoint/base/error.h"
#include "headjoint/traces/testing/cranked_examples.h"

namespace headjoint::traces {
namespace {

using testing::four_with_bridge;
using testing::four_with_leak;

// Expected figures: worked example of an independent first-order calculation of the same equations (explicit step of 1e-5 s, last 3 of 6
// cycles; the project's collection of check cases, S1 to S4). Its rise is the top over the least of the 90 degrees before dead centre.
constexpr double kOfTheExample = 0.02;

struct Hump {
  double peak, rise;
};

/// Tops and rises of the cylinders in firing order, last whole cycle.
std::vector<Hump> humps(const CrankedEngine& engine) {
  TraceLength length;
  length.rate_Hz = 10000;
  length.rest_s = length.rest_after_s = 0;
  const CrankingTrace trace = crank_engine(engine, length);
  const double from = trace.first_cylinder_s[trace.first_cylinder_s.size() - 3],
               to = trace.first_cylinder_s[trace.first_cylinder_s.size() - 2];
  // dead centres by integrating the speed
  std::vector<double> centres{from};
  double angle = 0;
  for (auto i = static_cast<std::size_t>(from * 10000); static_cast<double>(i) < to * 10000; ++i) {
    angle += static_cast<double>(trace.speed_rpm.values[i]) * 6 / 10000;
    if (angle >= 180 * static_cast<double>(centres.size())) centres.push_back(static_cast<double>(i) / 10000);
  }
  std::vector<Hump> result;
  for (std::size_t k = 0; k < 4; ++k) {
    auto i = static_cast<std::size_t>(centres[k] * 10000);
    double peak = 0, least = 1e9, turned = 0;
    for (std::size_t ahead = i; ahead < i + 150; ++ahead) peak = std::max(peak, static_cast<double>(trace.current_A.values[ahead]));
    for (; turned < 90; --i) {
      turned += static_cast<double>(trace.speed_rpm.values[i]) * 6 / 10000;
      peak = std::max(peak, static_cast<double>(trace.current_A.values[i]));
      least = std::min(least, static_cast<double>(trace.current_A.values[i]));
    }
    result.push_back({peak, peak - least});
  }
  return result;
}

void expect_near(double actual, double expected, double share) { EXPECT_NEAR(actual, expected, share * std::abs(expected)); }

TEST(StarterModel, SoundEngineOfTheWorkedExample) {
  const CrankedEngine engine;
  for (const Hump& hump : humps(engine)) {
    expect_near(hump.peak, 225.0, kOfTheExample);
    expect_near(hump.rise, 160.5, kOfTheExample);
  }
  const SteadyCycle cycle = steady_cranking(engine);
  EXPECT_TRUE(cycle.is_steady);
  expect_near(cycle.mean.rpm(), 282, kOfTheExample);
  expect_near(static_cast<double>(*std::min_element(cycle.voltage_V.values.begin(), cycle.voltage_V.values.end())), 11.05, kOfTheExample);
  expect_near(static_cast<double>(*std::min_element(cycle.speed_rpm.values.begin(), cycle.speed_rpm.values.end())), 245, kOfTheExample);
}

TEST(StarterModel, ALeakLowersItsOwnTopAndRaisesTheNext) {
  const std::vector<Hump> order_1342 = humps(four_with_leak(3, 1));
  expect_near(order_1342[1].peak, 209.3, kOfTheExample);
  expect_near(order_1342[1].rise, 145.0, kOfTheExample);
  expect_near(order_1342[2].peak, 240.2, kOfTheExample);
  expect_near(order_1342[2].rise, 147.1, kOfTheExample);
}

TEST(StarterModel, ABreachBetweenTwoAndThreeMakesEverySecondEventWeak) {
  constexpr double kOfTheBreach = 0.03;
  const std::vector<Hump> order_1342 = humps(four_with_bridge(2, 3, 3));
  for (const std::size_t strong : {0U, 2U}) expect_near(order_1342[strong].rise, 132.3, kOfTheBreach);
  for (const std::size_t weak : {1U, 3U}) expect_near(order_1342[weak].rise, 115.7, kOfTheBreach);
}

TEST(StarterModel, ABreachBetweenOneAndTwoMakesTwoConsecutiveEventsWeak) {
  constexpr double kOfTheBreach = 0.03;
  const std::vector<Hump> order_1342 = humps(four_with_bridge(1, 2, 3));
  expect_near(order_1342[3].rise, 119.9, kOfTheBreach);
  expect_near(order_1342[0].rise, 89.5, kOfTheBreach);
  expect_near(order_1342[1].rise, 128.0, kOfTheBreach);
}

TEST(StarterModel, RefusesEnginesThatCannotBe) {
  CrankedEngine engine;
  engine.firing_order = {1, 3, 3, 2};
  EXPECT_THROW((void)crank_engine(engine, {}), InputError);
  engine.firing_order = {1, 3, 4, 2};
  engine.leaks = {Area::from_si(1e-6)};
  EXPECT_THROW((void)crank_engine(engine, {}), InputError);
  engine.leaks.clear();
  engine.shape.compression_ratio = NAN;
  EXPECT_THROW((void)steady_cranking(engine), InputError);
}

}  // namespace
}  // namespace headjoint::traces
