#include "headjoint/repair/internal/joint_left.h"

#include <cmath>

#include "headjoint/repair/repair_costs.h"

namespace headjoint::repair {
namespace {

using enum ShopFigure;

/// The figures of one kind of leak.
struct LeakFigures {
  unsigned bit;
  ShopFigure engine_lost;
  ShopFigure head_lost;
  ShopFigure comes_back;
  ShopFigure retighten_holds;
  ShopFigure stop_leak_holds;
};
constexpr LeakFigures kLeaks[] = {
    {kBetweenCylinders, kBetweenEngineLost, kBetweenHeadLost, kBetweenComesBack, kBetweenRetightenHolds, kBetweenStopLeakHolds},
    {kGasToCoolant, kGasEngineLost, kGasHeadLost, kGasComesBack, kGasRetightenHolds, kGasStopLeakHolds},
    {kCoolantInside, kInsideEngineLost, kInsideHeadLost, kInsideComesBack, kInsideRetightenHolds, kInsideStopLeakHolds},
    {kSeepOutside, kSeepEngineLost, kSeepHeadLost, kSeepComesBack, kSeepRetightenHolds, kSeepStopLeakHolds},
};

constexpr double kRatedKm = 100;  ///< chances of loss are given for this distance

/// Chance of getting through the distance, for a chance of loss in each 100 km.
double gets_through(double lost, double distance_km) { return std::pow(1 - lost, distance_km / kRatedKm); }

/// What stop-leak leaves of a risk.
double softened(double lost, const LeakFigures& leak, const RunOn& run, const ShopPrices& prices) {
  return run.has_stop_leak ? lost * (1 - prices.share(leak.stop_leak_holds)) : lost;
}

}  // namespace

double engine_lost_in(unsigned leaks, const RunOn& run, const ShopPrices& prices) {
  double through = 1;
  for (const LeakFigures& leak : kLeaks)
    if (leaks & leak.bit) through *= gets_through(softened(prices.share(leak.engine_lost), leak, run, prices), run.distance_km);
  if (run.feels_cooling_fault && (leaks & kCoolingFault)) through *= gets_through(prices.share(kCoolingEngineLost), run.distance_km);
  return 1 - through;
}

Outcomes left_in_outcomes(unsigned leaks, const RunOn& run, const Span& later_job, const RepairCase& repair_case,
                          const ShopPrices& prices) {
  double head_stays = 1;
  double stays_away = 1;
  for (const LeakFigures& leak : kLeaks) {
    if (!(leaks & leak.bit)) continue;
    head_stays *= gets_through(softened(prices.share(leak.head_lost), leak, run, prices), run.distance_km);
    stays_away *= 1 - prices.share(leak.comes_back);
  }
  const double lost = engine_lost_in(leaks, run, prices);
  const double back = (1 - lost) * (1 - stays_away);
  return {{other_engine(prices) + prices.cost(kHoursComeBack), lost},
          {later_job + other_head(repair_case, prices), back * (1 - head_stays)},
          {later_job, back * head_stays},
          {{}, (1 - lost) * stays_away}};
}

double retightening_holds(unsigned leaks, const ShopPrices& prices) {
  double holds = 1;
  for (const LeakFigures& leak : kLeaks)
    if (leaks & leak.bit) holds *= prices.share(leak.retighten_holds);
  return holds;
}

}  // namespace headjoint::repair
