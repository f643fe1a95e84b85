#include "headjoint/clamp/sealing_chance.h"

#include <gtest/gtest.h>

#include <cmath>

#include "headjoint/base/error.h"
#include "headjoint/clamp/internal/sample_numbers.h"
#include "headjoint/clamp/test_joints.h"
#include "headjoint/numerics/wilson_interval.h"

namespace headjoint::clamp {
namespace {

using namespace testing;
const ClampOptions kCoarse{.grid = length(12)};

SealCase case_of(double pressure_bar) {
  SealCase seal_case;
  for (int i = 1; i <= 4; ++i) seal_case.firing[i] = bar(pressure_bar);
  seal_case.scatter.face = length(0.01);
  return seal_case;
}

TEST(SealingChance, RangesOnTwoThreadsAreTheSameAsOneRun) {
  ClampedJoint one(four_cylinder(), kCoarse), other = one.copy();
  SealTally whole = sample_sealing(one, case_of(100), 7, 0, 60);
  SealTally first = sample_sealing(one, case_of(100), 7, 0, 25);
  first.add(sample_sealing(other, case_of(100), 7, 25, 60));
  EXPECT_EQ(first.sealed, whole.sealed);
  for (std::size_t i = 0; i < 60; ++i) EXPECT_NEAR(first.margins[i], whole.margins[i], 1e-6 * whole.margins[i]);
  EXPECT_EQ(first.weakest, whole.weakest);
}

TEST(SealingChance, EverySampleIsTheJointSolvedAfresh) {
  ClampedJoint joint(four_cylinder(), kCoarse);
  SealCase seal_case = case_of(250);  // with lift-off
  seal_case.scatter.face = {};
  seal_case.firing = {{2, bar(250)}};
  seal_case.scatter.gas = 0;
  seal_case.scatter.by_torque = false;
  seal_case.scatter.friction_each = 0;
  seal_case.scatter.tool = 0;
  const SealTally tally = sample_sealing(joint, seal_case, 1, 0, 3);
  ClampLoads loads;
  loads.gas[2] = bar(250);
  double least = 1e9;
  for (const RingResult& ring : clamp(four_cylinder(), loads, kCoarse).rings) least = std::min(least, *ring.margin);
  for (const double margin : tally.margins) EXPECT_NEAR(margin, least, 1e-6 * std::max(1.0, least));
}

TEST(SealingChance, FallsWithTheGas) {
  ClampedJoint joint(four_cylinder(), kCoarse);
  double before = 1.1;
  for (const double pressure : {40.0, 90.0, 160.0}) {
    const SealChance chance = seal_chance(sample_sealing(joint, case_of(pressure), 3, 0, 80), joint.model());
    EXPECT_LE(chance.chance, before);
    EXPECT_LE(chance.low, chance.chance);
    EXPECT_GE(chance.high, chance.chance);
    EXPECT_EQ(chance.unsolved, 0);
    before = chance.chance;
  }
}

TEST(SealingChance, WithoutScatterItIsYesOrNo) {
  ClampedJoint joint(four_cylinder(), kCoarse);
  SealCase seal_case = case_of(80);
  seal_case.scatter = {.friction_least = 0.12, .friction_most = 0.12, .friction_each = 0, .tool = 0, .face = {}, .gas = 0};
  const SealChance chance = seal_chance(sample_sealing(joint, seal_case, 3, 0, 10), joint.model());
  EXPECT_TRUE(chance.chance == 0 || chance.chance == 1);
}

TEST(SealingChance, TheWidestInputContributesMost) {
  ClampedJoint joint(four_cylinder(), kCoarse);
  SealCase seal_case = case_of(80);
  seal_case.scatter.friction_least = seal_case.scatter.friction_most = 0.12;
  seal_case.scatter.gas = 0.2;
  const SealChance chance = seal_chance(sample_sealing(joint, seal_case, 3, 0, 120), joint.model());
  EXPECT_EQ(chance.inputs.front().input, "peak pressure");
}

TEST(SealingChance, CanBeStoppedAndTellsItsProgress) {
  ClampedJoint joint(four_cylinder(), kCoarse);
  std::atomic<bool> stop{false};
  std::int64_t told = 0;
  const SealProgress progress{[&](std::int64_t done) {
                                told = done;
                                stop = done >= 20;
                              },
                              &stop};
  EXPECT_EQ(sample_sealing(joint, case_of(80), 1, 0, 1000, progress).samples, 20);
  EXPECT_EQ(told, 20);
}

TEST(SealingChance, AHeadThatFloatsNeverSeals) {
  ClampedJoint joint(four_cylinder(), kCoarse);
  SealCase seal_case = case_of(900);
  seal_case.loads.action = BoltAction::kForce;
  seal_case.loads.preload = kilonewton(5);
  const SealChance chance = seal_chance(sample_sealing(joint, seal_case, 1, 0, 5), joint.model());
  EXPECT_EQ(chance.chance, 0);
  EXPECT_EQ(chance.unsolved, 5);
}

TEST(SealingChance, NeedsWhatTheRingNeeds) {
  ClampModel model = four_cylinder();
  model.ring->least_line_load.reset();
  ClampedJoint joint(model, kCoarse);
  EXPECT_THROW((void)sample_sealing(joint, case_of(80), 1, 0, 5), InputError);
}

// Wilson 1927: 0 of 10 gives 0 to 0.2775, 5 of 10 gives 0.2366 to 0.7634 (from memory, the usual tables).
TEST(SealingChance, WilsonInterval) {
  EXPECT_NEAR(numerics::wilson_interval(0, 10).high, 0.2775, 5e-4);
  EXPECT_NEAR(numerics::wilson_interval(5, 10).low, 0.2366, 5e-4);
  EXPECT_NEAR(numerics::wilson_interval(5, 10).high, 0.7634, 5e-4);
}

TEST(SampleNumbers, AreSpreadAsTheyShould) {
  constexpr int kCount = 20000;
  double sum = 0, squares = 0, uniform = 0;
  for (std::uint64_t i = 0; i < kCount; ++i) {
    SampleNumbers numbers(42, i);
    uniform += numbers.uniform();
    const double n = numbers.normal();
    sum += n, squares += n * n;
  }
  EXPECT_NEAR(uniform / kCount, 0.5, 0.01);
  EXPECT_NEAR(sum / kCount, 0, 0.03);
  EXPECT_NEAR(squares / kCount, 1, 0.04);
}

}  // namespace
}  // namespace headjoint::clamp
