#pragma once

#include <array>
#include <vector>

#include "headjoint/repair/options.h"

namespace headjoint::repair {

/// How a joint that is renewed in one way may fail again: a noisy-OR.
struct Refailure {
  double as_fitted = 0;                  ///< with nothing left in
  double does_not_seal = 0;              ///< 1 - chance that it seals as clamped
  std::array<double, kPartBits> left{};  ///< chance by each thing alone, as much of it as the option leaves
};

[[nodiscard]] Refailure refailure_after(Option option, const RepairCase& repair_case, const ShopPrices& prices);

/// Chance of failing again when these things are there.
[[nodiscard]] double failure_with(const Refailure& refailure, unsigned parts);

/// Over all states. @param parts  [PartState]
[[nodiscard]] double failure_over(const Refailure& refailure, const std::vector<double>& parts);

/// What it fails again from: by how much the chance falls without each.
[[nodiscard]] std::vector<Driver> drivers_of(const Refailure& refailure, const std::vector<double>& parts);

}  // namespace headjoint::repair
