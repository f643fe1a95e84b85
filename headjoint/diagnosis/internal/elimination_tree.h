#pragma once

#include <array>
#include <cstddef>
#include <memory>
#include <span>
#include <vector>

#include "headjoint/diagnosis/internal/elimination_order.h"
#include "headjoint/diagnosis/internal/factor_graph.h"
#include "headjoint/diagnosis/internal/table_store.h"
#include "headjoint/diagnosis/internal/tree_shape.h"

namespace headjoint::diagnosis::internal {

/// A number kept as sign and logarithm: products of thousands of probabilities underflow a double.
struct LogValue {
  double log = 0;    ///< natural logarithm of the magnitude; meaningless when sign is 0
  double sign = 1;   ///< -1, 0 or 1
  double error = 0;  ///< bound on the relative rounding error, where it was asked for

  /// This value as a multiple of another one; 0 when this one is 0. @pre other.sign != 0
  [[nodiscard]] double over(const LogValue& other) const;
};

/// What is different in one evaluation from the graph the tree was made of.
struct Trial {
  struct Replaced {
    std::size_t factor;  ///< index into FactorGraph::factors
    std::vector<double> table;
  };
  struct Weighted {
    Variable variable;
    std::vector<double> weight;  ///< multiplies the graph, one per state
  };
  std::vector<Replaced> replaced;
  std::vector<Weighted> weighted;
};

/// What is asked of one evaluation beside the total.
struct Asked {
  std::span<const Variable> marginals;
  std::span<const Trial> on_top;  ///< each alone on top of the trial; weights only
};

/// Marginals of some variables.
struct Marginals {
  LogValue total;                           ///< sum of the whole product
  std::vector<LogValue> on_top;             ///< the total with each trial asked for on top
  std::vector<std::vector<double>> values;  ///< [as asked][state], each sums to 1; empty when total is 0
  double disagreement = 0;                  ///< largest |ln| difference of the total as seen from different tables
};

/// Tree of tables along an elimination order: sums the product of all factors upward, and hands marginals out downward.
///
/// Messages are never divided by one another (Shafer & Shenoy), so that zeros and negative entries are harmless; one that grows or
/// shrinks far from 1 is scaled by a power of two. An evaluation with a Trial recomputes only the tables between what changed and the
/// root, and leaves the tree as it was. A tree belongs to one thread.
class EliminationTree {
 public:
  EliminationTree(const FactorGraph& graph, const Elimination& elimination);

  /// Sum of the product of all factors. With `bounded`, a running bound of the rounding error goes with every entry.
  [[nodiscard]] LogValue total(bool bounded);
  [[nodiscard]] LogValue total(const Trial& trial);
  [[nodiscard]] Marginals marginals(const Trial& trial, std::span<const Variable> wanted) { return evaluate(trial, {wanted, {}}); }
  /// What a trial changes is recomputed once, for the marginals and for everything put on top of it.
  [[nodiscard]] Marginals evaluate(const Trial& trial, const Asked& asked);

 private:
  /// One table for each node, one after the other, and the power of two taken out of each.
  struct Tables {
    TableStore values;  ///< every table is written before it is read
    std::vector<int> exponent;
  };
  /// Whose table of a node counts: the tree's own, the trial's, or that of a trial on top.
  enum Layer : unsigned char { kOwn, kTrial, kOnTop };

  [[nodiscard]] std::span<double> table(Tables& tables, std::size_t node) const;
  /// What a node hands up, under the trial that was put in place last.
  [[nodiscard]] std::span<const double> up(std::size_t node) const;
  [[nodiscard]] int up_exponent(std::size_t node) const { return layers_[layer_[node]].exponent[node]; }
  void make_room(Tables& tables) const;
  void form_leaf(std::size_t node, const Trial& trial, std::span<double> result) const;
  void send_up(std::size_t node, const Trial& trial, Tables& into);
  void put_in_place(const Trial& trial);
  [[nodiscard]] LogValue total_with(const Trial& on_top, const Trial& trial);
  void recompute(const Trial& changed, const Trial& below, Layer layer);
  void weigh(std::size_t node, const Trial& trial, std::span<double> result) const;
  [[nodiscard]] LogValue sum_roots() const;
  [[nodiscard]] std::vector<const Site*> choose_sites(std::span<const Variable> wanted, std::vector<bool>& needed) const;
  void send_down(const std::vector<bool>& needed, const Trial& trial);
  void hand_down(std::size_t child, int sibling, Side side, std::span<const double> above, int exponent);

  std::shared_ptr<const TreeShape> shape_;
  bool ready_ = false;
  std::array<Tables, 3> layers_;  ///< [layer]
  std::vector<Layer> layer_;      ///< [node]
  Tables down_;                   ///< everything outside a node's subtree, over its scope
  std::vector<double> scratch_;
};

}  // namespace headjoint::diagnosis::internal
