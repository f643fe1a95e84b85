#include "headjoint/repair/shop_prices.h"

#include <algorithm>

#include "headjoint/base/error.h"

namespace headjoint::repair {
namespace {

using enum ShopFigure;
using enum FigureKind;

constexpr ShopFigureRow kRows[] = {
    {kHoursSingle, kHours, "hours", "single", "hours for the head of a single, off and on"},
    {kHoursInlineToFour, kHours, "hours", "inline_to_four", "hours for the head of up to four in line, off and on"},
    {kHoursInlineOverFour, kHours, "hours", "inline_over_four", "hours for the head of more than four in line, off and on"},
    {kHoursVee, kHours, "hours", "vee_bank", "hours for one head of a vee, off and on"},
    {kHoursFlat, kHours, "hours", "flat_side", "hours for one head of a flat engine, off and on"},
    {kHoursOwnHead, kHours, "hours", "own_head", "hours for one head where each cylinder has its own, off and on"},
    {kHoursExchangeHead, kHours, "hours", "exchange_head", "hours to change parts over to another head"},
    {kHoursExchangeEngine, kHours, "hours", "exchange_engine", "hours to exchange the engine"},
    {kHoursRetighten, kHours, "hours", "retighten", "hours to re-tighten the head bolts"},
    {kHoursStopLeak, kHours, "hours", "stop_leak", "hours to pour in stop-leak and run it round"},
    {kHoursFlush, kHours, "hours", "flush_out", "hours to get stop-leak out again"},
    {kHoursComeBack, kHours, "hours", "come_back", "hours that a come-back costs beside the work: recovery, loan, talk"},
    {kPriceGasketSet, kPrice, "prices", "gasket_set", "price of a head gasket set"},
    {kPriceBolts, kPrice, "prices", "bolts", "price of a set of head bolts"},
    {kPriceFluids, kPrice, "prices", "fluids", "price of coolant, oil and filter"},
    {kPriceHeadService, kPrice, "prices", "head_service", "machine shop's price for a head cleaned, tested and skimmed"},
    {kPriceHead, kPrice, "prices", "exchange_head", "price of an exchange head"},
    {kPriceEngine, kPrice, "prices", "exchange_engine", "price of an exchange engine"},
    {kPriceStopLeak, kPrice, "prices", "stop_leak", "price of stop-leak"},
    {kShareFurtherHead, kShare, "work", "further_head", "share of the hours that each further head adds"},
    {kShareTakingOff, kShare, "work", "taking_off", "share of the hours that goes into taking the head off"},
    {kBetweenEngineLost, kShare, "gas_between_cylinders", "engine_lost_per_100km", "engine lost in 100 km with gas between cylinders"},
    {kBetweenHeadLost, kShare, "gas_between_cylinders", "head_lost_per_100km", "head burnt in 100 km with gas between cylinders"},
    {kBetweenComesBack, kShare, "gas_between_cylinders", "comes_back", "gas between cylinders brings it back"},
    {kBetweenRetightenHolds, kShare, "gas_between_cylinders", "retighten_holds", "re-tightening holds gas between cylinders"},
    {kBetweenStopLeakHolds, kShare, "gas_between_cylinders", "stop_leak_holds", "stop-leak holds gas between cylinders"},
    {kGasEngineLost, kShare, "gas_to_coolant", "engine_lost_per_100km", "engine lost in 100 km with gas in the coolant"},
    {kGasHeadLost, kShare, "gas_to_coolant", "head_lost_per_100km", "head lost in 100 km with gas in the coolant"},
    {kGasComesBack, kShare, "gas_to_coolant", "comes_back", "gas in the coolant brings it back"},
    {kGasRetightenHolds, kShare, "gas_to_coolant", "retighten_holds", "re-tightening holds gas to the coolant"},
    {kGasStopLeakHolds, kShare, "gas_to_coolant", "stop_leak_holds", "stop-leak holds gas to the coolant"},
    {kInsideEngineLost, kShare, "coolant_inside", "engine_lost_per_100km", "engine lost in 100 km with coolant in a cylinder or the oil"},
    {kInsideHeadLost, kShare, "coolant_inside", "head_lost_per_100km", "head lost in 100 km with coolant in a cylinder or the oil"},
    {kInsideComesBack, kShare, "coolant_inside", "comes_back", "coolant in a cylinder or the oil brings it back"},
    {kInsideRetightenHolds, kShare, "coolant_inside", "retighten_holds", "re-tightening holds coolant out of cylinder and oil"},
    {kInsideStopLeakHolds, kShare, "coolant_inside", "stop_leak_holds", "stop-leak holds coolant out of cylinder and oil"},
    {kSeepEngineLost, kShare, "seep_outside", "engine_lost_per_100km", "engine lost in 100 km with a seep to the outside"},
    {kSeepHeadLost, kShare, "seep_outside", "head_lost_per_100km", "head lost in 100 km with a seep to the outside"},
    {kSeepComesBack, kShare, "seep_outside", "comes_back", "a seep to the outside brings it back"},
    {kSeepRetightenHolds, kShare, "seep_outside", "retighten_holds", "re-tightening holds a seep"},
    {kSeepStopLeakHolds, kShare, "seep_outside", "stop_leak_holds", "stop-leak holds a seep"},
    {kCoolingEngineLost, kShare, "left_in", "cooling_fault_engine_lost_per_100km", "engine lost in 100 km with a cooling fault"},
    {kUnnoticed, kKilometres, "left_in", "unnoticed_km", "kilometres run before a leak left in is brought back"},
    {kAgainAsFitted, kShare, "second_failure", "as_fitted", "a new gasket fails though everything is right"},
    {kAgainCooling, kShare, "second_failure", "cooling_fault_left", "a new gasket is cooked by a cooling fault left in"},
    {kAgainDetonation, kShare, "second_failure", "detonation_left", "a new gasket is hammered by detonation left in"},
    {kAgainHeadFace, kShare, "second_failure", "head_face_left", "a new gasket fails on a head face left out of flat"},
    {kAgainBlockFace, kShare, "second_failure", "block_face_left", "a new gasket fails on a block face left out"},
    {kAgainHeadCracked, kShare, "second_failure", "cracked_head_left", "it leaks again for a cracked head left on"},
    {kAgainBlockCracked, kShare, "second_failure", "cracked_block_left", "it leaks again for a cracked or holed block"},
    {kAgainAfterService, kShare, "second_failure", "left_by_head_service",
     "share of head faults that a head service does not find or cure"},
    {kAgainEngineLost, kShare, "second_failure", "engine_lost", "a second failure takes the engine with it"},
    {kStopLeakBlocks, kShare, "stop_leak", "blocks", "stop-leak blocks radiator or heater"},
};

}  // namespace

std::span<const ShopFigureRow> shop_figures() {
  static_assert(std::size(kRows) == kShopFigures);
  return kRows;
}

const ShopFigureRow& row_of(ShopFigure figure) {
  const auto index = static_cast<std::size_t>(figure);
  require(index < kShopFigures && kRows[index].figure == figure, "the rows stand in the order of the figures");
  return kRows[index];
}

ShopFigure hours_figure(const joint::General& engine) {
  constexpr int kFour = 4;
  if (engine.heads == joint::HeadArrangement::kPerCylinder && engine.cylinders > 1) return kHoursOwnHead;
  switch (engine.layout) {
    case joint::Layout::kSingle:
      return kHoursSingle;
    case joint::Layout::kVee:
      return kHoursVee;
    case joint::Layout::kFlat:
      return kHoursFlat;
    case joint::Layout::kInline:
      break;
  }
  return engine.cylinders > kFour ? kHoursInlineOverFour : kHoursInlineToFour;
}

}  // namespace headjoint::repair
