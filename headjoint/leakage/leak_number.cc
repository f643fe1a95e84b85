#include "headjoint/leakage/leak_number.h"

#include <algorithm>
#include <cmath>

#include "headjoint/leakage/internal/arguments.h"
#include "headjoint/numerics/monotone_curve.h"
#include "headjoint/numerics/root.h"

namespace headjoint::leakage {
namespace {

/// Extra area [mm2] against gauge ratio for the engine of the table: 402.124 cm3, compression ratio 10, intake closing 50 deg
/// after BDC, 250 rpm, 293.15 K. Low and high: Woschni and Hohenberg heat loss with a base leak of 0.2 and 0.5 mm2. The last two
/// rows come from the peak pressures tabulated at 3, 5 and 10 mm2, interpolated in the logarithm of the ratio.
struct TableRow {
  double ratio, low, high;
};
constexpr TableRow kTable[] = {{1.00, 0, 0},       {0.95, 0.20, 0.22}, {0.90, 0.41, 0.45}, {0.85, 0.64, 0.70}, {0.80, 0.89, 0.97},
                               {0.75, 1.15, 1.26}, {0.50, 3.0, 3.2},   {0.35, 4.75, 5.19}, {0.17, 8.97, 9.54}};
constexpr double kSquareMillimetre = 1e-6;
constexpr double kTableDisplacement = 402.124e-6, kTableTurnsPerSecond = 250.0 / 60, kTableTemperature = 293.15;
constexpr double kLargestBaseLeak = 0.5;  // mm2 in the engine of the table

double number_of(double area, double displacement, double turns_per_second, double temperature, double gas_constant) {
  return area * std::sqrt(gas_constant * temperature) / (displacement * turns_per_second);
}

double table_number(double square_millimetres) {
  return number_of(square_millimetres * kSquareMillimetre, kTableDisplacement, kTableTurnsPerSecond, kTableTemperature, Gas{}.gas_constant);
}

/// Leak number against -ln(ratio), in which the table is nearly straight.
struct Curves {
  numerics::MonotoneCurve low, high;
};

const Curves& curves() {
  static const Curves table = [] {
    std::vector<numerics::MonotoneCurve::Point> low, high;
    for (const TableRow& row : kTable) {
      low.push_back({-std::log(row.ratio), table_number(row.low)});
      high.push_back({-std::log(row.ratio), table_number(row.high)});
    }
    return Curves{numerics::MonotoneCurve(low), numerics::MonotoneCurve(high)};
  }();
  return table;
}

double drop_of(double ratio) { return -std::log(std::clamp(ratio, kLowestTabulatedRatio, 1.0)); }

double middle_number(double drop) { return (curves().low(drop) + curves().high(drop)) / 2; }

void check_cranking(const Cranking& cranking) {
  check_argument(cranking.displacement.si() >= 1e-5 && cranking.displacement.si() <= 2e-2, "displacement",
                 "of one cylinder must lie between 10 cm3 and 20 L");
  check_argument(cranking.speed.rpm() >= 30 && cranking.speed.rpm() <= 1000, "cranking speed", "must lie between 30 and 1000 rpm");
  check_argument(cranking.speed_drift.rpm() >= 0 && cranking.speed_drift.rpm() < cranking.speed.rpm() / 2, "speed drift",
                 "must be at least 0 and below half the cranking speed");
  check_positive(cranking.temperature.kelvin(), "charge temperature");
}

}  // namespace

double leak_number(Area effective_area, const Cranking& cranking, const Gas& gas) {
  check_not_negative(effective_area.si(), "effective area");
  check_cranking(cranking);
  check_gas(gas);
  return number_of(effective_area.si(), cranking.displacement.si(), cranking.speed.turns_per_second(), cranking.temperature.kelvin(),
                   gas.gas_constant);
}

Area area_of_leak_number(double number, const Cranking& cranking, const Gas& gas) {
  check_not_negative(number, "leak number");
  return Area::from_si(number / leak_number(Area::from_si(1), cranking, gas));
}

LeakArea extra_leak_from_ratio(double ratio, double ratio_low, double ratio_high, const Cranking& cranking, const Gas& gas) {
  check_not_negative(ratio, "compression ratio to the healthy level");
  check_argument(ratio_low <= ratio && ratio <= ratio_high && std::isfinite(ratio_high), "compression ratio limits",
                 "must lie on both sides of the ratio");
  const double per_area = leak_number(Area::from_si(1), cranking, gas);
  const auto area = [&](double number) { return Area::from_si(std::max(0.0, number) / per_area); };
  // A slower turn makes all of this cylinder's leak count for more, its healthy part included.
  const double drift = cranking.speed_drift.rpm() / cranking.speed.rpm(), base = drift * table_number(kLargestBaseLeak);

  LeakArea leak;
  leak.area = area(middle_number(drop_of(ratio)));
  leak.low = area(curves().low(drop_of(ratio_high)) * (1 - drift) - base);
  if (ratio_low > kLowestTabulatedRatio) leak.high = area(curves().high(drop_of(ratio_low)) * (1 + drift) + base);
  leak.status = leak.low.si() > 0 ? LeakArea::Status::kMeasured : LeakArea::Status::kBelowLimit;
  if (ratio < kLowestTabulatedRatio) {
    leak.area = leak.low;
    leak.status = LeakArea::Status::kTooLargeToMeasure;
  }
  return leak;
}

double ratio_from_extra_leak(Area extra, const Cranking& cranking, const Gas& gas) {
  const double number = leak_number(extra, cranking, gas);
  const double last_drop = drop_of(kLowestTabulatedRatio), last_number = middle_number(last_drop);
  if (number >= last_number) {
    const double row_drop = drop_of(0.35), slope = (last_drop - row_drop) / (last_number - middle_number(row_drop));
    return std::exp(-last_drop - slope * (number - last_number));
  }
  constexpr double kTolerance = 1e-12;
  return std::exp(-numerics::bracketed_root([&](double drop) { return middle_number(drop) - number; }, 0, last_drop, kTolerance).x);
}

}  // namespace headjoint::leakage
