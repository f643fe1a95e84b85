#include "headjoint/traces/tooth_speed.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "headjoint/traces/testing/cranked_examples.h"

namespace headjoint::traces {
namespace {

using Status = ToothSpeed::Status;

constexpr double kRate_Hz = 20000;
constexpr double kMean_rpm = 0.002;       // relative: of the mean speed over whole turns
constexpr double kSpeedRipple_rpm = 3.0;  // the speed between two teeth is not the speed at an instant

/// What the sensor gives while the crank turns at such speeds: a wave a tooth, none where teeth are missing.
Signal sensor_of(const Signal& speed_rpm, const ToothedWheel& wheel, bool is_square) {
  Signal sensor{0, kRate_Hz, {}};
  double turns = 0;
  for (double time = 0; time < speed_rpm.duration_s() - 0.01; time += 1 / kRate_Hz) {
    const double rpm = static_cast<double>(speed_rpm.values[static_cast<std::size_t>(time * speed_rpm.rate_Hz)]);
    turns += rpm / 60 / kRate_Hz;
    const double tooth = (turns - std::floor(turns)) * wheel.teeth;
    const bool is_missing = tooth >= wheel.teeth - wheel.missing;
    const double wave = is_missing ? -1 : -std::cos(2 * std::numbers::pi * (tooth - std::floor(tooth)));
    sensor.values.push_back(static_cast<float>(is_square ? (wave > 0 ? 5 : 0) : is_missing ? 0 : wave * rpm / 100));
  }
  return sensor;
}

Signal steady(double rpm, double seconds) {
  return {0, 2000, std::vector<float>(static_cast<std::size_t>(2000 * seconds), static_cast<float>(rpm))};
}

TEST(ToothSpeed, IsTheSpeedOfTheCrank) {
  for (const bool is_square : {false, true})
    for (const ToothedWheel wheel : {ToothedWheel{60, 2}, ToothedWheel{36, 1}, ToothedWheel{60, 0}}) {
      const ToothSpeed found = tooth_speed(sensor_of(steady(250, 3), wheel, is_square), wheel);
      ASSERT_EQ(found.status, Status::kFound) << wheel.teeth << "-" << wheel.missing << is_square;
      double mean = 0;
      for (const float rpm : found.speed_rpm.values) mean += static_cast<double>(rpm) / static_cast<double>(found.speed_rpm.values.size());
      EXPECT_NEAR(mean, 250, 250 * kMean_rpm);
      const double gaps = wheel.missing > 0 ? 3 * 250 / 60.0 : 0;
      EXPECT_NEAR(static_cast<double>(found.gaps_s.size()), gaps, 1.5);
    }
}

TEST(ToothSpeed, NamesTheLeakingCylinder) {
  const CrankingTrace trace = crank_engine(testing::four_with_leak(3, 1), {});
  for (const bool is_square : {false, true}) {
    const ToothSpeed found = tooth_speed(sensor_of(trace.speed_rpm, {60, 2}, is_square), {60, 2});
    ASSERT_EQ(found.status, Status::kFound);
    const auto at = static_cast<std::size_t>((2.0 - found.speed_rpm.start_s) * found.speed_rpm.rate_Hz);
    EXPECT_NEAR(static_cast<double>(found.speed_rpm.values[at]), static_cast<double>(trace.speed_rpm.values[4000]), kSpeedRipple_rpm);
    CrankingQuestion question = testing::question_of_four();
    question.kind = CrankingKind::kCrankSpeed;
    question.sync = testing::sync_of(trace);
    const RelativeCompression compared = compare_cylinders(found.speed_rpm, question);
    ASSERT_EQ(compared.found.status, CrankingEvents::Status::kFound);
    for (const RelativeValue& value : compared.values) EXPECT_EQ(value.is_weak, value.cylinder == 3) << value.cylinder;
  }
}

TEST(ToothSpeed, NoiseBeforeTheEngineTurnsIsNoTeeth) {
  Signal sensor = sensor_of(steady(250, 3), {60, 2}, false);
  sensor.values.insert(sensor.values.begin(), 20000, 0.0F);
  testing::add_noise(sensor, 0.02, 5);
  const ToothSpeed found = tooth_speed(sensor, {60, 2});
  ASSERT_EQ(found.status, Status::kFound);
  EXPECT_GT(found.speed_rpm.start_s, 0.99);
}

TEST(ToothSpeed, SaysWhatIsWrong) {
  EXPECT_EQ(tooth_speed(sensor_of(steady(250, 3), {60, 2}, true), {36, 1}).status, Status::kOtherWheel);
  EXPECT_EQ(tooth_speed(steady(3, 3), {60, 2}).status, Status::kNoTeeth);
  Signal coarse = sensor_of(steady(250, 3), {60, 2}, false);
  Signal thinned{0, kRate_Hz / 20, {}};
  for (std::size_t i = 0; i < coarse.values.size(); i += 20) thinned.values.push_back(coarse.values[i]);
  EXPECT_EQ(tooth_speed(thinned, {60, 2}).status, Status::kTooSlowlySampled);
}

}  // namespace
}  // namespace headjoint::traces
