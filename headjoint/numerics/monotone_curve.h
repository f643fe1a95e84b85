#pragma once

#include <vector>

namespace headjoint::numerics {

/// A smooth curve through tabulated points that rises (or falls) wherever the table does: no overshoot between points.
///
/// Piecewise cubic with slopes limited after Fritsch and Carlson (weighted harmonic mean, Brodlie). Outside the table it stays
/// at the end value: the caller decides what lies beyond the table.
///
/// @par Source  F. N. Fritsch, R. E. Carlson, SIAM J. Numer. Anal. 17 (1980) 238-246; F. N. Fritsch, J. Butland, SIAM J. Sci.
///              Stat. Comput. 5 (1984) 300-304 (slope rule from memory)
class MonotoneCurve {
 public:
  struct Point {
    double x = 0;
    double y = 0;
  };

  /// @param points  at least two, x strictly rising, finite
  /// @throws ContractError
  explicit MonotoneCurve(std::vector<Point> points);

  [[nodiscard]] double operator()(double x) const;

 private:
  std::vector<Point> points_;
  std::vector<double> slopes_;
};

}  // namespace headjoint::numerics
