#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "headjoint/diagnosis/internal/factor_graph.h"

namespace headjoint::diagnosis::internal {

/// Where each entry of a large table finds its partner in a small table over part of the same variables.
///
/// The large table is cut into runs of equal length. Within a run the small table either walks along (step 1) or stands still (step 0).
struct TableMap {
  std::size_t run = 1;
  bool walks = false;
  std::vector<std::uint32_t> offset;  ///< start in the small table, one per run

  /// @param large  variables, slowest first
  /// @param small  a part of `large` in the same order
  TableMap(const std::vector<Variable>& large, const std::vector<Variable>& small, const std::vector<std::size_t>& states);
};

/// large[i] *= small[partner of i]
void multiply(std::span<double> large, const TableMap& map, std::span<const double> small);

/// small[partner of i] += left[i] * right[i]
void add_up_product(std::span<const double> left, std::span<const double> right, const TableMap& map, std::span<double> small);

/// Number of entries of a table over these variables.
[[nodiscard]] std::size_t table_size(const std::vector<Variable>& scope, const std::vector<std::size_t>& states);

}  // namespace headjoint::diagnosis::internal
