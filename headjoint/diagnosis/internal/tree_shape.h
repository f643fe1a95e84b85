#pragma once

#include <array>
#include <optional>
#include <vector>

#include "headjoint/diagnosis/internal/contraction.h"
#include "headjoint/diagnosis/internal/elimination_order.h"
#include "headjoint/diagnosis/internal/factor_graph.h"
#include "headjoint/diagnosis/internal/table_map.h"

namespace headjoint::diagnosis::internal {

/// A small product of factors, or two tables multiplied with the variables summed out that nothing else holds.
struct TreeNode {
  std::vector<Variable> scope;  ///< of the table handed up, slowest first: what most tables carry comes last
  int parent = -1;
  int left = -1;
  int right = -1;                    ///< -1 with a left one: summed only
  std::vector<std::size_t> factors;  ///< of a leaf
  std::optional<Contraction> plan;   ///< of all others
  std::size_t offset = 0;            ///< where its table starts in one array of all tables
  std::size_t size = 1;
};

/// Where a variable can be weighed and its marginal read: the tables below the node that sums it out.
struct Site {
  std::size_t node = 0;
  TableMap map;
};

/// The shape of a binary tree of tables (Shenoy 1997): what does not change from one evaluation to the next.
///
/// Along the elimination order the tables that hold a variable are multiplied two at a time, smallest first, so that a change below one of
/// them leaves the products of the others as they were.
class TreeShape {
 public:
  TreeShape(const FactorGraph& graph, const Elimination& elimination);

  /// A factor's table with its scope in the order of the tree.
  [[nodiscard]] std::vector<double> canonical(std::size_t factor, const std::vector<double>& table) const;

  std::vector<std::size_t> states;
  std::vector<TreeNode> nodes;           ///< children before parents
  std::vector<Factor> factors;           ///< in the order of the tree
  std::vector<TableMap> factor_map;      ///< [factor] within its leaf
  std::vector<std::size_t> factor_leaf;  ///< [factor]
  std::vector<std::size_t> leaf;         ///< [variable] a leaf that holds it
  std::vector<std::vector<Site>> sites;  ///< [variable] one or two, the smaller table first
  std::size_t cells = 0;                 ///< of all tables handed up

 private:
  void make_leaves(const FactorGraph& graph, const Elimination& elimination);
  void join_along(const Elimination& elimination);
  void join_pair(std::vector<std::size_t>& live, std::vector<std::size_t>& holders);
  std::size_t add_node(std::size_t left, int right, std::vector<std::size_t>& holders);
  void place_tables();
  [[nodiscard]] std::vector<Variable> both(const std::vector<Variable>& a, const std::vector<Variable>& b) const;
  [[nodiscard]] std::size_t size_of(const std::vector<Variable>& scope) const { return table_size(scope, states); }

  std::vector<std::size_t> rank_;  ///< [variable] place within tables
  std::vector<std::vector<Variable>> given_scope_;
};

}  // namespace headjoint::diagnosis::internal
