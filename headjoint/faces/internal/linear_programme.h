#pragma once

#include <cstddef>
#include <vector>

namespace headjoint::faces::internal {

/// How a linear programme ended.
enum class ProgrammeStatus {
  kNotRun,
  kOptimal,
  kInfeasible,  ///< no value of the variables meets all rows
  kUnbounded,   ///< the objective has no limit
  kStuck,       ///< rounding defeated the exchange
};

/// Values, and what proves them: with one multiplier y per row, no feasible x exceeds bound_from(...).
struct ProgrammeSolution {
  ProgrammeStatus status = ProgrammeStatus::kNotRun;
  double value = 0;
  std::vector<double> x;
  std::vector<double> row_multipliers;
};

/// Maximise c x subject to A x = 0 and low <= x <= high; bounds may be infinite.
///
/// A small dense simplex method with bounds, for the few rows that the closures of straightedge lines give. The last feasible basis is
/// kept, so that many objectives over the same set cost few steps each. Bland's rule takes over after a run of ties.
class BoundedProgramme {
 public:
  /// @param rows  of A, each as long as the bounds
  BoundedProgramme(std::vector<std::vector<double>> rows, std::vector<double> low, std::vector<double> high);

  /// @param objective  as long as the bounds
  [[nodiscard]] ProgrammeSolution maximise(const std::vector<double>& objective);

  /// Upper limit of c x over all feasible x that row multipliers y give, whatever they are: sum over x of the most that (c - A' y) x
  /// reaches between its bounds. Infinite when a needed bound is.
  [[nodiscard]] double bound_from(const std::vector<double>& objective, const std::vector<double>& row_multipliers) const;

 private:
  enum class At { kLow, kHigh, kFree, kBasic };

  [[nodiscard]] std::size_t columns() const { return low_.size(); }
  [[nodiscard]] double resting_value(std::size_t column) const;
  bool find_feasible();
  bool exchange(std::vector<double>& reduced, std::size_t most_column, bool& is_unbounded);
  [[nodiscard]] std::vector<double> reduced_costs(const std::vector<double>& objective) const;
  void pivot(std::size_t row, std::size_t column, std::vector<double>& reduced);
  void recompute_basic();

  std::vector<std::vector<double>> rows_;  ///< as given, with one artificial column each
  std::vector<std::vector<double>> tableau_;
  std::vector<double> low_;
  std::vector<double> high_;
  std::size_t given_ = 0;  ///< columns without the artificial ones
  std::vector<std::size_t> basis_;
  std::vector<double> basic_value_;
  std::vector<At> at_;
  std::vector<double> artificial_sign_;
  bool is_started_ = false;
  bool is_feasible_ = false;
};

}  // namespace headjoint::faces::internal
