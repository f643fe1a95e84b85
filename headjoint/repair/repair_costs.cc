#include "headjoint/repair/repair_costs.h"

namespace headjoint::repair {

using enum ShopFigure;

Span work_on_heads(const RepairCase& repair_case, const ShopPrices& prices, bool is_taken_off_already) {
  const double heads = 1 + (repair_case.heads - 1) * prices.share(kShareFurtherHead);
  const double left_to_do = is_taken_off_already ? 1 - prices.share(kShareTakingOff) : 1.0;
  return heads * left_to_do * prices.cost(repair_case.hours);
}

Span joint_parts(const RepairCase& repair_case, const ShopPrices& prices) {
  const Span each = repair_case.bolts_due ? prices.cost(kPriceGasketSet) + prices.cost(kPriceBolts) : prices.cost(kPriceGasketSet);
  return static_cast<double>(repair_case.heads) * each + prices.cost(kPriceFluids);
}

Span head_service(const RepairCase& repair_case, const ShopPrices& prices) {
  return static_cast<double>(repair_case.heads) * prices.cost(kPriceHeadService);
}

Span other_head(const RepairCase& repair_case, const ShopPrices& prices) {
  return static_cast<double>(repair_case.heads) * (prices.cost(kPriceHead) + prices.cost(kHoursExchangeHead));
}

Span other_engine(const ShopPrices& prices) { return prices.cost(kPriceEngine) + prices.cost(kHoursExchangeEngine); }

Span come_back_job(const RepairCase& repair_case, const ShopPrices& prices) {
  return work_on_heads(repair_case, prices, false) + joint_parts(repair_case, prices) + head_service(repair_case, prices) +
         prices.cost(kHoursComeBack);
}

}  // namespace headjoint::repair
