#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "headjoint/diagnosis/internal/elimination_order.h"
#include "headjoint/diagnosis/internal/factor_graph.h"
#include "headjoint/diagnosis/internal/table_map.h"

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

/// Marginals of some variables.
struct Marginals {
  LogValue total;                           ///< sum of the whole product
  std::vector<std::vector<double>> values;  ///< [as asked][state], each sums to 1; empty when total is 0
  double disagreement = 0;                  ///< largest |ln| difference of the total as seen from different tables
};

/// Tree of tables along an elimination order: sums the product of all factors upward, and hands marginals out downward.
///
/// Messages are never divided by one another (Shafer & Shenoy), so that zeros and negative entries are harmless; each is scaled to a
/// largest magnitude of 1 and the logarithm of the scale kept. An evaluation with a Trial recomputes only the tables between what
/// changed and the root, and leaves the tree as it was.
class EliminationTree {
 public:
  EliminationTree(const FactorGraph& graph, const Elimination& elimination);

  /// Sum of the product of all factors. With `bounded`, a running bound of the rounding error goes with every entry.
  [[nodiscard]] LogValue total(bool bounded);
  [[nodiscard]] LogValue total(const Trial& trial);
  [[nodiscard]] Marginals marginals(const Trial& trial, std::span<const Variable> wanted);

  /// Makes a trial part of the tree for good.
  void keep(const Trial& trial);

 private:
  struct Clique {
    std::vector<Variable> scope;      ///< slowest first; the ones summed out here come last
    std::vector<Variable> separator;  ///< shared with the parent: the leading part of scope
    int parent = -1;
    std::vector<std::size_t> children;
    std::vector<std::size_t> factors;
    std::vector<TableMap> into;  ///< separator within the parent's scope; one entry, none for a root
    std::vector<double> base;    ///< product of the factors
    std::size_t block = 1;       ///< entries of the table per entry of the separator
  };
  /// Table handed along an edge, with its scale taken out. `log` also holds the scales of all that it sums up.
  struct Message {
    std::vector<double> table;
    std::vector<double> error;
    double log = 0;
  };
  /// Where a marginal is read: on the edge above a clique, or in the clique itself.
  struct Site {
    std::size_t clique = 0;
    bool on_edge = false;
  };
  class TrialRun;

  void make_cliques(const Elimination& elimination);
  void sort_cliques();
  void place_factors(const FactorGraph& graph);
  void choose_sites();
  [[nodiscard]] std::vector<double> canonical(const Factor& factor, std::vector<Variable>& scope) const;
  void form_base(std::size_t clique, const Trial& trial, std::vector<double>& table) const;
  void weigh(std::size_t clique, const std::vector<Trial::Weighted>& weights, std::vector<double>& table) const;
  void form(std::size_t clique, const Trial& trial, std::vector<double>& table) const;
  void send_up(std::size_t clique, const Trial& trial, Message& message);
  void send_up_bounded(std::size_t clique);
  [[nodiscard]] LogValue sum_roots(bool bounded) const;
  void send_down(std::size_t clique, const Trial& trial, const std::vector<bool>& needed, const std::vector<bool>& belief_wanted);

  std::vector<std::size_t> states_;
  std::vector<std::size_t> rank_;
  std::vector<Clique> cliques_;        ///< children before parents
  std::vector<std::size_t> home_;      ///< [variable] clique that sums it out
  std::vector<Site> sites_;            ///< [variable]
  std::vector<Factor> factors_;        ///< scopes slowest first
  std::vector<Factor> originals_;      ///< as given, for replacements
  std::vector<Trial::Weighted> kept_;  ///< weights of trials made part of the tree
  std::vector<std::size_t> factor_home_;
  std::vector<TableMap> factor_map_;
  std::vector<Message> up_;
  std::vector<Message> down_;  ///< down_[c]: everything outside c's subtree, over c's separator
  std::vector<std::vector<double>> belief_;
  std::vector<double> belief_log_;
  bool ready_ = false;
  std::vector<double> scratch_;
  std::vector<double> suffix_;
  std::vector<std::vector<double>> prefix_;
};

}  // namespace headjoint::diagnosis::internal
