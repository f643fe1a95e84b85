#include "headjoint/clamp/tightening.h"

#include <gtest/gtest.h>

#include <cmath>

#include "headjoint/base/error.h"
#include "headjoint/clamp/test_joints.h"

namespace headjoint::clamp {
namespace {

using namespace testing;

std::vector<std::vector<double>> passes_to(double target, std::size_t bolts, std::size_t count) {
  return std::vector<std::vector<double>>(count, std::vector<double>(bolts, target));
}
void expect_forces(const BoltForces& forces, const std::vector<double>& expected, double tolerance) {
  ASSERT_EQ(forces.force_N.size(), expected.size());
  for (std::size_t i = 0; i < expected.size(); ++i) EXPECT_NEAR(forces.force_N[i], expected[i], tolerance) << "bolt " << i + 1;
}

// A joint small enough for pencil and paper: G = [10 1 .2; 1 10 1; .2 1 10].
const std::vector<double> kHandC = {4, 1, .2, 1, 4, 1, .2, 1, 4};
const std::vector<double> kHandBolts = {6, 6, 6};

TEST(TighteningLinear, ByHand) {
  const auto first = tighten_linear(kHandC, kHandBolts, {1, 2, 3}, passes_to(50, 3, 2));
  expect_forces(first[0], {44.4949, 45.0505, 50}, 1e-4);
  expect_forces(first[1], {49.4553, 49.9412, 50}, 1e-4);
  const auto second = tighten_linear(kHandC, kHandBolts, {2, 1, 3}, passes_to(50, 3, 2));
  expect_forces(second[0], {49.4949, 40.0505, 50}, 1e-4);
  expect_forces(second[1], {49.9900, 49.7554, 50}, 1e-4);
}

/// Five bolts 95 mm apart on an infinite beam on a foundation; compliance in mm/N.
struct RowOfFive {
  std::vector<double> c = std::vector<double>(25), bolts = std::vector<double>(5, 8.0e-6);
  RowOfFive() {
    const double ei = 72e3 * 140 * 60 * 60 * 60 / 12.0, k = 3000, beta = std::pow(k / 4 / ei, 0.25);
    for (int i = 0; i < 5; ++i)
      for (int j = 0; j < 5; ++j) {
        const double x = beta * 95 * std::abs(i - j);
        c[static_cast<std::size_t>(5 * i + j)] = beta / (2 * k) * std::exp(-x) * (std::cos(x) + std::sin(x));
      }
  }
};

TEST(TighteningLinear, RowOfFiveInThreeOrders) {
  const RowOfFive row;
  constexpr double kKilo = 1e-3;
  struct Case {
    std::vector<int> order;
    std::vector<double> pass[3];
  };
  const Case cases[] = {
      {{1, 2, 3, 4, 5}, {{44.610, 44.336, 44.162, 45.386, 50}, {49.299, 49.290, 49.510, 49.946, 50}, {49.916, 49.946, 49.989, 49.998, 50}}},
      {{3, 2, 4, 1, 5}, {{50.338, 44.349, 38.229, 45.578, 50}, {50.005, 49.815, 48.866, 49.930, 50}, {50.000, 49.991, 49.956, 49.996, 50}}},
      {{1, 5, 2, 4, 3},
       {{44.423, 43.908, 50, 45.538, 43.966}, {49.422, 49.755, 50, 49.881, 49.517}, {49.975, 49.990, 50, 49.994, 49.984}}}};
  for (const Case& c : cases) {
    const auto passes = tighten_linear(row.c, row.bolts, c.order, passes_to(50, 5, 3));
    for (std::size_t p = 0; p < 3; ++p) expect_forces(passes[p], c.pass[p], kKilo);
  }
}

TEST(TighteningLinear, RowOfFiveInSteps) {
  const RowOfFive row;
  std::vector<std::vector<double>> targets;
  for (const double target : {15.0, 30.0, 50.0, 50.0}) targets.emplace_back(5, target);
  const auto passes = tighten_linear(row.c, row.bolts, {3, 2, 4, 1, 5}, targets);
  expect_forces(passes[0], {15.101, 13.305, 11.469, 13.673, 15}, 1e-3);
  expect_forces(passes[1], {30.115, 28.040, 25.887, 28.489, 30}, 1e-3);
  expect_forces(passes[2], {50.152, 47.396, 44.577, 47.990, 50}, 1e-3);
  expect_forces(passes[3], {50.002, 49.915, 49.480, 49.968, 50}, 1e-3);
}

TEST(TighteningLinear, CompensatedSinglePass) {
  const RowOfFive row;
  const std::vector<int> order = {3, 2, 4, 1, 5};
  const std::vector<double> set = compensated_targets(row.c, row.bolts, order, std::vector<double>(5, 50.0));
  const std::vector<double> expected = {49.6623, 55.7252, 62.7115, 54.4231, 50};
  for (std::size_t i = 0; i < 5; ++i) EXPECT_NEAR(set[i], expected[i], 1e-3);
  expect_forces(tighten_linear(row.c, row.bolts, order, {set})[0], std::vector<double>(5, 50.0), 1e-9);
}

TEST(TighteningLinear, NoInteractionWithoutCrossCompliance) {
  const auto passes = tighten_linear({2, 0, 0, 0, 3, 0, 0, 0, 4}, {1, 1, 1}, {2, 3, 1}, passes_to(50, 3, 1));
  expect_forces(passes[0], {50, 50, 50}, 1e-12);
}

TEST(TighteningLinear, RepeatedPassesEndAtTheTarget) {
  const RowOfFive row;
  expect_forces(tighten_linear(row.c, row.bolts, {3, 2, 4, 1, 5}, passes_to(50, 5, 20)).back(), std::vector<double>(5, 50.0), 1e-6);
}

// Rigid head on a closed foundation, ten bolts: exact interaction in closed form. All locked at 30 kN, then each in turn to 45 kN.
TEST(Tightening, RigidHeadWithTenBolts) {
  constexpr double kTolerance = 1e-4;
  ClampModel model = slab(box(430, 170), 72e3 * 1e6, 0.33, 25, 20, {}, 20);
  for (const double y : {15.0, 155.0})
    for (const double x : {15.0, 115.0, 215.0, 315.0, 415.0}) model.bolts.at.push_back({x, y});
  TighteningPlan plan = even_plan(model, kilonewton(45), 3);
  plan.order = {3, 8, 7, 2, 4, 9, 10, 5, 1, 6};
  plan.started_at = kilonewton(30);
  plan.wrench_never_loosens = false;
  ClampedJoint joint(model);
  const TighteningResult r = tighten(joint, plan);
  ASSERT_EQ(r.status, ClampStatus::kConverged) << r.message;
  const std::vector<double> one = {41.5959, 37.0344, 31.8784, 35.5531, 49.1374, 45, 36.9531, 32.0587, 36.4085, 44.0941};
  const std::vector<double> three = {44.5759, 43.9230, 43.6199, 44.7869, 45.5136, 45, 43.7442, 43.3394, 44.8458, 45.4845};
  for (std::size_t i = 0; i < 10; ++i) {
    EXPECT_NEAR(r.passes[0].force_N[i] * 1e-3, one[i], kTolerance * one[i]) << "bolt " << i + 1;
    EXPECT_NEAR(r.passes[2].force_N[i] * 1e-3, three[i], kTolerance * three[i]) << "bolt " << i + 1;
  }
}

TEST(Tightening, OnAClosedGasketItIsTheLawOfTheMatrix) {
  const ClampModel model = four_cylinder();
  const ClampOptions coarse{.grid = length(10)};
  const std::vector<double> c = bolt_influence_mm_per_N(model, coarse), bolts(10, 1 / 126e3);
  TighteningPlan plan = even_plan(model, kilonewton(45), 2);
  plan.started_at = kilonewton(40);  // tight enough to stay closed everywhere
  plan.wrench_never_loosens = false;
  ClampedJoint joint(model, coarse);
  const TighteningResult r = tighten(joint, plan);
  ASSERT_EQ(r.clamped.summary.open_area_mm2, 0);
  // All are tight from the start: the change from 40 kN follows passes after the first.
  std::vector<std::vector<double>> targets = passes_to(45e3, 10, 3);
  std::vector<double> start = compensated_targets(c, bolts, model.order, std::vector<double>(10, 40e3));
  targets[0] = start;
  const auto law = tighten_linear(c, bolts, model.order, targets);
  for (std::size_t i = 0; i < 10; ++i) {
    EXPECT_NEAR(r.passes[0].force_N[i], law[1].force_N[i], 0.05);
    EXPECT_NEAR(r.passes[1].force_N[i], law[2].force_N[i], 0.05);
  }
}

TEST(Tightening, MorePassesEvenOut) {
  const ClampModel model = four_cylinder();
  ClampedJoint joint(model, {.grid = length(10)});
  TighteningPlan plan = even_plan(model, kilonewton(45), 4);
  plan.wrench_never_loosens = false;
  const TighteningResult r = tighten(joint, plan);
  for (std::size_t p = 1; p < r.passes.size(); ++p) EXPECT_LT(r.passes[p].std_N, r.passes[p - 1].std_N);
  EXPECT_LT(r.passes.back().std_N, 30);
}

TEST(Tightening, TorqueThenAnglesStopsAtYield) {
  ClampModel model = four_cylinder();
  model.stages.resize(3);
  model.stages[0].torque = joint::assumed(Torque::from_si(40));
  model.stages[1].angle = model.stages[2].angle = joint::assumed(Angle::from_degrees(90));
  const TighteningPlan plan = plan_of_model(model, 3);
  ClampedJoint joint(model, {.grid = length(10)});
  const TighteningResult r = tighten(joint, plan);
  ASSERT_EQ(r.passes.size(), 3u);
  EXPECT_GT(r.passes[1].mean_N, r.passes[0].mean_N);
  for (const double force : r.passes[2].force_N) EXPECT_LT(force, plan.yield_preload->si() * 1.05);
}

TEST(Tightening, PressureFilmKeepsTheGreatestPressure) {
  ClampedJoint joint(four_cylinder(), {.grid = length(10)});
  const TighteningResult r = tighten(joint, even_plan(joint.model(), kilonewton(45), 1));
  bool higher = false;
  for (std::size_t i = 0; i < r.clamped.field.pressure_MPa.size(); ++i) {
    if (std::isnan(r.clamped.field.pressure_MPa[i])) continue;  // nothing carries there
    EXPECT_GE(r.clamped.field.greatest_MPa[i], r.clamped.field.pressure_MPa[i]);
    higher = higher || r.clamped.field.greatest_MPa[i] > 1.01 * r.clamped.field.pressure_MPa[i];
  }
  EXPECT_TRUE(higher);
}

TEST(Tightening, OrderFromTheMiddleStartsInTheMiddleAndTakesAll) {
  const ClampModel model = four_cylinder();
  std::vector<int> order = order_from_the_middle(model.bolts.at);
  EXPECT_TRUE(order.front() == 3 || order.front() == 8);
  EXPECT_TRUE(order[1] == 3 || order[1] == 8);
  std::sort(order.begin(), order.end());
  for (int i = 0; i < 10; ++i) EXPECT_EQ(order[static_cast<std::size_t>(i)], i + 1);
}

TEST(Tightening, AdviceKeepsTheMakersOrder) {
  ClampModel model = four_cylinder();
  const TighteningAdvice with = advise_tightening(model, kilonewton(45), 0.01, 6, {.grid = length(10)});
  EXPECT_TRUE(with.makers_order);
  EXPECT_EQ(with.recommended.order, model.order);
  model.order.clear();
  const TighteningAdvice without = advise_tightening(model, kilonewton(45), 0.01, 6, {.grid = length(10)});
  EXPECT_EQ(without.recommended.order, without.searched.order);
  EXPECT_LE(without.searched.std_N, 0.01 * 45e3);
  EXPECT_TRUE(without.searched.order.front() == 3 || without.searched.order.front() == 8);
}

TEST(Tightening, SenselessPlansAreRefused) {
  ClampedJoint joint(four_cylinder(), {.grid = length(20)});
  TighteningPlan plan = even_plan(joint.model(), kilonewton(45), 1);
  plan.order = {1, 1, 2, 3, 4, 5, 6, 7, 8, 9};
  EXPECT_THROW((void)tighten(joint, plan), InputError);
  plan.order.clear();
  plan.passes[0].target_N[3] = std::nan("");
  EXPECT_THROW((void)tighten(joint, plan), InputError);
  EXPECT_THROW((void)even_plan(joint.model(), kilonewton(45), 0), InputError);
}

}  // namespace
}  // namespace headjoint::clamp
