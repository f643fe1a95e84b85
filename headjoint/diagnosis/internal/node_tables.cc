// The tables of one node of a compiled network, and what they span.

#include "headjoint/diagnosis/internal/compiled_network.h"

namespace headjoint::diagnosis::internal {
namespace {

/// P(y <= k | no parent active); 1 for the highest state.
double leak_at_most(const Numbers& numbers, std::size_t k) { return k < numbers.leak.size() ? 1 - numbers.leak[k] : 1.0; }

/// P(y <= k | only this parent active).
double parent_at_most(const Numbers& numbers, std::size_t parent, std::size_t k) {
  return k < numbers.strength[parent].size() ? 1 - numbers.strength[parent][k] : 1.0;
}

}  // namespace

double level_weight(const std::vector<double>& likelihood, std::size_t k) {
  return likelihood[k] - (k + 1 < likelihood.size() ? likelihood[k + 1] : 0.0);
}

std::vector<std::vector<Variable>> CompiledNetwork::scopes(std::size_t i) const {
  const Instance& instance = network_.instances[i];
  const Part& part = parts_[i];
  const Family* const family = part.family < 0 ? nullptr : &families_[static_cast<std::size_t>(part.family)];
  const auto parent = [&](std::size_t p) {
    if (family != nullptr && p == part.shared_parent) return static_cast<Variable>(family->variable);
    return static_cast<Variable>(parts_[instance.parents[p].parent].variable);
  };
  const auto own = static_cast<Variable>(part.variable);
  const auto auxiliary = static_cast<Variable>(part.auxiliary);
  std::vector<std::vector<Variable>> result;
  if (part.form == Form::kTable) {
    std::vector<Variable> scope;
    for (std::size_t p : part.parents) scope.push_back(parent(p));
    if (part.variable >= 0) scope.push_back(own);
    result.push_back(scope);
    if (family != nullptr)
      result.push_back({static_cast<Variable>(parts_[family->shared].variable), static_cast<Variable>(family->variable)});
  } else if (part.auxiliary < 0) {
    for (std::size_t p : part.parents) result.push_back({parent(p)});
  } else {
    result.push_back(part.variable >= 0 ? std::vector<Variable>{own, auxiliary} : std::vector<Variable>{auxiliary});
    for (std::size_t p : part.parents)
      if (!is_in_family_of(i, p)) result.push_back({parent(p), auxiliary});
  }
  if (part.likelihood_factor) result.push_back({own});
  return result;
}

std::vector<double> CompiledNetwork::plain_table(std::size_t i, const std::vector<double>& likelihood, const Numbers& numbers) const {
  const Instance& instance = network_.instances[i];
  const Part& part = parts_[i];
  std::vector<std::vector<double>> rows{{}};  // P(y <= k) per combination of parent states
  for (std::size_t k = 0; k < instance.states; ++k) rows[0].push_back(leak_at_most(numbers, k));
  for (std::size_t p : part.parents) {
    std::vector<std::vector<double>> wider;
    for (const auto& row : rows)
      for (std::size_t s = 0; s < network_.instances[instance.parents[p].parent].states; ++s) {
        wider.push_back(row);
        if (s == 0) continue;
        for (std::size_t k = 0; k < instance.states; ++k) wider.back()[k] *= parent_at_most(numbers, p, k);
      }
    rows = std::move(wider);
  }
  std::vector<double> table;
  for (const auto& row : rows) {
    double seen = 0;
    for (std::size_t k = 0; k < instance.states; ++k) {
      const double chance = row[k] - (k > 0 ? row[k - 1] : 0.0);
      if (part.variable >= 0)
        table.push_back(chance);
      else
        seen += likelihood.empty() ? chance : likelihood[k] * chance;
    }
    if (part.variable < 0) table.push_back(seen);
  }
  return table;
}

/// Over the parents (the shared one and the flag as one variable of three values) and the member, and over the shared one and that
/// variable: P(member absent | shared one) where the family is held absent.
std::vector<std::vector<double>> CompiledNetwork::member_tables(std::size_t i, const Numbers& numbers) const {
  const Part& part = parts_[i];
  std::vector<std::pair<double, bool>> rows{{1.0, false}};  // P(absent | parents), held absent
  for (std::size_t p : part.parents) {
    const bool shared = p == part.shared_parent;
    const double inactive = shared ? leak_at_most(numbers, 0) : 1.0;
    std::vector<std::pair<double, bool>> wider;
    for (const auto& [absent, held] : rows) {
      wider.emplace_back(absent * inactive, held);
      wider.emplace_back(absent * inactive * parent_at_most(numbers, p, 0), held);
      if (shared) wider.emplace_back(absent, true);
    }
    rows = std::move(wider);
  }
  std::vector<double> table;
  for (const auto& [absent, held] : rows) {
    table.push_back(absent);
    table.push_back(held ? 0.0 : 1 - absent);
  }
  const double alone = leak_at_most(numbers, 0);
  return {table, {1.0, 1.0, alone, 1.0, 1.0, alone * parent_at_most(numbers, part.shared_parent, 0)}};
}

std::vector<std::vector<double>> CompiledNetwork::tables(std::size_t i, const std::vector<double>& likelihood,
                                                         const Numbers& numbers) const {
  const Instance& instance = network_.instances[i];
  const Part& part = parts_[i];
  const bool nothing_seen = likelihood.empty() && part.variable < 0;
  std::vector<std::vector<double>> result;
  if (part.family >= 0) {
    result = member_tables(i, numbers);
  } else if (part.form == Form::kTable) {
    result.push_back(plain_table(i, likelihood, numbers));
  } else {
    if (part.auxiliary >= 0) {
      std::vector<double> weights;
      if (part.variable >= 0)
        for (std::size_t y = 0; y < instance.states; ++y)
          for (std::size_t k : part.levels) weights.push_back(leak_at_most(numbers, k) * ((y == k ? 1.0 : 0.0) - (y == k + 1 ? 1.0 : 0.0)));
      else
        for (std::size_t b = 0; b < part.levels.size(); ++b)
          weights.push_back(nothing_seen ? (b == 0 ? 1.0 : 0.0)
                                         : leak_at_most(numbers, part.levels[b]) * level_weight(likelihood, part.levels[b]));
      result.push_back(weights);
    }
    const std::size_t first = result.size();
    for (std::size_t p : part.parents) {
      if (is_in_family_of(i, p)) continue;
      std::vector<double> table;
      for (std::size_t s = 0; s < network_.instances[instance.parents[p].parent].states; ++s)
        for (std::size_t k : part.levels) table.push_back(s == 0 || nothing_seen ? 1.0 : parent_at_most(numbers, p, k));
      result.push_back(table);
    }
    if (part.auxiliary < 0 && !nothing_seen)
      for (double& value : result[first]) value *= leak_at_most(numbers, part.levels[0]) * level_weight(likelihood, part.levels[0]);
  }
  if (part.likelihood_factor) result.push_back(likelihood.empty() ? std::vector<double>(instance.states, 1.0) : likelihood);
  return result;
}

}  // namespace headjoint::diagnosis::internal
