#pragma once

#include <array>
#include <compare>
#include <cstddef>
#include <cstdint>
#include <vector>

namespace headjoint::machining {

/// What a choice costs, in order of importance. Sums and differences keep the order, so that the assignment can be solved over it.
class RankedCost {
 public:
  static constexpr std::size_t kRanks = 5;

  RankedCost() = default;
  explicit RankedCost(std::array<std::int64_t, kRanks> ranks) : ranks_(ranks) {}

  auto operator<=>(const RankedCost&) const = default;
  RankedCost& operator+=(const RankedCost& other) {
    for (std::size_t i = 0; i < kRanks; ++i) ranks_[i] += other.ranks_[i];
    return *this;
  }
  RankedCost& operator-=(const RankedCost& other) {
    for (std::size_t i = 0; i < kRanks; ++i) ranks_[i] -= other.ranks_[i];
    return *this;
  }
  friend RankedCost operator+(RankedCost a, const RankedCost& b) { return a += b; }
  friend RankedCost operator-(RankedCost a, const RankedCost& b) { return a -= b; }

  [[nodiscard]] std::int64_t rank(std::size_t i) const { return ranks_[i]; }

 private:
  std::array<std::int64_t, kRanks> ranks_{};
};

/// Costs of putting each row into each column; more columns than rows or as many.
class CostTable {
 public:
  CostTable(std::size_t rows, std::size_t columns, RankedCost fill) : columns_(columns), cells_(rows * columns, fill), rows_(rows) {}

  [[nodiscard]] std::size_t rows() const { return rows_; }
  [[nodiscard]] std::size_t columns() const { return columns_; }
  [[nodiscard]] RankedCost& at(std::size_t row, std::size_t column) { return cells_[row * columns_ + column]; }
  [[nodiscard]] const RankedCost& at(std::size_t row, std::size_t column) const { return cells_[row * columns_ + column]; }

 private:
  std::size_t columns_;
  std::vector<RankedCost> cells_;
  std::size_t rows_;
};

struct Assignment {
  std::vector<std::size_t> column_of;  ///< for each row
  std::vector<RankedCost> row_price;
  std::vector<RankedCost> column_price;
};

/// The cheapest way to give every row a column of its own.
/// @pre columns >= rows
[[nodiscard]] Assignment cheapest_assignment(const CostTable& costs);

/// True when the prices prove the assignment: no pair costs less than its prices, prices of columns are never above zero and zero
/// where the column is free, and every chosen pair costs exactly its prices.
[[nodiscard]] bool is_proven(const CostTable& costs, const Assignment& assignment);

}  // namespace headjoint::machining
