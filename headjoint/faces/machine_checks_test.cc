#include "headjoint/faces/machine_checks.h"

#include <gmock/gmock.h>

#include <cmath>

#include "headjoint/base/error.h"
#include "headjoint/faces/test_faces.h"

namespace headjoint::faces {
namespace {

using ::testing::HasSubstr;
using ::testing::IsEmpty;

constexpr double kExact_mm = 1e-12;

Length length(double millimetres) { return Length::from_si(millimetres * 1e-3); }

MetalLeft head() { return {length(130.40), true, length(130.00), length(0.10), length(0.30)}; }

TEST(HeightLeft, IsTheHeightLessTheCutAndAddsEarlierCuts) {
  const auto left = height_left(head(), length(0.15), length(0.01));
  EXPECT_NEAR(mm(*left.height_left), 130.25, kExact_mm);
  EXPECT_NEAR(mm(*left.total_removed), 0.25, kExact_mm);
  EXPECT_NEAR(mm(*left.may_still_go), 0.20, 1e-9) << "the lesser of 0.40 to the least height and 0.20 to the limit on all cuts";
  EXPECT_EQ(left.verdict, Verdict::kPass);
}

TEST(HeightLeft, RefusesACutDeeperThanTheHeadAllows) {
  const auto left = height_left(head(), length(0.45), length(0.01));
  EXPECT_EQ(left.verdict, Verdict::kFail);
  EXPECT_THAT(left.because, ::testing::Contains(HasSubstr("Too little metal")));
}

TEST(HeightLeft, IsUndecidedWithinTheUncertainty) {
  EXPECT_EQ(height_left(head(), length(0.195), length(0.01)).verdict, Verdict::kUndecided);
  EXPECT_EQ(height_left(head(), length(0.205), length(0.01)).verdict, Verdict::kUndecided);
  EXPECT_EQ(height_left(head(), length(0.215), length(0.01)).verdict, Verdict::kFail);
}

TEST(HeightLeft, SaysWhatItWouldNeed) {
  const auto left = height_left({}, length(0.1), length(0.01));
  EXPECT_FALSE(left.verdict);
  EXPECT_THAT(left.missing, ::testing::Contains(HasSubstr("height")));
  EXPECT_THROW((void)height_left({}, length(-0.1), length(0)), InputError);
  EXPECT_THROW((void)height_left({}, length(0.1), length(NAN)), InputError);
}

TEST(PlanCut, RoughsInTenthsAndFinishesLightly) {  // 0.05 to 0.10 a pass rough, 0.02 to 0.03 to finish: common practice, no source
  const auto plan = plan_cut(length(0.23), length(0.02));
  EXPECT_NEAR(mm(plan.total), 0.25, kExact_mm);
  EXPECT_EQ(plan.passes, 4);
  EXPECT_EQ(plan_cut(length(0.10), length(0.02)).passes, 2);
  EXPECT_EQ(plan_cut(length(0), length(0)).passes, 0);
}

TEST(RoughnessAdvice, FollowsTheGasketAndTheMetal) {  // trade figures in microinch: 50, 50 to 60, 60 to 100; 1 uin = 0.0254 um
  EXPECT_NEAR(roughness_advice("multi_layer_steel", "aluminium")->most_um, 50 * 0.0254, 1e-9);
  EXPECT_NEAR(roughness_advice("composite", "aluminium")->least_um, 50 * 0.0254, 1e-9);
  EXPECT_NEAR(roughness_advice("Composite", "aluminium")->most_um, 60 * 0.0254, 0.005);
  EXPECT_NEAR(roughness_advice("composite", "cast_iron")->most_um, 100 * 0.0254, 1e-9);
  EXPECT_FALSE(roughness_advice("cork", ""));
}

TEST(MachineChecks, AskForHardnessBeforeAnythingElse) {
  const auto checks = machine_checks({.part = MachinedPart::kHead, .is_aluminium = true, .has_overhead_cam = true});
  EXPECT_THAT(checks[0].check, HasSubstr("hardness"));
  EXPECT_THAT(checks[1].check, HasSubstr("cracks"));
  EXPECT_THAT(checks[2].check, HasSubstr("cam bores"));
  EXPECT_TRUE(checks[0].stops_the_cut);
  EXPECT_EQ(checks[0].state, CheckState::kOpen);
}

TEST(MachineChecks, JudgeWhatWasRecorded) {
  CheckQuestion question{.part = MachinedPart::kHead, .is_aluminium = true, .has_overhead_cam = true};
  question.gasket_kind = "multi_layer_steel";
  CheckRecord record{
      .hardness_HB = {52, 60, 80}, .cracks_found = false, .cam_line_bow = length(0.04), .roughness = Length::from_si(1.6e-6)};
  const auto checks = machine_checks(question, record);
  EXPECT_EQ(checks[0].state, CheckState::kBad) << "mean 64 HB";
  EXPECT_EQ(checks[1].state, CheckState::kGood);
  EXPECT_EQ(checks[2].state, CheckState::kBad);
  for (const MachineCheck& check : checks)
    if (check.check.starts_with("roughness")) {
      EXPECT_EQ(check.state, CheckState::kBad);
      EXPECT_THAT(check.recorded, HasSubstr("1.6"));
    }
}

TEST(MachineChecks, OfABlockAskNothingOfValvesOrCams) {
  for (const MachineCheck& check : machine_checks({.part = MachinedPart::kBlock})) {
    EXPECT_THAT(check.check, ::testing::Not(HasSubstr("valve")));
    EXPECT_THAT(check.check, ::testing::Not(HasSubstr("cam")));
    EXPECT_THAT(check.source.empty() && !check.limit.empty() ? check.check : "", AnyOf(::testing::StrEq(""), HasSubstr("roughness")));
  }
}

}  // namespace
}  // namespace headjoint::faces
