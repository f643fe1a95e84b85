#include "headjoint/machining/shim_plan.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <random>
#include <vector>

#include "headjoint/base/error.h"
#include "headjoint/machining/internal/assignment.h"
#include "headjoint/machining/test_engines.h"

namespace headjoint::machining {
namespace {

constexpr double kSame = 1e-9;
constexpr unsigned kSeed = 20260;
constexpr int kSmallCases = 300, kMiddleCases = 60;

ShimValve valve(double lash, double shim, double least, double most, double target) {
  return {"v", mm(lash), mm(shim), mm(least), mm(most), mm(target), 1};
}

/// What a plan is worth: outside, bought, squares (in um2), moved, less lash than wanted.
using Worth = std::array<double, 5>;

Worth worth_of(const ShimValve& valve, Length shim, bool is_bought, bool is_moved) {
  const double lash = in_mm(*valve.lash) + (in_mm(valve.shim) - in_mm(shim)) * valve.lash_per_shim;
  const double off = std::round((lash - in_mm(valve.target)) * 1e4) / 10;
  const bool is_outside = lash < in_mm(valve.lash_least) - 1e-6 || lash > in_mm(valve.lash_most) + 1e-6;
  return {is_outside ? 1.0 : 0.0, is_bought ? 1.0 : 0.0, off * off, is_moved ? 1.0 : 0.0, off < 0 ? 1.0 : 0.0};
}

Worth sum(const Worth& a, const Worth& b) {
  Worth total;
  for (std::size_t i = 0; i < total.size(); ++i) total[i] = a[i] + b[i];
  return total;
}

Worth worth_of(const ShimTask& task, const ShimPlan& plan) {
  Worth total{};
  for (std::size_t i = 0; i < task.valves.size(); ++i)
    total = sum(total, worth_of(task.valves[i], plan.valves[i].shim, plan.valves[i].from == ShimSource::kBuy,
                                plan.valves[i].from != ShimSource::kOwn));
  return total;
}

std::vector<Length> shop(const ShimTask& task) {
  std::vector<Length> sizes;
  if (task.sale)
    for (double size = in_mm(task.sale->from); size <= in_mm(task.sale->to) + 1e-9; size += in_mm(task.sale->step))
      sizes.push_back(mm(size));
  return sizes;
}

/// Every plan there is.
void try_all(const ShimTask& task, std::size_t row, std::vector<bool>& used, const Worth& so_far, Worth& best) {
  if (row == task.valves.size()) {
    best = std::min(best, so_far);
    return;
  }
  const std::size_t fitted = task.valves.size();
  for (std::size_t j = 0; j < used.size(); ++j) {
    if (used[j]) continue;
    used[j] = true;
    const Length size = j < fitted ? task.valves[j].shim : task.drawer[j - fitted];
    try_all(task, row + 1, used, sum(so_far, worth_of(task.valves[row], size, false, j != row)), best);
    used[j] = false;
  }
  for (const Length size : shop(task)) try_all(task, row + 1, used, sum(so_far, worth_of(task.valves[row], size, true, true)), best);
}

constexpr Worth kWorst = {1e9, 0, 0, 0, 0};

/// Another exact method: shims are offered one after another to the sets of valves already served.
Worth best_by_sets(const ShimTask& task) {
  const std::size_t valves = task.valves.size(), sets = std::size_t{1} << valves;
  std::vector<Worth> best(sets, kWorst);
  best[0] = {};
  const auto offer = [&](Length size, bool is_bought, std::size_t owner) {
    for (std::size_t set = sets; set-- > 0;) {
      if (best[set] == kWorst) continue;
      for (std::size_t i = 0; i < valves; ++i) {
        const std::size_t with = set | (std::size_t{1} << i);
        if (with == set) continue;
        best[with] = std::min(best[with], sum(best[set], worth_of(task.valves[i], size, is_bought, i != owner)));
      }
    }
  };
  for (std::size_t i = 0; i < valves; ++i) offer(task.valves[i].shim, false, i);
  for (const Length size : task.drawer) offer(size, false, valves);
  for (const Length size : shop(task))
    for (std::size_t i = 0; i < valves; ++i) offer(size, true, valves);
  return best.back();
}

double pick(std::mt19937& random, int least, int most, double step) {
  return step * static_cast<double>(std::uniform_int_distribution<int>(least, most)(random));
}

ShimTask random_task(std::mt19937& random, std::size_t valves, std::size_t drawer, bool has_sale) {
  ShimTask task;
  for (std::size_t i = 0; i < valves; ++i) {
    const bool is_intake = i % 2 == 0;
    const double target = is_intake ? 0.20 : 0.30;
    task.valves.push_back(valve(pick(random, 0, 50, 0.01), pick(random, 46, 56, 0.05), target - 0.03, target + 0.03, target));
    if (i % 3 == 2) task.valves.back().lash_per_shim = 1.5;
  }
  for (std::size_t i = 0; i < drawer; ++i) task.drawer.push_back(mm(pick(random, 90, 112, 0.025)));
  if (has_sale) task.sale = SizesOnSale{mm(2.40), mm(2.70), mm(0.05)};
  return task;
}

void expect_same(const Worth& a, const Worth& b, int number) {
  for (std::size_t i = 0; i < a.size(); ++i) EXPECT_NEAR(a[i], b[i], 1e-6) << "seed " << kSeed << ", case " << number << ", rank " << i;
}

TEST(PlanShims, IsTheBestOfAllPlansOnSmallCases) {
  std::mt19937 random(kSeed);
  for (int number = 0; number < kSmallCases; ++number) {
    const ShimTask task = random_task(random, 1 + number % 4, number % 4, number % 3 != 0);
    const ShimPlan plan = plan_shims(task);
    std::vector<bool> used(task.valves.size() + task.drawer.size(), false);
    Worth best = kWorst;
    try_all(task, 0, used, {}, best);
    expect_same(worth_of(task, plan), best, number);
    EXPECT_EQ(plan.status, ShimPlan::Status::kProven);
    EXPECT_EQ(static_cast<double>(plan.outside), best[0]);
  }
}

TEST(PlanShims, IsTheBestBySetsOnMiddleCases) {
  std::mt19937 random(kSeed + 1);
  for (int number = 0; number < kMiddleCases; ++number) {
    const ShimTask task = random_task(random, 8, 12, number % 2 == 0);
    const ShimPlan plan = plan_shims(task);
    expect_same(worth_of(task, plan), best_by_sets(task), number);
    EXPECT_EQ(plan.status, ShimPlan::Status::kProven);
  }
}

TEST(PlanShims, UsesEveryShimOnceAndLosesNone) {
  std::mt19937 random(kSeed + 2);
  const ShimTask task = random_task(random, 32, 200, true);
  const ShimPlan plan = plan_shims(task);
  EXPECT_EQ(plan.status, ShimPlan::Status::kProven);
  std::vector<double> in_hand, out;
  for (const ShimValve& one : task.valves) in_hand.push_back(in_mm(one.shim));
  for (const Length one : task.drawer) in_hand.push_back(in_mm(one));
  for (const Purchase& one : plan.buy) in_hand.insert(in_hand.end(), static_cast<std::size_t>(one.count), in_mm(one.size));
  for (const ShimFit& one : plan.valves) out.push_back(in_mm(one.shim));
  for (const Length one : plan.left_over) out.push_back(in_mm(one));
  std::sort(in_hand.begin(), in_hand.end());
  std::sort(out.begin(), out.end());
  ASSERT_EQ(in_hand.size(), out.size());
  for (std::size_t i = 0; i < out.size(); ++i) EXPECT_NEAR(in_hand[i], out[i], kSame);
}

TEST(PlanShims, DoesNotChangeWithTheOrderOfValvesOrDrawer) {
  std::mt19937 random(kSeed + 3);
  for (int number = 0; number < 20; ++number) {
    ShimTask task = random_task(random, 9, 10, true);
    const Worth worth = worth_of(task, plan_shims(task));
    std::shuffle(task.valves.begin(), task.valves.end(), random);
    std::shuffle(task.drawer.begin(), task.drawer.end(), random);
    expect_same(worth_of(task, plan_shims(task)), worth, number);
  }
}

// Printed in a maker's sheet: target 0.15, measured 0.25 with 2.425 fitted: exact 2.525; 2.50 leaves 0.175.
TEST(ExactShim, OfAPrintedExample) {
  const ShimValve one = valve(0.25, 2.425, 0.10, 0.20, 0.15);
  EXPECT_NEAR(in_mm(exact_shim(one, one.target)), 2.525, kSame);
  EXPECT_NEAR(in_mm(lash_with(one, mm(2.50))), 0.175, kSame);
}

// Printed rule: sizes by 0.02 mm, between two sizes the thinner: 2.45 fitted, 0.28 measured, 0.20 wanted: exact 2.53, fit 2.52.
TEST(PlanShims, TakesTheThinnerOfTwoEquallyNear) {
  ShimTask task;
  task.valves = {valve(0.28, 2.45, 0.18, 0.22, 0.20)};
  task.sale = SizesOnSale{mm(2.18), mm(2.82), mm(0.02)};
  const ShimPlan plan = plan_shims(task);
  EXPECT_NEAR(in_mm(plan.valves[0].shim), 2.52, kSame);
  ASSERT_EQ(plan.buy.size(), 1U);
  EXPECT_EQ(plan.buy[0].count, 1);
}

TEST(PlanShims, SwapsBeforeItBuys) {
  ShimTask task;
  task.valves = {valve(0.30, 2.40, 0.17, 0.23, 0.20), valve(0.10, 2.50, 0.17, 0.23, 0.20)};
  task.sale = SizesOnSale{mm(2.0), mm(3.0), mm(0.01)};
  const ShimPlan plan = plan_shims(task);
  EXPECT_TRUE(plan.buy.empty());
  EXPECT_EQ(plan.valves[0].from, ShimSource::kOtherValve);
  EXPECT_EQ(plan.valves[0].other_valve, 1U);
  EXPECT_NEAR(in_mm(*plan.valves[0].lash_after), 0.20, kSame);
  EXPECT_NEAR(in_mm(*plan.valves[1].lash_after), 0.20, kSame);
}

TEST(PlanShims, SaysWhichValveNoShimBringsInside) {
  ShimTask task;
  task.valves = {valve(0.20, 2.50, 0.17, 0.23, 0.20), valve(0.90, 2.50, 0.17, 0.23, 0.20)};
  task.sale = SizesOnSale{mm(2.0), mm(3.0), mm(0.05)};
  const ShimPlan plan = plan_shims(task);
  EXPECT_EQ(plan.outside, 1U);
  EXPECT_TRUE(plan.valves[0].is_inside);
  EXPECT_FALSE(plan.valves[1].is_inside);
  EXPECT_NEAR(in_mm(plan.valves[1].least_shim), 3.17, kSame);
  EXPECT_NEAR(in_mm(plan.valves[1].most_shim), 3.23, kSame);
  EXPECT_TRUE(plan.buy.empty()) << "nothing is bought for a valve that it does not bring inside";
}

TEST(PlanShims, LeavesValvesThatWereNotMeasured) {
  ShimTask task;
  task.valves = {valve(0.30, 2.40, 0.17, 0.23, 0.20), valve(0.20, 2.50, 0.17, 0.23, 0.20)};
  task.valves[1].lash.reset();
  const ShimPlan plan = plan_shims(task);
  EXPECT_EQ(plan.valves[1].from, ShimSource::kOwn);
  EXPECT_FALSE(plan.valves[1].lash_after);
  EXPECT_EQ(plan.outside, 1U) << "its shim is not offered to others";
}

TEST(PlanShims, LeavesThoseInsideWhenAsked) {
  ShimTask task;
  task.valves = {valve(0.23, 2.47, 0.17, 0.23, 0.20), valve(0.20, 2.50, 0.17, 0.23, 0.20)};
  task.drawer = {mm(2.50)};
  EXPECT_EQ(plan_shims(task).moved, 1U);
  task.leave_those_inside = true;
  EXPECT_EQ(plan_shims(task).moved, 0U);
}

TEST(PlanShims, TakesALimitAsInside) {
  ShimTask task;
  task.valves = {valve(0.1 + 0.2, 2.40, 0.25, 0.30, 0.275)};
  EXPECT_EQ(plan_shims(task).outside, 0U) << "0.1 + 0.2 is 0.30 to every feeler";
}

TEST(PlanShims, RefusesWhatIsNoTask) {
  ShimTask task;
  EXPECT_THROW((void)plan_shims(task), InputError);
  task.valves = {valve(0.2, 2.5, 0.3, 0.2, 0.25)};
  EXPECT_THROW((void)plan_shims(task), InputError);
  task.valves = {valve(std::nan(""), 2.5, 0.17, 0.23, 0.20)};
  EXPECT_THROW((void)plan_shims(task), InputError);
  task.valves = {valve(0.2, 2.5, 0.17, 0.23, 0.20)};
  task.sale = SizesOnSale{mm(2), mm(3), mm(0)};
  EXPECT_THROW((void)plan_shims(task), InputError);
  task.sale = SizesOnSale{mm(2), mm(3), mm(1e-6)};
  EXPECT_THROW((void)plan_shims(task), InputError);
}

TEST(IsProven, DoesNotTakeAWorseAssignment) {
  CostTable costs(2, 3, RankedCost({0, 0, 5, 0, 0}));
  costs.at(0, 0) = RankedCost({0, 0, 1, 0, 0});
  costs.at(1, 0) = RankedCost({0, 0, 2, 0, 0});
  Assignment best = cheapest_assignment(costs);
  EXPECT_EQ(best.column_of[0], 0U);
  EXPECT_TRUE(is_proven(costs, best));
  std::swap(best.column_of[0], best.column_of[1]);
  EXPECT_FALSE(is_proven(costs, best));
}

}  // namespace
}  // namespace headjoint::machining
