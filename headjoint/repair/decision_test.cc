// The arithmetic of deciding: a published example, and what must hold for any costs.
#include "headjoint/repair/decision.h"

#include <gtest/gtest.h>

#include <random>

#include "headjoint/base/error.h"

namespace headjoint::repair {
namespace {

constexpr double kExact = 1e-9;  // the published figures are exact in a few digits
constexpr double kRounding = 1e-12;
constexpr unsigned kTables = 500;

/// Raiffa 1968 as retold by Shenoy 1992: a hole that is dry, wet or soaking; costs are what is lost. Chances from memory.
struct OilWildcatter {
  std::vector<double> chance{0.5, 0.3, 0.2};
  CostTable cost{{70, -50, -200}, {0, 0, 0}};                                                 // drill, do not drill
  std::vector<std::vector<double>> shows{{0.6, 0.3, 0.1}, {0.3, 0.4, 0.3}, {0.1, 0.4, 0.5}};  // no, open, closed structure
};

TEST(OilWildcatter, DrillingUntestedEarnsTwenty) {
  const OilWildcatter oil;
  const Choice choice = best_choice(oil.cost, oil.chance);
  EXPECT_EQ(choice.action, 0U);
  EXPECT_NEAR(choice.cost, -20, kExact);
}

TEST(OilWildcatter, EachResultOfTheTest) {
  const OilWildcatter oil;
  const Information test = information_from(oil.chance, oil.shows);
  const std::vector<double> results{0.41, 0.35, 0.24};
  const std::vector<double> drilling{30.487805, -32.857143, -87.5};
  for (std::size_t r = 0; r < 3; ++r) {
    EXPECT_NEAR(test.chance[r], results[r], kExact);
    EXPECT_NEAR(expected_cost(oil.cost[0], test.after[r]), drilling[r], 5e-7);  // printed with six decimals
  }
}

TEST(OilWildcatter, TheTestIsWorthTwelveAndAHalfAndCertaintyThirtyFive) {
  const OilWildcatter oil;
  const Information test = information_from(oil.chance, oil.shows);
  EXPECT_NEAR(value_of(oil.cost, oil.chance, test), 12.5, kExact);
  constexpr double kPriceOfTest = 10;
  EXPECT_NEAR(-expected_cost_with(oil.cost, test) - kPriceOfTest, 22.5, kExact);
  EXPECT_NEAR(value_of_certainty(oil.cost, oil.chance), 35, kExact);
}

/// Two tests that are worth nothing alone and 50 together: the fault is the one XOR the other.
TEST(Information, TwoTestsMayBeWorthNothingAloneAndMuchTogether) {
  const std::vector<double> quarter(4, 0.25);  // both off, second on, first on, both on
  const CostTable repairs{{0, 100, 100, 0}, {100, 0, 0, 100}};
  const Information first = information_from(quarter, {{1, 0}, {1, 0}, {0, 1}, {0, 1}});
  const Information second = information_from(quarter, {{1, 0}, {0, 1}, {1, 0}, {0, 1}});
  EXPECT_NEAR(value_of(repairs, quarter, first), 0, kRounding);
  EXPECT_NEAR(value_of(repairs, quarter, second), 0, kRounding);
  EXPECT_NEAR(value_of_certainty(repairs, quarter), 50, kRounding);
}

class RandomDecision : public ::testing::Test {
 protected:
  double number(double most) { return most * std::uniform_real_distribution<double>()(random_); }
  std::vector<double> chances(std::size_t n) {
    std::vector<double> p;
    double sum = 0;
    for (std::size_t i = 0; i < n; ++i) sum += p.emplace_back(number(1) + 1e-6);
    for (double& one : p) one /= sum;
    return p;
  }
  std::mt19937 random_{20260};  // repeatable
};

TEST_F(RandomDecision, IdentitiesHoldForAnyCosts) {
  for (unsigned table = 0; table < kTables; ++table) {
    const std::vector<double> chance = chances(4);
    CostTable cost(3, std::vector<double>(4));
    for (auto& row : cost)
      for (double& one : row) one = number(1000);
    std::vector<std::vector<double>> shows;
    for (int s = 0; s < 4; ++s) shows.push_back(chances(3));
    const Information look = information_from(chance, shows);
    const double now = best_choice(cost, chance).cost;
    constexpr double kTight = 1e-9;
    const double worth = value_of(cost, chance, look);
    EXPECT_GE(worth, -kTight) << "free information never hurts, table " << table;
    EXPECT_LE(worth, value_of_certainty(cost, chance) + kTight) << "no look is worth more than certainty, table " << table;
    CostTable more = cost;
    more.push_back({number(1000), number(1000), number(1000), number(1000)});
    EXPECT_LE(best_choice(more, chance).cost, now + kTight) << "one more option never costs, table " << table;
    CostTable scaled = cost;
    for (auto& row : scaled)
      for (double& one : row) one *= 7;
    EXPECT_NEAR(best_choice(scaled, chance).cost, 7 * now, 7 * kTight) << "costs scale, table " << table;
    EXPECT_EQ(best_choice(scaled, chance).action, best_choice(cost, chance).action);
  }
}

TEST(BestChoice, WithoutAnActionThereIsNone) { EXPECT_THROW((void)best_choice({}, std::vector<double>{1.0}), ContractError); }

}  // namespace
}  // namespace headjoint::repair
