#include "headjoint/faces/decision.h"

#include <gmock/gmock.h>

#include <cmath>
#include <limits>

#include "headjoint/base/error.h"

namespace headjoint::faces {
namespace {

using ::testing::HasSubstr;

constexpr double kTenthOfAMicrometre = 1e-7;  // m; the reference figures are printed to 0.1 um
constexpr double kExact = 1e-12;              // m

Length mm(double value) { return Length::from_si(value * 1e-3); }
Length um(double value) { return Length::from_si(value * 1e-6); }

TEST(Decide, GuardsTheLimitOnBothSides) {  // ISO 14253-1
  EXPECT_EQ(decide(mm(0.03), mm(0.011), mm(0.05)).verdict, Verdict::kPass);
  EXPECT_EQ(decide(mm(0.045), mm(0.011), mm(0.05)).verdict, Verdict::kUndecided);
  EXPECT_EQ(decide(mm(0.055), mm(0.011), mm(0.05)).verdict, Verdict::kUndecided);
  EXPECT_EQ(decide(mm(0.07), mm(0.011), mm(0.05)).verdict, Verdict::kFail);
}

TEST(Decide, PassesAtTheLimitAndFailsOnlyBeyondIt) {
  EXPECT_EQ(decide(um(50), um(0), um(50)).verdict, Verdict::kPass);
  EXPECT_EQ(decide(um(40), um(10), um(50)).verdict, Verdict::kPass);
  EXPECT_EQ(decide(um(60), um(10), um(50)).verdict, Verdict::kUndecided);
}

TEST(Decide, NeverGetsSurerWithMoreUncertainty) {
  for (int value = 0; value <= 100; value += 5) {
    bool was_undecided = false;
    for (int uncertainty = 0; uncertainty <= 60; ++uncertainty) {
      const bool is_undecided = decide(um(value), um(uncertainty), um(50)).verdict == Verdict::kUndecided;
      EXPECT_TRUE(is_undecided || !was_undecided);
      was_undecided = is_undecided;
    }
  }
}

TEST(Decide, SaysWhatWouldSettleIt) {
  const auto decision = decide(mm(0.045), mm(0.011), mm(0.05));
  ASSERT_TRUE(decision.uncertainty_needed);
  EXPECT_NEAR(decision.uncertainty_needed->si(), 5e-6, kExact);
  EXPECT_THAT(decision.to_settle, HasSubstr("0.005 mm or less, 10 % of the limit"));
  EXPECT_EQ(decide(mm(0.045), mm(0.0049), mm(0.05)).verdict, Verdict::kPass);
  const auto on_the_limit = decide(mm(0.05), mm(0.011), mm(0.05));
  EXPECT_FALSE(on_the_limit.uncertainty_needed);
  EXPECT_THAT(on_the_limit.to_settle, HasSubstr("on the limit"));
  EXPECT_THAT(decide(mm(0.01), mm(0.011), mm(0.05)).to_settle, HasSubstr(""));
  EXPECT_TRUE(decide(mm(0.01), mm(0.011), mm(0.05)).to_settle.empty());
}

TEST(DecideFeeler, LeavesALimitBetweenTwoBladesUndecided) {  // 0.05 enters, 0.10 does not, limit 0.08
  const auto decision = decide_feeler(mm(0.05), mm(0.10), mm(0), mm(0.08));
  EXPECT_EQ(decision.verdict, Verdict::kUndecided);
  EXPECT_FALSE(decision.uncertainty_needed);
  EXPECT_THAT(decision.to_settle, HasSubstr("between the blades"));
}

TEST(DecideFeeler, DecidesWhenBothBladesAreOnOneSide) {
  EXPECT_EQ(decide_feeler(mm(0.05), mm(0.06), mm(0.01), mm(0.08)).verdict, Verdict::kPass);
  EXPECT_EQ(decide_feeler(mm(0.10), mm(0.15), mm(0.01), mm(0.08)).verdict, Verdict::kFail);
  const auto close = decide_feeler(mm(0.05), mm(0.06), mm(0.01), mm(0.065));
  EXPECT_EQ(close.verdict, Verdict::kUndecided);
  ASSERT_TRUE(close.uncertainty_needed);
  EXPECT_NEAR(close.uncertainty_needed->si(), 5e-6, kExact);
}

TEST(Decide, RefusesWhatCannotBe) {
  const Length nan = Length::from_si(std::numeric_limits<double>::quiet_NaN());
  EXPECT_THROW((void)decide(nan, mm(0.01), mm(0.05)), InputError);
  EXPECT_THROW((void)decide(mm(0.01), nan, mm(0.05)), InputError);
  EXPECT_THROW((void)decide(mm(0.01), mm(0.01), nan), InputError);
  EXPECT_THROW((void)decide(mm(0.01), mm(0.01), mm(0)), InputError);
  EXPECT_THROW((void)decide(mm(-0.01), mm(0.01), mm(0.05)), InputError);
  EXPECT_THROW((void)decide_feeler(mm(0.1), mm(0.05), mm(0), mm(0.05)), InputError);
  EXPECT_THROW((void)decide_feeler(mm(0.1), nan, mm(0), mm(0.05)), InputError);
}

UncertaintyBudget feeler_budget(Length step) {
  return uncertainty_budget({gauge_step(step), feeler_blade(), reference_flatness(um(9), "a band of 9 um"), dirt()});
}

TEST(UncertaintyBudget, MeetsTheWorkedFigures) {  // uniform parts: step, blade +-5, band 9, dirt +-5 um; worked by hand
  const auto fine = feeler_budget(um(10));
  EXPECT_NEAR(fine.standard.si(), 5.6e-6, kTenthOfAMicrometre);
  EXPECT_NEAR(fine.expanded.si(), 11.3e-6, kTenthOfAMicrometre);
  const auto coarse = feeler_budget(um(50));
  EXPECT_NEAR(coarse.standard.si(), 15.2e-6, kTenthOfAMicrometre);
  EXPECT_NEAR(coarse.expanded.si(), 30.4e-6, kTenthOfAMicrometre);
  ASSERT_NE(coarse.largest(), nullptr);
  EXPECT_EQ(coarse.largest()->name, "step of the gauge");
}

TEST(UncertaintyBudget, ShowsThatCoarseBladesCannotProveATightLimit) {  // 0.05 mm limit, 0.05 mm steps: not even a gap of 0.025 passes
  EXPECT_EQ(decide(um(25), feeler_budget(um(50)).expanded, um(50)).verdict, Verdict::kUndecided);
  EXPECT_EQ(decide(um(25), feeler_budget(um(10)).expanded, um(50)).verdict, Verdict::kPass);
}

TEST(UncertaintyBudget, GrowsWithEveryContribution) {
  EXPECT_EQ(uncertainty_budget({}).expanded.si(), 0);
  EXPECT_EQ(uncertainty_budget({}).largest(), nullptr);
  EXPECT_LT(uncertainty_budget({dirt()}).expanded, uncertainty_budget({dirt(), feeler_blade()}).expanded);
  for (const auto& contribution : feeler_budget(um(10)).contributions) EXPECT_FALSE(contribution.source.empty());
  EXPECT_THROW((void)uncertainty_budget({{"bad", um(-1), ""}}), InputError);
  EXPECT_THROW((void)gauge_step(um(0)), InputError);
}

TEST(KnifeEdge, MeetsTheStandard) {  // DIN 874-2:2003-11: 300 mm 3 um (printed rounded), 500 mm 4 um
  EXPECT_NEAR(knife_edge_flatness(mm(500)).si(), 4e-6, kExact);
  EXPECT_NEAR(knife_edge_flatness(mm(300)).si(), 3e-6, 0.5e-6);
  EXPECT_THROW((void)knife_edge_flatness(mm(600)), InputError);
}

TEST(SurfacePlate, MeetsTheStandard) {  // DIN 876: a 1000 mm plate of grade 1 is flat to 20 um
  EXPECT_NEAR(plate_flatness(1, mm(1000)).si(), 20e-6, kExact);
  EXPECT_NEAR(plate_flatness(0, mm(1000)).si(), 8e-6, kExact);
  EXPECT_THROW((void)plate_flatness(4, mm(1000)), InputError);
}

}  // namespace
}  // namespace headjoint::faces
