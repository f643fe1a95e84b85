#include "headjoint/diagnosis/calibration.h"

#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>

#include "headjoint/base/error.h"
#include "headjoint/diagnosis/simulator.h"
#include "headjoint/diagnosis/testing/sample_pattern.h"

namespace headjoint::diagnosis {
namespace {

constexpr double kClosedForm = 1e-9;
// Ten bins at once stay inside with a chance of 95 %: each at 99.5 %, z of the normal distribution from the tables.
constexpr double kTenBinsAtOnce = 2.807;

const std::vector<Forecast> kFour{{.9, true}, {.8, true}, {.3, false}, {.1, true}};

// Closed forms: ((.1)^2 + (.2)^2 + (.3)^2 + (.9)^2) / 4 and -(ln .9 + ln .8 + ln .7 + ln .1) / 4.
TEST(Calibration, BrierAndLogScoreFollowTheirDefinition) {
  EXPECT_NEAR(brier_score(kFour), .2375, kClosedForm);
  EXPECT_NEAR(log_score(kFour), .7469410260, kClosedForm);
}

TEST(Calibration, CertaintyThatFailsIsInfinitelyBad) { EXPECT_TRUE(std::isinf(log_score(std::vector<Forecast>{{0, true}}))); }

// Wilson 1927; 10 of 100 at 95 %: 0.0552 to 0.1744, as handbooks of statistics print it (value from memory).
TEST(Calibration, WilsonsInterval) {
  const Interval interval = wilson_interval(10, 100);
  EXPECT_NEAR(interval.low, .0552, 5e-5);
  EXPECT_NEAR(interval.high, .1744, 5e-5);
  EXPECT_NEAR(wilson_interval(0, 5).low, 0, kClosedForm);
}

// Mean of Beta(1 + 3, 9 + 17): 4 / 30.
TEST(Calibration, CountsMoveAChanceByTheirWeight) {
  EXPECT_NEAR(learnt_chance(.1, 10, 3, 20), .1333333333, 1e-10);
  EXPECT_DOUBLE_EQ(learnt_chance(.1, 10, 0, 0), .1);
  EXPECT_DOUBLE_EQ(learnt_chance(.01, 5, 0, 100000), kLearntFloor);
  EXPECT_DOUBLE_EQ(learnt_chance(.5, 5, 100000, 100000), kLearntCeiling);
  EXPECT_THROW((void)learnt_chance(.1, 10, 4, 3), ContractError);
}

TEST(Simulator, DrawsEachCauseAsOftenAsItsChanceSays) {
  const InstanceNetwork network = testing::sample_network(3);
  DiagnosisOptions plain;
  plain.bands = plain.weights = false;
  const Diagnosis prior = diagnose(network, {}, plain);
  constexpr std::size_t kEngines = 4000;
  std::mt19937 random(11);
  std::vector<std::size_t> hits(network.instances.size(), 0);
  for (std::size_t n = 0; n < kEngines; ++n) {
    const DrawnEngine engine = draw_engine(network, random);
    for (std::size_t i = 0; i < hits.size(); ++i)
      if (engine.state[i] > 0) ++hits[i];
  }
  constexpr double kFarOut = 4;  // standard errors
  for (const CausePosterior& cause : prior.causes) {
    const Interval interval = wilson_interval(hits[cause.instance], kEngines, kFarOut);
    EXPECT_GE(cause.posterior, interval.low) << network.instances[cause.instance].name;
    EXPECT_LE(cause.posterior, interval.high) << network.instances[cause.instance].name;
  }
}

TEST(Simulator, ChancesGivenForSimulatedJobsComeTrueAsOftenAsSaid) {
  const InstanceNetwork network = testing::sample_network(4);
  DiagnosisOptions plain;
  plain.bands = plain.weights = false;
  std::mt19937 random(5);
  std::vector<Forecast> forecasts;
  for (int job = 0; job < 1500; ++job) {
    const DrawnEngine engine = draw_engine(network, random);
    std::vector<Observation> looks;
    for (std::size_t i = 0; i < network.instances.size(); ++i)
      if (!network.instances[i].is_cause && network.finding(i).kind != FindingKind::kHidden && random() % 3 != 0)
        looks.push_back(look_at(network, engine, i, random));
    const Diagnosis diagnosis = diagnose(network, looks, plain);
    ASSERT_EQ(diagnosis.status, Status::kDone);
    for (const CausePosterior& cause : diagnosis.causes)
      if (network.instances[cause.instance].name == "joint_failed")
        forecasts.push_back({cause.posterior, engine.state[cause.instance] > 0});
  }
  for (const ReliabilityBin& bin : reliability(forecasts, 10, kTenBinsAtOnce)) {
    EXPECT_GE(bin.mean_chance, bin.interval.low) << bin.cases;
    EXPECT_LE(bin.mean_chance, bin.interval.high) << bin.cases;
  }
  EXPECT_LT(brier_score(forecasts), .15);
}

}  // namespace
}  // namespace headjoint::diagnosis
