#include "headjoint/diagnosis/internal/tree_shape.h"

#include <algorithm>
#include <iterator>
#include <numeric>

#include "headjoint/base/error.h"

namespace headjoint::diagnosis::internal {
namespace {

constexpr std::size_t kLineCells = 8;   // tables of at least a line of the cache start on one
constexpr std::size_t kLeafCells = 16;  // factors are put together in one leaf up to this size

/// Place of each variable within tables: what is carried through most cells along the order comes last, so that runs are long.
std::vector<std::size_t> layout_rank(const Elimination& elimination, const std::vector<std::size_t>& states) {
  std::vector<double> carried(states.size(), 0.0);
  for (const Bucket& bucket : elimination.buckets) {
    double cells = static_cast<double>(states[bucket.variable]);
    for (Variable v : bucket.rest) cells *= static_cast<double>(states[v]);
    carried[bucket.variable] += cells;
    for (Variable v : bucket.rest) carried[v] += cells;
  }
  std::vector<Variable> order(states.size());
  std::iota(order.begin(), order.end(), Variable{0});
  std::stable_sort(order.begin(), order.end(), [&](Variable a, Variable b) {
    return carried[a] != carried[b] ? carried[a] < carried[b] : elimination.rank[a] < elimination.rank[b];
  });
  std::vector<std::size_t> rank(states.size());
  for (std::size_t i = 0; i < order.size(); ++i) rank[order[i]] = i;
  return rank;
}

template <class Container, class Value>
bool holds(const Container& container, const Value& value) {
  return std::find(container.begin(), container.end(), value) != container.end();
}

}  // namespace

TreeShape::TreeShape(const FactorGraph& graph, const Elimination& elimination)
    : states(graph.states), leaf(graph.states.size()), rank_(layout_rank(elimination, graph.states)) {
  nodes.reserve(2 * (graph.factors.size() + states.size()));
  make_leaves(graph, elimination);
  join_along(elimination);
  place_tables();
}

std::vector<Variable> TreeShape::both(const std::vector<Variable>& a, const std::vector<Variable>& b) const {
  std::vector<Variable> all;
  std::set_union(a.begin(), a.end(), b.begin(), b.end(), std::back_inserter(all),
                 [this](Variable x, Variable y) { return rank_[x] < rank_[y]; });
  return all;
}

std::vector<double> TreeShape::canonical(std::size_t f, const std::vector<double>& table) const {
  const std::vector<Variable>& given = given_scope_[f];
  std::vector<std::size_t> from{0};
  for (Variable v : factors[f].scope) {
    std::size_t step = 1;
    for (std::size_t j = given.size(); given[j - 1] != v; --j) step *= states[given[j - 1]];
    std::vector<std::size_t> wider;
    wider.reserve(from.size() * states[v]);
    for (std::size_t start : from)
      for (std::size_t s = 0; s < states[v]; ++s) wider.push_back(start + s * step);
    from = std::move(wider);
  }
  std::vector<double> ordered(from.size());
  for (std::size_t i = 0; i < from.size(); ++i) ordered[i] = table[from[i]];
  return ordered;
}

void TreeShape::make_leaves(const FactorGraph& graph, const Elimination& elimination) {
  std::vector<std::vector<std::size_t>> by_first(states.size());
  for (std::size_t f = 0; f < graph.factors.size(); ++f) {
    require(!graph.factors[f].scope.empty(), "a factor needs a variable");
    Factor factor{graph.factors[f].scope, {}};
    std::sort(factor.scope.begin(), factor.scope.end(), [this](Variable a, Variable b) { return rank_[a] < rank_[b]; });
    given_scope_.push_back(graph.factors[f].scope);
    factors.push_back(std::move(factor));
    factors.back().table = canonical(f, graph.factors[f].table);
    const auto& scope = factors.back().scope;
    by_first[*std::min_element(scope.begin(), scope.end(), [&](Variable a, Variable b) {
      return elimination.rank[a] < elimination.rank[b];
    })].push_back(f);
  }
  factor_leaf.resize(factors.size());
  std::vector<bool> held(states.size(), false);
  for (auto& list : by_first) {
    std::stable_sort(list.begin(), list.end(),
                     [this](std::size_t a, std::size_t b) { return factors[a].table.size() > factors[b].table.size(); });
    const std::size_t first = nodes.size();
    for (std::size_t f : list) {
      const auto fits = [&](const TreeNode& node) {
        const std::size_t size = size_of(both(node.scope, factors[f].scope));
        return size <= std::max(size_of(node.scope), kLeafCells);
      };
      auto at = std::find_if(nodes.begin() + static_cast<std::ptrdiff_t>(first), nodes.end(), fits);
      if (at == nodes.end()) at = nodes.insert(nodes.end(), TreeNode{});
      at->scope = both(at->scope, factors[f].scope);
      at->factors.push_back(f);
      factor_leaf[f] = static_cast<std::size_t>(at - nodes.begin());
      for (Variable v : factors[f].scope) {
        leaf[v] = factor_leaf[f];
        held[v] = true;
      }
    }
  }
  for (Variable v = 0; v < states.size(); ++v) {
    if (held[v]) continue;
    leaf[v] = nodes.size();
    nodes.emplace_back().scope = {v};
  }
  for (std::size_t f = 0; f < factors.size(); ++f) factor_map.emplace_back(nodes[factor_leaf[f]].scope, factors[f].scope, states);
}

void TreeShape::join_along(const Elimination& elimination) {
  sites.resize(states.size());
  std::vector<std::size_t> live(nodes.size());
  std::vector<std::size_t> holders(states.size(), 0);  // tables that still hold a variable
  for (std::size_t n = 0; n < nodes.size(); ++n) {
    live[n] = n;
    for (Variable v : nodes[n].scope) ++holders[v];
  }
  for (const Bucket& bucket : elimination.buckets) {
    const auto lacks = [&](std::size_t n) { return !holds(nodes[n].scope, bucket.variable); };
    const auto middle = std::stable_partition(live.begin(), live.end(), lacks);
    std::vector<std::size_t> around(middle, live.end());
    live.erase(middle, live.end());
    while (around.size() > 1) join_pair(around, holders);
    if (holders[bucket.variable] > 0) around[0] = add_node(around[0], -1, holders);
    live.insert(live.end(), around.begin(), around.end());
  }
}

/// Joins the smallest table with the one that makes the smallest product.
void TreeShape::join_pair(std::vector<std::size_t>& around, std::vector<std::size_t>& holders) {
  std::size_t smallest = 0;
  for (std::size_t i = 1; i < around.size(); ++i)
    if (size_of(nodes[around[i]].scope) < size_of(nodes[around[smallest]].scope)) smallest = i;
  const std::size_t a = around[smallest];
  around.erase(around.begin() + static_cast<std::ptrdiff_t>(smallest));
  std::size_t partner = 0;
  std::size_t least = 0;
  for (std::size_t i = 0; i < around.size(); ++i) {
    const std::size_t size = size_of(both(nodes[a].scope, nodes[around[i]].scope));
    if (i > 0 && size >= least) continue;
    partner = i;
    least = size;
  }
  around[partner] = add_node(a, static_cast<int>(around[partner]), holders);
}

std::size_t TreeShape::add_node(std::size_t left, int right, std::vector<std::size_t>& holders) {
  static const std::vector<Variable> kNothing;
  const std::size_t own = nodes.size();
  const std::vector<Variable>& right_scope = right >= 0 ? nodes[static_cast<std::size_t>(right)].scope : kNothing;
  const std::vector<Variable> joint = both(nodes[left].scope, right_scope);
  TreeNode node;
  for (Variable v : joint) {
    const bool in_left = holds(nodes[left].scope, v);
    const bool in_right = holds(right_scope, v);
    holders[v] -= (in_left ? 1U : 0U) + (in_right ? 1U : 0U);
    if (holders[v] > 0) {
      node.scope.push_back(v);
      ++holders[v];
      continue;
    }
    if (in_left) sites[v].push_back({left, TableMap(nodes[left].scope, {v}, states)});
    if (in_right) sites[v].push_back({static_cast<std::size_t>(right), TableMap(right_scope, {v}, states)});
  }
  node.left = static_cast<int>(left);
  node.right = right;
  node.plan.emplace(joint, node.scope, nodes[left].scope, right_scope, states);
  nodes[left].parent = static_cast<int>(own);
  if (right >= 0) nodes[static_cast<std::size_t>(right)].parent = static_cast<int>(own);
  nodes.push_back(std::move(node));
  return own;
}

void TreeShape::place_tables() {
  for (TreeNode& node : nodes) {
    node.size = size_of(node.scope);
    if (node.size >= kLineCells) cells = (cells + kLineCells - 1) / kLineCells * kLineCells;
    node.offset = cells;
    cells += node.size;
  }
  for (auto& list : sites)
    std::stable_sort(list.begin(), list.end(), [this](const Site& a, const Site& b) { return nodes[a.node].size < nodes[b.node].size; });
}

}  // namespace headjoint::diagnosis::internal
