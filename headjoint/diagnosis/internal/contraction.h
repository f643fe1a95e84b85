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
/// tables either walks along or stands still.
class Contraction {
 public:
  /// @param joint  all variables that appear, slowest first; out, left and right are parts of it in the same order
  Contraction(const std::vector<Variable>& joint, const std::vector<Variable>& out, const std::vector<Variable>& left,
              const std::vector<Variable>& right, const std::vector<std::size_t>& states);

  /// result[i] = sum over the joint table of a * b. `into` says which of the three tables `result` is; `a` and `b` are those that follow
  /// it in the circle out, left, right.
  void sum_onto(Side into, std::span<double> result, std::span<const double> a, std::span<const double> b) const;

  /// Calls body(index in out, in left, in right) for every cell of the joint table.
  template <class Body>
  void for_cells(const Body& body) const {
    for (const Offsets& outer : outer_)
      for (const Offsets& inner : inner_)
        for (std::uint32_t i = 0; i < run_; ++i)
          body(outer[0] + inner[0] + i * step_[0], outer[1] + inner[1] + i * step_[1], outer[2] + inner[2] + i * step_[2]);
  }

  /// Cells of the joint table.
  [[nodiscard]] std::size_t cells() const { return outer_.size() * inner_.size() * run_; }

 private:
  using Offsets = std::array<std::uint32_t, 3>;

  std::uint32_t run_ = 1;
  Offsets step_{};              ///< within a run: 1 or 0
  std::vector<Offsets> inner_;  ///< starts of the runs of one stretch
  std::vector<Offsets> outer_;  ///< starts of the stretches
};

}  // namespace headjoint::diagnosis::internal
