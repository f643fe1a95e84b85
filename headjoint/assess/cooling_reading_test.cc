#include "headjoint/assess/cooling_reading.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "headjoint/assess/class_readings.h"
#include "headjoint/assess/readings.h"
#include "headjoint/units/quantity_text.h"

namespace headjoint::assess {
namespace {

constexpr double kPsi = 6894.757293168;
constexpr double kSame = 1e-9;

template <class T>
joint::OptionalFigure<T> figure(T value) {
  joint::Figure<T> made{};
  made.value = value;
  return made;
}

GaugePressure bar(double value) { return GaugePressure::from_pascal(value * 1e5); }

jobs::Job petrol_job() {
  jobs::Job job;
  job.engine.cooling.emplace();
  job.engine.cooling->volume = figure(Volume::from_si(6e-3));
  job.engine.cooling->cap = figure(bar(1.1));
  job.engine.general.fuel = joint::Fuel::kPetrol;
  return job;
}

jobs::Reading over_time(jobs::ReadingTest test, GaugePressure start, GaugePressure end, double minutes) {
  jobs::Reading reading;
  reading.test = test;
  reading.start = figure(start);
  reading.end = figure(end);
  reading.duration = figure(Duration::from_si(60 * minutes));
  return reading;
}

jobs::Reading carbon_dioxide(double share) {
  jobs::Reading reading;
  reading.test = jobs::ReadingTest::kGasInCoolant;
  reading.carbon_dioxide = figure(joint::Share{share});
  return reading;
}

double odds(const jobs::Reading& reading, const jobs::Job& job = petrol_job()) {
  const CoolingReading judged = judge_cooling_reading(reading, job);
  EXPECT_EQ(judged.likelihood.size(), 2U) << judged.remark << judged.not_counted;
  return judged.likelihood.size() == 2 ? judged.likelihood[1] / judged.likelihood[0] : 0.0;
}

// A maker's rule, as in leakage/pressure_hold.h: more than 2 psi lost in 2 min at 15 psi, look for leaks.
TEST(CoolingReading, TheMakersRuleForAPressureHoldIsALeak) {
  const auto hold = [](double lost_psi) {
    return over_time(jobs::ReadingTest::kPressureHold, GaugePressure::from_pascal(15 * kPsi),
                     GaugePressure::from_pascal((15 - lost_psi) * kPsi), 2);
  };
  EXPECT_GT(odds(hold(2.5)), 3);
  EXPECT_LT(odds(hold(0)), 1);
}

TEST(CoolingReading, StandingStillForLongSaysMoreThanForAMoment) {
  const auto hold = [](double minutes) { return over_time(jobs::ReadingTest::kPressureHold, bar(1), bar(1), minutes); };
  EXPECT_LT(odds(hold(30)), odds(hold(10)));
  EXPECT_LT(odds(hold(10)), odds(hold(1)));
}

TEST(CoolingReading, AHotEngineLosesPressureByCooling) {
  jobs::Reading hold = over_time(jobs::ReadingTest::kPressureHold, bar(1), bar(.95), 10);
  const double cold = odds(hold);
  hold.engine = "hot";
  EXPECT_LT(odds(hold), cold);
}

TEST(CoolingReading, APressureThatRoseIsNotCounted) {
  EXPECT_FALSE(judge_cooling_reading(over_time(jobs::ReadingTest::kPressureHold, bar(1), bar(1.3), 10), petrol_job()).not_counted.empty());
}

TEST(CoolingReading, WarmingMakesPressureSlowlyAndGasAtOnce) {
  EXPECT_GT(odds(over_time(jobs::ReadingTest::kColdRise, bar(0), bar(.6), 1)), 20);
  EXPECT_LT(odds(over_time(jobs::ReadingTest::kColdRise, bar(0), bar(.02), 1)), .5);
  EXPECT_LT(odds(over_time(jobs::ReadingTest::kColdRise, bar(0), bar(.2), 5)),
            odds(over_time(jobs::ReadingTest::kColdRise, bar(0), bar(.2), 1)));
}

TEST(CoolingReading, ADieselIdlesWithLittleCarbonDioxide) {
  jobs::Job diesel = petrol_job();
  diesel.engine.general.fuel = joint::Fuel::kDiesel;
  EXPECT_GT(odds(carbon_dioxide(.02), diesel), 10);
  EXPECT_GT(odds(carbon_dioxide(.08)), 10);
  EXPECT_LT(odds(carbon_dioxide(.0005)), .5);
  EXPECT_LT(odds(carbon_dioxide(.0005)), odds(carbon_dioxide(.0005), diesel));  // what a diesel would show is hard to tell from the room
}

TEST(CoolingReading, NoReadingGoesBeyondTheFloorOfAWrongGauge) {
  for (const jobs::Reading& reading :
       {over_time(jobs::ReadingTest::kPressureHold, bar(1), bar(0), 1), over_time(jobs::ReadingTest::kPressureHold, bar(1), bar(1), 1000),
        over_time(jobs::ReadingTest::kColdRise, bar(0), bar(1.05), .5), carbon_dioxide(.14), carbon_dioxide(0)}) {
    const auto likelihood = judge_cooling_reading(reading, petrol_job()).likelihood;
    ASSERT_EQ(likelihood.size(), 2U);
    EXPECT_GE(*std::min_element(likelihood.begin(), likelihood.end()), kWrongReading);
    EXPECT_NEAR(*std::max_element(likelihood.begin(), likelihood.end()), 1, kSame);
  }
}

TEST(CoolingReading, WithoutTheEnginesFiguresTheClassTableJudgesAndThatIsSaid) {
  const CoolingReading hold = judge_cooling_reading(over_time(jobs::ReadingTest::kPressureHold, bar(1), bar(.9), 10), jobs::Job{});
  EXPECT_TRUE(hold.likelihood.empty());
  EXPECT_NE(hold.remark.find("no coolant volume"), std::string::npos);
  EXPECT_NE(judge_cooling_reading(carbon_dioxide(.02), jobs::Job{}).remark.find("no fuel"), std::string::npos);
}

TEST(StarterReading, AWeakPullIsALargeLeakAndAnEvenOneIsNone) {
  jobs::Reading reading;
  reading.test = jobs::ReadingTest::kStarterCurrent;
  for (const double share : {1.0, .96, .6, .98}) {
    jobs::ReadingValue value;
    value.kind = jobs::ReadingValue::Kind::kLoss;
    value.loss = share;
    value.step_si = .01;
    reading.values.push_back(value);
  }
  const auto read = judge_starter(reading, jobs::Job{});
  ASSERT_TRUE(read);
  ASSERT_EQ(read->observations.size(), 4U);
  EXPECT_GT(read->observations[2].likelihood[2], 10 * read->observations[2].likelihood[0]);
  EXPECT_GT(read->observations[1].likelihood[0], 2 * read->observations[1].likelihood[2]);
}

}  // namespace
}  // namespace headjoint::assess
