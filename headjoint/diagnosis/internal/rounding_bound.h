#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "headjoint/diagnosis/internal/tree_shape.h"

namespace headjoint::diagnosis::internal {

/// Running bound of the rounding error of the tables of a tree, from the leaves to the roots.
///
/// A table is bounded by one relative figure for all its entries as long as nothing was subtracted in it: products and sums of what has one
/// sign keep it. Where entries of both signs are summed each entry gets its own bound; once these are all small beside their entries, the
/// table goes on with the largest of them. So the large tables, which hold chances, cost next to nothing.
class RoundingBound {
 public:
  explicit RoundingBound(const TreeShape& shape) : shape_(shape), nodes_(shape.nodes.size()) {}

  /// The next node, children first. @param exponent  [node] powers of two taken out, of this node and its children
  void add(std::size_t node, std::span<const double> table, std::span<const double> left, std::span<const double> right,
           const std::vector<int>& exponent);

  /// Bound of the relative error of the product of the roots; the error itself where a root is 0.
  [[nodiscard]] double of_roots() const { return of_roots_; }

 private:
  struct Bound {
    bool has_one_sign = false;  ///< no entry below 0
    double relative = 0;        ///< of every entry, where `each` is empty
    std::vector<double> each;   ///< of each entry
  };

  void settle(Bound& bound, std::span<const double> table);
  void sum_each(Bound& bound, const TreeNode& node, std::span<const double> left, std::span<const double> right, int taken);

  const TreeShape& shape_;
  std::vector<Bound> nodes_;
  double of_roots_ = 0;
};

}  // namespace headjoint::diagnosis::internal
