#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "headjoint/diagnosis/instances.h"
#include "headjoint/diagnosis/internal/elimination_tree.h"

namespace headjoint::diagnosis::internal {

/// P(at least state k) for one node: with no parent active, and for each parent alone. What a band moves.
struct Numbers {
  std::vector<double> leak;
  std::vector<std::vector<double>> strength;  ///< [parent][k - 1]
};

[[nodiscard]] Numbers numbers_of(const Instance& instance);

/// Weight of the cumulative P(y <= k) when the states have this likelihood.
[[nodiscard]] double level_weight(const std::vector<double>& likelihood, std::size_t k);

/// One likelihood vector per instance, empty where nothing was seen.
using Likelihoods = std::vector<std::vector<double>>;

struct CompileOptions {
  bool keep_parents = false;  ///< hidden nodes that another finding has as a parent stay variables even when nothing below them was seen
  bool keep_decision_flags = false;  ///< flags over causes that carry a decision stay variables even with nothing seen below them
  std::vector<bool> keep_levels;     ///< per instance or empty: likelihoods that a trial will change later
};

/// An instance network with its observations as a product of small tables, ready to be summed.
///
/// For a noisy-OR or noisy-MAX node y, the cumulatives F_k(x) = P(y <= k | x) = (1 - leak_k) prod_i (1 - s_ik)^(x_i) are products of one
/// factor per parent. With a likelihood vector l over the states, sum_k l_k P(y = k | x) = sum_k (l_k - l_{k+1}) F_k(x): one auxiliary
/// variable with at most as many values as y has states, joined to each parent by a pairwise table, with signed weights. One that
/// keeps a single value (a plain negative finding) falls apart into one factor per parent. A node that must stay a variable itself
/// (causes, hidden nodes) is joined to its auxiliary by the table [y = k] - [y = k + 1].
///
/// The auxiliary of a flag over many places and the weakness its parents share need not both be carried along the places: where the flag
/// is held absent every parent is absent, whatever the weakness. One variable with three values (weakness absent, weakness there, held
/// absent) takes the place of both at the parents; what is left of the weakness, P(parent absent | weakness), is a factor of its own.
///
/// Nodes with nothing seen below them are left out, except causes. A flag - a cause defined as "any of these" with nothing seen below
/// it - is left out too, since it would tie all its parents together: its chance is asked for by holding all its parents absent.
/// @par Source  Takikawa & D'Ambrosio 1999; Diez & Galan 2003; Diez 1993 (noisy-MAX)
class CompiledNetwork {
 public:
  CompiledNetwork(const InstanceNetwork& network, const Likelihoods& likelihoods, const CompileOptions& options);

  [[nodiscard]] bool too_large() const { return tree_ == nullptr; }
  [[nodiscard]] double cells() const { return cells_; }
  [[nodiscard]] EliminationTree& tree() { return *tree_; }

  /// The variable that stands for an instance, or -1 when it was summed out beforehand or left out.
  [[nodiscard]] int variable(std::size_t instance) const { return parts_[instance].variable; }

  /// The variable that says whether any of these causes is there: of the only one, or of a flag that gathers just these; else -1.
  [[nodiscard]] int variable_of_any(const std::vector<std::size_t>& instances) const;

  /// Causes that are flags, left out of the tree.
  [[nodiscard]] const std::vector<std::size_t>& flags() const { return flags_; }

  /// Adds to a trial: the event "this cause is absent".
  void hold_absent(Trial& trial, std::size_t instance) const;
  /// The same for several causes; where they are all that a flag gathers, the flag is held absent instead.
  void hold_all_absent(Trial& trial, const std::vector<std::size_t>& instances) const;

  /// True when the observation of this instance is felt through the number of false positives (not only a constant factor).
  [[nodiscard]] bool feels_leak(std::size_t instance) const;

  /// Adds to a trial: other numbers and another likelihood for one instance. An empty likelihood takes the observation away.
  void replace(Trial& trial, std::size_t instance, const std::vector<double>& likelihood, const Numbers& numbers) const;

  struct Term {
    double factor = 1;
    Trial trial;
  };
  /// The event "the instance, not seen yet, is at most in state k" as a sum of trials with factors; one, or two for each parent that is
  /// a flag: (1 - s)^x = (1 - s) + s [x = 0].
  [[nodiscard]] std::vector<Term> at_most(std::size_t instance, std::size_t k) const;

 private:
  enum class Form { kLeftOut, kTable, kAuxiliary };
  /// How one instance entered the graph.
  struct Part {
    Form form = Form::kLeftOut;
    int variable = -1;
    int auxiliary = -1;
    std::vector<std::size_t> parents;  ///< indices into Instance::parents that have any strength
    std::vector<std::size_t> levels;   ///< values k of the auxiliary; one level and no auxiliary: factors on the parents
    std::vector<std::size_t> factors;  ///< in the order of tables()
    int family = -1;                   ///< index into families_ of a member
    std::size_t shared_parent = 0;     ///< of a member: index into Instance::parents
    bool likelihood_factor = false;    ///< the last factor is the likelihood on the variable
  };

  /// Parents of a flag that share one parent of their own.
  struct Family {
    std::size_t shared = 0;  ///< instance
    std::size_t flag = 0;    ///< instance
    int variable = -1;       ///< 0: shared one absent, 1: there, 2: the whole family held absent
  };

  [[nodiscard]] bool is_flag(std::size_t instance, bool keep_decision_flags) const;
  [[nodiscard]] bool is_definition(std::size_t instance) const;
  void find_families();
  void define_families();
  [[nodiscard]] bool is_in_family_of(std::size_t flag, std::size_t parent) const;
  void mark_needed(const CompileOptions& options);
  void add(std::size_t instance, const CompileOptions& options);
  [[nodiscard]] std::vector<std::vector<Variable>> scopes(std::size_t instance) const;
  [[nodiscard]] std::vector<std::vector<double>> tables(std::size_t instance, const std::vector<double>& likelihood,
                                                        const Numbers& numbers) const;
  [[nodiscard]] std::vector<std::vector<double>> member_tables(std::size_t instance, const Numbers& numbers) const;
  [[nodiscard]] std::vector<double> plain_table(std::size_t instance, const std::vector<double>& likelihood, const Numbers& numbers) const;
  [[nodiscard]] std::vector<std::vector<int>> stagings() const;

  const InstanceNetwork& network_;
  Likelihoods likelihoods_;
  std::vector<bool> needed_;
  std::vector<bool> stays_;  ///< is a variable of its own
  std::vector<bool> below_;  ///< has a child in the tree
  std::vector<bool> flag_;
  std::vector<std::size_t> flags_;
  std::vector<Part> parts_;
  std::vector<Family> families_;
  std::vector<int> location_of_variable_;
  FactorGraph graph_;
  double cells_ = 0;
  std::unique_ptr<EliminationTree> tree_;
};

}  // namespace headjoint::diagnosis::internal
