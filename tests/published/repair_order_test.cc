// Sequences of repairs: Kadane & Simon 1977 (formula from memory), values by trying every order.

#include "headjoint/diagnosis/repair_order.h"

#include <gtest/gtest.h>

#include <algorithm>

namespace headjoint::diagnosis {
namespace {

constexpr double kExact = 1e-9;
const std::vector<double> kChance{.5, .3, .2};
const std::vector<double> kCost{100, 40, 10};

double best_cost(const std::vector<double>& chance, const std::vector<double>& cost) {
  return expected_repair_cost(chance, cost, best_repair_order(chance, cost));
}

TEST(RepairOrder, EveryOrderOfThreeRepairs) {
  const std::vector<double> lexical{122, 117, 112, 97, 102, 92};
  std::vector<std::size_t> order{0, 1, 2};
  std::size_t at = 0;
  do EXPECT_NEAR(expected_repair_cost(kChance, kCost, order), lexical[at++], kExact);
  while (std::next_permutation(order.begin(), order.end()));
  EXPECT_EQ(best_repair_order(kChance, kCost), (std::vector<std::size_t>{2, 1, 0}));
}

TEST(RepairOrder, FourRepairs) {
  const std::vector<double> chance{.45, .25, .20, .10};
  const std::vector<double> cost{60, 20, 50, 5};
  EXPECT_EQ(best_repair_order(chance, cost), (std::vector<std::size_t>{3, 1, 0, 2}));
  EXPECT_NEAR(best_cost(chance, cost), 72, kExact);
}

/// Expected saving of a test that shows each fault with these chances, before its cost.
double worth(const std::vector<double>& shows, double* positive_cost = nullptr, double* negative_cost = nullptr) {
  double after = 0;
  for (bool positive : {true, false}) {
    std::vector<double> posterior;
    double all = 0;
    for (std::size_t i = 0; i < kChance.size(); ++i) {
      posterior.push_back(kChance[i] * (positive ? shows[i] : 1 - shows[i]));
      all += posterior.back();
    }
    for (double& p : posterior) p /= all;
    const double cost = best_cost(posterior, kCost);
    if (positive && positive_cost != nullptr) *positive_cost = cost;
    if (!positive && negative_cost != nullptr) *negative_cost = cost;
    after += all * cost;
  }
  return best_cost(kChance, kCost) - after;
}

TEST(RepairOrder, ATestIsWorthWhatTheOrdersAfterItSave) {
  double positive = 0;
  double negative = 0;
  EXPECT_NEAR(worth({.9, .1, .1}, &positive, &negative), 17.5, 1e-6);
  EXPECT_NEAR(positive, 103.4, 1e-6);
  EXPECT_NEAR(negative, 45.6, 1e-6);
  EXPECT_NEAR(worth({.5, .9, .1}), 9.4, 1e-6);
}

}  // namespace
}  // namespace headjoint::diagnosis
