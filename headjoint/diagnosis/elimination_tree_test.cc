#include "headjoint/diagnosis/internal/elimination_tree.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>

namespace headjoint::diagnosis::internal {
namespace {

constexpr double kSame = 1e-11;  // relative to the sum of magnitudes
constexpr unsigned kSeeds = 40;

/// A random product of tables over at most nine variables of two or three states, with negative and zero entries.
class RandomGraph {
 public:
  explicit RandomGraph(unsigned seed) : random_(seed) {
    const std::size_t count = 3 + pick(7);
    for (std::size_t v = 0; v < count; ++v) graph.add_variable(2 + pick(2));
    for (std::size_t f = 0; f < count + 3; ++f) {
      std::vector<Variable> scope;
      for (Variable v = 0; v < count; ++v)
        if (pick(4) == 0 && scope.size() < 3) scope.push_back(v);
      if (scope.empty()) scope.push_back(pick(count));
      std::shuffle(scope.begin(), scope.end(), random_);
      graph.factors.push_back({scope, entries(table_size(scope, graph.states))});
    }
  }

  /// Some factors replaced, some variables weighed.
  Trial trial() {
    Trial result;
    for (std::size_t f = 0; f < graph.factors.size(); ++f)
      if (pick(5) == 0) result.replaced.push_back({f, entries(graph.factors[f].table.size())});
    for (Variable v = 0; v < graph.states.size(); ++v)
      if (pick(3) == 0) result.weighted.push_back({v, entries(graph.states[v])});
    return result;
  }

  FactorGraph graph;

 private:
  std::size_t pick(std::size_t count) { return random_() % count; }
  std::vector<double> entries(std::size_t count) {
    std::vector<double> result;
    for (std::size_t i = 0; i < count; ++i) result.push_back(pick(8) == 0 ? 0.0 : static_cast<double>(random_() % 2001) / 1000.0 - 0.5);
    return result;
  }
  std::mt19937 random_;
};

FactorGraph changed(FactorGraph graph, const Trial& trial) {
  for (const Trial::Replaced& replaced : trial.replaced) graph.factors[replaced.factor].table = replaced.table;
  for (const Trial::Weighted& weighted : trial.weighted) graph.factors.push_back({{weighted.variable}, weighted.weight});
  return graph;
}

/// Every combination of states, one after the other.
struct Enumerated {
  double total = 0;
  double magnitude = 0;
  std::vector<std::vector<double>> marginal;  ///< [variable][state], not normalised
};

Enumerated enumerate(const FactorGraph& graph) {
  Enumerated result;
  for (std::size_t count : graph.states) result.marginal.emplace_back(count, 0.0);
  std::vector<std::size_t> state(graph.states.size(), 0);
  for (bool more = true; more;) {
    double product = 1;
    for (const Factor& factor : graph.factors) {
      std::size_t at = 0;
      for (Variable v : factor.scope) at = at * graph.states[v] + state[v];
      product *= factor.table[at];
    }
    result.total += product;
    result.magnitude += std::abs(product);
    for (Variable v = 0; v < state.size(); ++v) result.marginal[v][state[v]] += product;
    more = false;
    for (std::size_t v = 0; v < state.size() && !more; ++v) {
      state[v] = (state[v] + 1) % graph.states[v];
      more = state[v] != 0;
    }
  }
  return result;
}

EliminationTree tree_of(const FactorGraph& graph) { return {graph, best_order(graph, {{}})}; }

double value_of(const LogValue& value) { return value.over({}); }

void expect_agrees(EliminationTree& tree, const Trial& trial, const FactorGraph& graph) {
  const Enumerated truth = enumerate(graph);
  const double tolerance = kSame * truth.magnitude;
  EXPECT_NEAR(value_of(tree.total(trial)), truth.total, tolerance);
  std::vector<Variable> all;
  for (Variable v = 0; v < graph.states.size(); ++v) all.push_back(v);
  const Marginals marginals = tree.marginals(trial, all);
  EXPECT_NEAR(value_of(marginals.total), truth.total, tolerance);
  for (std::size_t v = 0; v < marginals.values.size(); ++v)
    for (std::size_t s = 0; s < graph.states[v]; ++s) EXPECT_NEAR(marginals.values[v][s] * truth.total, truth.marginal[v][s], tolerance);
}

TEST(EliminationTree, ATrialEqualsTheChangedGraphEnumerated) {
  for (unsigned seed = 0; seed < kSeeds; ++seed) {
    RandomGraph random(seed);
    EliminationTree tree = tree_of(random.graph);
    for (int turn = 0; turn < 5; ++turn) {
      const Trial trial = random.trial();
      expect_agrees(tree, trial, changed(random.graph, trial));
    }
    expect_agrees(tree, {}, random.graph);  // trials leave the tree as it was
  }
}

TEST(EliminationTree, ATrialOnTopAddsItsWeightsAndLeavesTheFirstInPlace) {
  for (unsigned seed = 0; seed < kSeeds; ++seed) {
    RandomGraph random(1000 + seed);
    EliminationTree tree = tree_of(random.graph);
    const Trial first = random.trial();
    std::vector<Trial> on_top{random.trial(), {}, random.trial()};
    for (Trial& trial : on_top) trial.replaced.clear();
    std::vector<Variable> all(random.graph.states.size());
    for (Variable v = 0; v < all.size(); ++v) all[v] = v;
    const Marginals marginals = tree.evaluate(first, {all, on_top});
    const FactorGraph with_first = changed(random.graph, first);
    for (std::size_t t = 0; t < on_top.size(); ++t) {
      const Enumerated truth = enumerate(changed(with_first, on_top[t]));
      EXPECT_NEAR(value_of(marginals.on_top[t]), truth.total, kSame * truth.magnitude);
    }
    const Marginals alone = tree.marginals(first, all);
    EXPECT_EQ(alone.values, marginals.values);
  }
}

TEST(EliminationTree, SomeMarginalsAreThoseOfAll) {
  for (unsigned seed = 0; seed < kSeeds; ++seed) {
    RandomGraph random(2000 + seed);
    EliminationTree tree = tree_of(random.graph);
    const Trial trial = random.trial();
    const Enumerated truth = enumerate(changed(random.graph, trial));
    for (Variable v = 0; v < random.graph.states.size(); ++v) {
      const Marginals marginals = tree.marginals(trial, std::vector<Variable>{v});
      if (marginals.values.empty()) continue;
      for (std::size_t s = 0; s < random.graph.states[v]; ++s)
        EXPECT_NEAR(marginals.values[0][s] * truth.total, truth.marginal[v][s], kSame * truth.magnitude);
    }
  }
}

TEST(EliminationTree, TheBoundCoversTheRounding) {
  for (unsigned seed = 0; seed < kSeeds; ++seed) {
    RandomGraph random(3000 + seed);
    EliminationTree tree = tree_of(random.graph);
    const Enumerated truth = enumerate(random.graph);
    const LogValue total = tree.total(true);
    if (total.sign == 0) continue;
    EXPECT_LE(std::abs(value_of(total) - truth.total), total.error * std::abs(truth.total) + kSame * truth.magnitude);
    EXPECT_DOUBLE_EQ(total.log, tree.total(false).log);
  }
}

TEST(EliminationTree, ProductsFarBelowTheSmallestDoubleKeepTheirLogarithm) {
  constexpr std::size_t kLinks = 200;
  constexpr double kTiny = 1e-40;
  FactorGraph graph;
  for (std::size_t v = 0; v <= kLinks; ++v) graph.add_variable(2);
  for (Variable v = 0; v < kLinks; ++v) graph.factors.push_back({{v, v + 1}, {kTiny, kTiny, kTiny, kTiny}});
  EliminationTree tree = tree_of(graph);
  const double expected = static_cast<double>(kLinks) * std::log(kTiny) + static_cast<double>(kLinks + 1) * std::log(2.0);
  EXPECT_NEAR(tree.total(true).log, expected, kSame * std::abs(expected));
  const Marginals marginals = tree.marginals({}, std::vector<Variable>{0, kLinks / 2, kLinks});
  for (const auto& value : marginals.values) EXPECT_NEAR(value[0], 0.5, kSame);
  EXPECT_LE(marginals.disagreement, 1e-9);
}

}  // namespace
}  // namespace headjoint::diagnosis::internal
