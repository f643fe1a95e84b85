#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "headjoint/diagnosis/internal/factor_graph.h"

namespace headjoint::diagnosis::internal {

/// The three tables that meet where two tables are multiplied and summed.
enum class Side : std::size_t { kOut, kLeft, kRight };

/// Product of two tables summed onto a third, in one pass and without a table over all variables.
///
/// Any of the three may be the result: upward the left and the right give what is handed up, downward what comes from above and one of
/// them give what the other is told. The joint table is only walked through, in runs of equal length; within a run each of the three
/// tables either walks along or stands still. The runs that are summed onto the same entries follow each other, so that a result is
/// written once.
class Contraction {
 public:
  /// @param joint  all variables that appear, slowest first; out, left and right are parts of it in the same order
  Contraction(const std::vector<Variable>& joint, const std::vector<Variable>& out, const std::vector<Variable>& left,
              const std::vector<Variable>& right, const std::vector<std::size_t>& states);

  /// result[i] = sum over the joint table of a * b. `into` says which of the three tables `result` is; `a` and `b` are those that follow
  /// it in the circle out, left, right.
  void sum_onto(Side into, std::span<double> result, std::span<const double> a, std::span<const double> b) const;

  /// Cells of the joint table.
  [[nodiscard]] std::size_t cells() const { return cells_; }

  /// Starts of one run in the result and in the two tables that follow it in the circle.
  using Starts = std::array<std::uint32_t, 3>;

 private:
  /// For one side as the result: starts of the runs, `outer` and `inner` for entries of the result, `summed` for what is added up there.
  /// An empty list stands for the one start 0.
  struct Walk {
    std::vector<Starts> outer;
    std::vector<Starts> inner;
    std::vector<Starts> summed;
  };

  std::size_t cells_ = 1;
  std::size_t run_ = 1;
  std::array<bool, 3> walks_along_{};  ///< [side] within a run
  std::array<Walk, 3> walks_;          ///< [side]
};

}  // namespace headjoint::diagnosis::internal
