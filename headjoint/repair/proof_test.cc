#include "headjoint/repair/proof.h"

#include <gmock/gmock.h>

#include <cmath>
#include <limits>

#include "headjoint/base/error.h"
#include "headjoint/base/file.h"
#include "headjoint/leakage/cylinder_cycle.h"

namespace headjoint::repair {
namespace {

using leakage::Cranking;
using leakage::HeatLoss;

constexpr double kSame = 1e-12;
constexpr double kCurve = 2e-3;  // the curve of readings follows the cycle within 0.1 %, twice
const GaugePressure kLevel = GaugePressure::from_pascal(12.5e5);

Cranking engine(double ratio = 9.85) {
  return {.displacement = Volume::from_si(402.124e-6),
          .speed = Speed::from_rpm(250),
          .compression_ratio = ratio,
          .intake_closing = Angle::from_degrees(50),
          .bore = Length::from_si(0.080),
          .rod = Length::from_si(0.140)};
}

/// Gauge peak of the cycle itself, without the curve.
double peak(const Cranking& cranking, HeatLoss law, double area) {
  const auto conditions = cranking.conditions(law);
  const auto run = leakage::simulate_cylinder(cranking.engine(), conditions, {.rings = Area::from_si(area)});
  return run->peak.pascal() - conditions.ambient.pressure.pascal();
}

/// Leak that gives the level, by halving on the cycle.
double leak_at(const Cranking& cranking, HeatLoss law, double level) {
  double low = 0, high = 10e-6;
  for (int i = 0; i < 60; ++i) {
    const double middle = (low + high) / 2;
    (peak(cranking, law, middle) > level ? low : high) = middle;
  }
  return (low + high) / 2;
}

TEST(ExpectedCompression, IsTheMakersFigureWhereNothingWasTakenOff) {
  EXPECT_DOUBLE_EQ(expected_compression(engine(), {}, kLevel).expected.pascal(), kLevel.pascal());
  EXPECT_DOUBLE_EQ(expected_compression(engine(), 9.85, kLevel).expected.pascal(), kLevel.pascal());
}

TEST(ExpectedCompression, AgreesWithTheCycleRunAtTheRatioAfter) {
  for (const double after : {9.5, 10.2, 10.8, 11.5}) {
    double sum = 0;
    for (const HeatLoss law : {HeatLoss::kWoschni, HeatLoss::kHohenberg})
      sum += peak(engine(after), law, leak_at(engine(), law, kLevel.pascal())) / 2;
    EXPECT_NEAR(expected_compression(engine(), after, kLevel).expected.pascal() / sum, 1, kCurve) << after;
  }
}

/// Outside: between a gas that stays at its temperature (exponent 1) and one that gives off no heat (1.4 for air).
TEST(ExpectedCompression, RisesBetweenIsothermAndAdiabatOfTheEffectiveRatio) {
  const double air = leakage::kStandardPressure.pascal();
  for (const double after : {10.2, 10.8, 11.5}) {
    const double rise = std::log((expected_compression(engine(), after, kLevel).expected.pascal() + air) / (kLevel.pascal() + air));
    const double ratio =
        std::log(leakage::effective_compression_ratio(engine(after).engine()) / leakage::effective_compression_ratio(engine().engine()));
    EXPECT_GT(rise / ratio, 1.0) << after;
    EXPECT_LT(rise / ratio, 1.4) << after;
  }
}

TEST(ExpectedCompression, BandHoldsWhatIsExpectedAndIsTheModelsWhereTheMakerSaysNothing) {
  const PressureBand known = expected_compression(engine(), 10.5, kLevel);
  EXPECT_LT(known.low, known.expected);
  EXPECT_LT(known.expected, known.high);
  const PressureBand model = expected_compression(engine(), 10.5, {});
  const auto sound = leakage::CompressionModel(engine(10.5)).sound_level();
  EXPECT_DOUBLE_EQ(model.low.pascal(), sound.low.pascal());
  EXPECT_DOUBLE_EQ(model.high.pascal(), sound.high.pascal());
  EXPECT_THROW((void)expected_compression(engine(), 200.0, kLevel), InputError);
  EXPECT_THROW((void)expected_compression(engine(), 10.0, GaugePressure::from_pascal(std::nan(""))), InputError);
}

TEST(ExpectedLeakDown, IsTheSupplyLessWhatSoundRingsLose) {
  leakage::LeakDownTest test;
  test.supply = GaugePressure::from_pascal(80 * 6894.757293168361);
  const PressureBand band = expected_leak_down(test, {});
  EXPECT_NEAR(band.expected.pascal(), 0.94 * test.supply.pascal(), kSame * test.supply.pascal());
  EXPECT_NEAR(band.low.pascal(), 0.88 * test.supply.pascal(), kSame * test.supply.pascal());
  EXPECT_DOUBLE_EQ(expected_leak_down(test, 0.20).low.pascal(), 0.80 * test.supply.pascal());
  EXPECT_THROW((void)expected_leak_down(test, 1.5), InputError);
}

TEST(ExpectedHold, LimitIsWhereTheJudgeOfTheTestTurns) {
  for (const double minutes : {2.0, 10.0, 30.0}) {
    leakage::PressureHold hold;
    hold.start = GaugePressure::from_pascal(1.1e5);
    hold.time = Duration::from_si(60 * minutes);
    hold.ambient = {leakage::kStandardPressure, leakage::kStandardTemperature};
    const PressureBand band = expected_hold(hold);
    EXPECT_DOUBLE_EQ(band.expected.pascal(), hold.start.pascal());
    hold.end = GaugePressure::from_pascal(band.low.pascal() + 10);
    EXPECT_EQ(leakage::judge_pressure_hold(hold).verdict, leakage::HoldVerdict::kHolds) << minutes;
    hold.end = GaugePressure::from_pascal(band.low.pascal() - 10);
    EXPECT_NE(leakage::judge_pressure_hold(hold).verdict, leakage::HoldVerdict::kHolds) << minutes;
  }
}

/// A disease of 1 in 100, a test that finds 9 in 10 and is wrong in 1 of 20: 0.009 / (0.009 + 0.0495), by hand.
TEST(Updated, IsBayesRuleOnTheOdds) {
  EXPECT_NEAR(updated(0.01, 0.90 / 0.05), 0.009 / 0.0585, kSame);
  EXPECT_NEAR(updated(0.01, 0.10 / 0.95), 0.001 / (0.001 + 0.9405), kSame);
  EXPECT_NEAR(updated(updated(0.3, 4), 0.25), 0.3, kSame);
  EXPECT_NEAR(odds_factor(0.2, updated(0.2, 7)), 7, 1e-9);
  EXPECT_EQ(updated(0, 100), 0);
  EXPECT_EQ(updated(1, 0.01), 1);
  EXPECT_EQ(updated(0.5, std::numeric_limits<double>::infinity()), 1);
  EXPECT_THROW((void)updated(std::nan(""), 1), ContractError);
  EXPECT_THROW((void)updated(0.5, -1), ContractError);
}

TEST(AnyOf, IsOneLessNoneOfThem) {
  EXPECT_NEAR(any_of({0.1, 0.2}), 1 - 0.9 * 0.8, kSame);
  EXPECT_EQ(any_of({}), 0);
  EXPECT_EQ(any_of({0.3, 1}), 1);
}

SecondFailure shipped() {
  const auto table = read_second_failure(read_file(std::string(HEADJOINT_SOURCE_DIR) + "/data/repair/second_failure.toml"), "t");
  EXPECT_TRUE(table) << to_string(table.problems());
  return *table;
}

TEST(SecondFailure, IsTheTablesBaseWhereNothingWasLeftUndone) {
  const Facts all_done = {"head_measured", "head_skimmed",       "deck_measured", "liners_measured", "crack_tested", "hardness_tested",
                          "holes_cleaned", "tightened_as_asked", "bled"};
  const JointPrior prior = joint_prior(shipped(), all_done);
  EXPECT_TRUE(prior.drivers.empty());
  EXPECT_NEAR(prior.chance.value, shipped().joint_done_well, kSame);
  EXPECT_LT(prior.chance.low, prior.chance.value);
  EXPECT_GT(prior.chance.high, prior.chance.value);
}

TEST(SecondFailure, NothingThatIsLeftUndoneLowersIt) {
  const SecondFailure table = shipped();
  for (const FailureDriver& driver : table.drivers) EXPECT_GT(driver.factor, 1) << driver.text;
  EXPECT_GT(joint_prior(table, {}).chance.value, table.joint_done_well);
  EXPECT_GT(joint_prior(table, {"overheated"}).chance.value, joint_prior(table, {"overheated", "overheat_cured"}).chance.value);
}

TEST(SecondFailure, ATableOutOfRangeIsRefused) {
  EXPECT_FALSE(read_second_failure("joint_done_well = 2\ncured_but_wrong = 0.05\nspread = 2\n", "t"));
  EXPECT_FALSE(read_second_failure("joint_done_well = 0.03\nspread = 2\n", "t"));
}

}  // namespace
}  // namespace headjoint::repair
