#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "headjoint/numerics/wilson_interval.h"

/// How well chances that were given agree with what came out.
namespace headjoint::diagnosis {

/// A chance that was given, and whether the thing was there.
struct Forecast {
  double chance = 0;  ///< 0 to 1
  bool was_there = false;
};

/// Mean of (chance - outcome)^2; 0 best, 0.25 for always saying one half. 0 for no forecasts.
/// @par Source  Brier 1950
[[nodiscard]] double brier_score(std::span<const Forecast> forecasts);

/// Mean of -ln of the chance given to what came out; 0 best. A chance of 0 for what happened gives infinity.
/// @par Source  Good 1952
[[nodiscard]] double log_score(std::span<const Forecast> forecasts);

using numerics::Interval;
using numerics::wilson_interval;

/// Forecasts of about the same chance together.
struct ReliabilityBin {
  double mean_chance = 0;
  double frequency = 0;  ///< of those that were there
  std::size_t cases = 0;
  Interval interval;  ///< of the frequency
};

/// Bins of equal width from 0 to 1; empty ones are left out.
[[nodiscard]] std::vector<ReliabilityBin> reliability(std::span<const Forecast> forecasts, std::size_t bins = 10, double z = 1.959964);

/// Chance after counting the shop's own closed jobs: the shipped chance weighs like so many cases.
/// @param chance  0 < chance < 1; @param equivalent_cases  > 0; @param hits  <= cases
/// @returns the mean of the Beta distribution, never below kLearntFloor nor above kLearntCeiling
/// @throws ContractError
/// @par Source  Beta-binomial counting; Spiegelhalter & Lauritzen 1990
[[nodiscard]] double learnt_chance(double chance, double equivalent_cases, std::size_t hits, std::size_t cases);

inline constexpr double kLearntFloor = 0.001;
inline constexpr double kLearntCeiling = 0.995;

}  // namespace headjoint::diagnosis
