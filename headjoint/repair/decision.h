#pragma once

#include <cstddef>
#include <span>
#include <vector>

/// Choosing among actions whose cost depends on what is the case.
namespace headjoint::repair {

/// Cost of every action in every state: cost[action][state]; all rows as long as the list of states.
using CostTable = std::vector<std::vector<double>>;

/// Expected cost of one action. @param chance  of each state, sums to 1
[[nodiscard]] double expected_cost(std::span<const double> cost, std::span<const double> chance);

struct Choice {
  std::size_t action = 0;  ///< the first of equals
  double cost = 0;
};

/// The action with the least expected cost.
/// @throws ContractError without an action, or when a row has another length than `chance`
[[nodiscard]] Choice best_choice(const CostTable& cost, std::span<const double> chance);

/// What a look at something shows: outcome o with chance[o], after which the states have the chances after[o].
struct Information {
  std::vector<double> chance;              ///< sums to 1
  std::vector<std::vector<double>> after;  ///< [outcome][state]
};

/// Bayes' rule: from P(outcome | state) to what each outcome leaves.
/// @param shows  [state][outcome], rows sum to 1
[[nodiscard]] Information information_from(std::span<const double> chance, const std::vector<std::vector<double>>& shows);

/// Expected cost when the best action is taken after each outcome, before the cost of looking.
[[nodiscard]] double expected_cost_with(const CostTable& cost, const Information& information);

/// What the look saves; never negative beyond rounding.
/// @par Source  Raiffa & Schlaifer 1961 (expected value of sample information)
[[nodiscard]] double value_of(const CostTable& cost, std::span<const double> chance, const Information& information);

/// What knowing the state for certain would save: the most that any look can be worth.
[[nodiscard]] double value_of_certainty(const CostTable& cost, std::span<const double> chance);

}  // namespace headjoint::repair
