#pragma once

#include <cstddef>
#include <span>
#include <vector>

/// Repairs tried one after the other until the complaint is gone. One fault; every repair cures its own fault and no other.
namespace headjoint::diagnosis {

/// Expected cost: each repair is paid with the chance that none before it has cured.
/// @param chance  that this repair cures, >= 0, sum at most 1; @param cost  >= 0; @param order  every index once
/// @throws ContractError
/// @par Source  Kadane & Simon 1977
[[nodiscard]] double expected_repair_cost(std::span<const double> chance, std::span<const double> cost, std::span<const std::size_t> order);

/// The cheapest order: most chance for its cost first; equal ones as they stand.
/// @par Source  Kadane & Simon 1977
[[nodiscard]] std::vector<std::size_t> best_repair_order(std::span<const double> chance, std::span<const double> cost);

}  // namespace headjoint::diagnosis
