#include "headjoint/diagnosis/calibration.h"

#include <algorithm>
#include <cmath>

#include "headjoint/base/error.h"

namespace headjoint::diagnosis {

double brier_score(std::span<const Forecast> forecasts) {
  double sum = 0;
  for (const Forecast& forecast : forecasts) {
    const double off = forecast.chance - (forecast.was_there ? 1.0 : 0.0);
    sum += off * off;
  }
  return forecasts.empty() ? 0.0 : sum / static_cast<double>(forecasts.size());
}

double log_score(std::span<const Forecast> forecasts) {
  double sum = 0;
  for (const Forecast& forecast : forecasts) sum -= std::log(forecast.was_there ? forecast.chance : 1 - forecast.chance);
  return forecasts.empty() ? 0.0 : sum / static_cast<double>(forecasts.size());
}

std::vector<ReliabilityBin> reliability(std::span<const Forecast> forecasts, std::size_t bins, double z) {
  require(bins > 0, "at least one bin");
  std::vector<ReliabilityBin> all(bins);
  std::vector<std::size_t> hits(bins, 0);
  for (const Forecast& forecast : forecasts) {
    const auto bin = std::min(bins - 1, static_cast<std::size_t>(std::max(0.0, forecast.chance) * static_cast<double>(bins)));
    ++all[bin].cases;
    all[bin].mean_chance += forecast.chance;
    if (forecast.was_there) ++hits[bin];
  }
  std::vector<ReliabilityBin> filled;
  for (std::size_t b = 0; b < bins; ++b) {
    if (all[b].cases == 0) continue;
    const auto n = static_cast<double>(all[b].cases);
    all[b].mean_chance /= n;
    all[b].frequency = static_cast<double>(hits[b]) / n;
    all[b].interval = wilson_interval(hits[b], all[b].cases, z);
    filled.push_back(all[b]);
  }
  return filled;
}

double learnt_chance(double chance, double equivalent_cases, std::size_t hits, std::size_t cases) {
  require(chance > 0 && chance < 1, "a learnt chance starts between 0 and 1");
  require(equivalent_cases > 0, "the shipped chance must weigh something");
  require(hits <= cases, "more hits than cases");
  const double mean = (equivalent_cases * chance + static_cast<double>(hits)) / (equivalent_cases + static_cast<double>(cases));
  return std::clamp(mean, kLearntFloor, kLearntCeiling);
}

}  // namespace headjoint::diagnosis
