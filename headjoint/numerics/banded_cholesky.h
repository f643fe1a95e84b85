#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace headjoint::numerics {

/// A symmetric matrix of which only a band about the diagonal is not zero; its lower half, column by column.
///
/// Columns are stored one behind the other with zeros under the band, so that blocks of the matrix can be read as if it were dense.
class BandedMatrix {
 public:
  /// @param size  unknowns    @param half_band  greatest row - column that is not zero
  BandedMatrix(std::size_t size, std::size_t half_band);

  [[nodiscard]] std::size_t size() const { return size_; }
  [[nodiscard]] std::size_t half_band() const { return half_band_; }
  /// Adds to entry (row, column) and its mirror image. @pre |row - column| <= half_band
  void add(std::size_t row, std::size_t column, double value) {
    if (row < column)
      values_[row * stride_ + column] += value;
    else
      values_[column * stride_ + row] += value;
  }
  [[nodiscard]] double at(std::size_t row, std::size_t column) const {
    return row < column ? at(column, row) : row - column > half_band_ ? 0 : values_[column * stride_ + row];
  }
  /// Makes row and column zero and the diagonal 1: that unknown becomes 0 when its right side is 0.
  void fix(std::size_t unknown);
  [[nodiscard]] std::size_t bytes() const { return values_.size() * sizeof(double); }

 private:
  friend class BandedCholesky;
  std::size_t size_;
  std::size_t half_band_;
  std::size_t stride_;  ///< entry (i, j) stands at j * stride_ + i
  std::vector<double> values_;
};

/// Cholesky factor of a positive definite banded matrix, and solutions with it.
///
/// Left-looking by narrow blocks of columns: each tile of the factor is summed in registers over all columns before it, so the band is read
/// from cache and written once. Vector width is chosen when the program starts. n b^2 operations, n b numbers.
/// @par Source  left-looking blocked Cholesky: Golub, Van Loan, Matrix Computations, 4.2-4.3 (from memory)
class BandedCholesky {
 public:
  explicit BandedCholesky(const BandedMatrix& shape);

  /// Factors `matrix`; columns before `first_changed` are known to be as they were when last factored and are kept.
  /// @returns false when the matrix is not positive definite (or holds a number that is none); the factor is then not to be used
  [[nodiscard]] bool factor(const BandedMatrix& matrix, std::size_t first_changed = 0);

  /// L y = b, in place. Entries before `first` are known to be zero.
  void solve_lower(std::span<double> b, std::size_t first = 0) const;
  /// L^T x = y, in place.
  void solve_upper(std::span<double> y) const;
  /// A x = b, in place.
  void solve(std::span<double> b) const {
    solve_lower(b);
    solve_upper(b);
  }
  /// L Y = B for kRightSides columns at once, stored row by row: entry (i, column) at i * kRightSides + column.
  static constexpr std::size_t kRightSides = 8;
  void solve_lower_block(std::span<double> rows, std::size_t first = 0) const;

  [[nodiscard]] std::size_t bytes() const { return factor_.bytes(); }

 private:
  BandedMatrix factor_;
  std::vector<double> inverse_diagonal_;
};

}  // namespace headjoint::numerics
