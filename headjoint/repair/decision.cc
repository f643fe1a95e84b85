#include "headjoint/repair/decision.h"

#include <algorithm>
#include <numeric>

#include "headjoint/base/error.h"

namespace headjoint::repair {

double expected_cost(std::span<const double> cost, std::span<const double> chance) {
  require(cost.size() == chance.size(), "one cost for each state");
  return std::inner_product(cost.begin(), cost.end(), chance.begin(), 0.0);
}

Choice best_choice(const CostTable& cost, std::span<const double> chance) {
  require(!cost.empty(), "there is nothing to choose from");
  Choice best{0, expected_cost(cost[0], chance)};
  for (std::size_t action = 1; action < cost.size(); ++action)
    if (const double other = expected_cost(cost[action], chance); other < best.cost) best = {action, other};
  return best;
}

Information information_from(std::span<const double> chance, const std::vector<std::vector<double>>& shows) {
  require(shows.size() == chance.size() && !shows.empty(), "one row of outcomes for each state");
  Information information;
  for (std::size_t outcome = 0; outcome < shows.front().size(); ++outcome) {
    std::vector<double> after;
    for (std::size_t state = 0; state < chance.size(); ++state) after.push_back(chance[state] * shows[state].at(outcome));
    const double all = std::accumulate(after.begin(), after.end(), 0.0);
    for (double& one : after) one = all > 0 ? one / all : 0;
    information.chance.push_back(all);
    information.after.push_back(std::move(after));
  }
  return information;
}

double expected_cost_with(const CostTable& cost, const Information& information) {
  require(information.chance.size() == information.after.size(), "one set of chances for each outcome");
  double sum = 0;
  for (std::size_t outcome = 0; outcome < information.chance.size(); ++outcome)
    if (information.chance[outcome] > 0) sum += information.chance[outcome] * best_choice(cost, information.after[outcome]).cost;
  return sum;
}

double value_of(const CostTable& cost, std::span<const double> chance, const Information& information) {
  return best_choice(cost, chance).cost - expected_cost_with(cost, information);
}

double value_of_certainty(const CostTable& cost, std::span<const double> chance) {
  double known = 0;
  for (std::size_t state = 0; state < chance.size(); ++state) {
    double least = cost.at(0).at(state);
    for (const std::vector<double>& row : cost) least = std::min(least, row.at(state));
    known += chance[state] * least;
  }
  return best_choice(cost, chance).cost - known;
}

}  // namespace headjoint::repair
