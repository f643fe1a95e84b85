#include "headjoint/repair/internal/joint_renewed.h"

#include <algorithm>

namespace headjoint::repair {
namespace {

using enum ShopFigure;

/// Bit numbers of PartBit.
enum PartIndex : std::size_t { kHeadFace, kBlockFace, kHeadCrack, kBlockCrack, kCooling, kKnocking };

constexpr const char* kPartWords[kPartBits] = {"head face out of flat",          "block face or a liner height out", "a crack in the head",
                                               "a crack or a hole in the block", "a cooling fault left in",          "detonation left in"};

}  // namespace

Refailure refailure_after(Option option, const RepairCase& repair_case, const ShopPrices& prices) {
  Refailure again;
  again.as_fitted = prices.share(kAgainAsFitted);
  again.left = {prices.share(kAgainHeadFace),     prices.share(kAgainBlockFace), prices.share(kAgainHeadCracked),
                prices.share(kAgainBlockCracked), prices.share(kAgainCooling),   prices.share(kAgainDetonation)};
  if (option == Option::kGasketOnly && repair_case.sealing_chance) {
    again.does_not_seal = 1 - *repair_case.sealing_chance;
    again.left[kHeadFace] = again.left[kBlockFace] = 0;
  }
  if (option == Option::kGasketAndHeadService)
    for (const PartIndex part : {kHeadFace, kHeadCrack}) again.left[part] *= prices.share(kAgainAfterService);
  if (option == Option::kExchangeHead || option == Option::kExchangeEngine) again.left[kHeadFace] = again.left[kHeadCrack] = 0;
  if (option == Option::kExchangeEngine) again.left[kBlockFace] = again.left[kBlockCrack] = 0;
  return again;
}

double failure_with(const Refailure& refailure, unsigned parts) {
  double holds = (1 - refailure.as_fitted) * (1 - refailure.does_not_seal);
  for (std::size_t i = 0; i < kPartBits; ++i)
    if ((parts >> i) & 1U) holds *= 1 - refailure.left[i];
  return 1 - holds;
}

double failure_over(const Refailure& refailure, const std::vector<double>& parts) {
  double sum = 0;
  for (unsigned state = 0; state < parts.size(); ++state) sum += parts[state] * failure_with(refailure, state);
  return sum;
}

std::vector<Driver> drivers_of(const Refailure& refailure, const std::vector<double>& parts) {
  const double all = failure_over(refailure, parts);
  std::vector<Driver> drivers;
  const auto add = [&](const char* what, const Refailure& without) {
    constexpr double kWorthALine = 0.002;
    if (const double share = all - failure_over(without, parts); share > kWorthALine) drivers.push_back({what, share});
  };
  Refailure without = refailure;
  without.as_fitted = 0;
  add("the usual risk of a new gasket", without);
  without = refailure;
  without.does_not_seal = 0;
  add("does not seal as clamped", without);
  for (std::size_t i = 0; i < kPartBits; ++i) {
    without = refailure;
    without.left[i] = 0;
    add(kPartWords[i], without);
  }
  std::stable_sort(drivers.begin(), drivers.end(), [](const Driver& a, const Driver& b) { return a.share > b.share; });
  return drivers;
}

}  // namespace headjoint::repair
