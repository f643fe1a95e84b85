#include "headjoint/leakage/leak_number.h"

#include <algorithm>
#include <cmath>

#include "headjoint/leakage/internal/arguments.h"
#include "headjoint/numerics/monotone_curve.h"
#include "headjoint/numerics/root.h"

namespace headjoint::leakage {
namespace {

/// Extra area [mm2] against gauge ratio for the engine of the table: 402.124 cm3, compression ratio 10, intake closing 50 deg
/// after BDC, 250 rpm, 293.15 K. Low: Woschni heat loss, base leak 0.2 mm2; high: Hohenberg, 0.5 mm2. From a crank-angle cycle
/// marched by fourth-order Runge-Kutta at 0.01 deg.
struct TableRow {
  double ratio, low, high;
};
constexpr TableRow kTable[] = {{1.00, 0, 0},         {0.95, 0.198, 0.216}, {0.90, 0.410, 0.447}, {0.85, 0.638, 0.696}, {0.80, 0.885, 0.965},
                               {0.75, 1.152, 1.256}, {0.70, 1.445, 1.574}, {0.60, 2.121, 2.307}, {0.50, 2.962, 3.218}, {0.40, 4.056, 4.396},
                               {0.30, 5.571, 6.019}, {0.20, 7.904, 8.495}, {0.17, 8.900, 9.544}};
constexpr double kSquareMillimetre = 1e-6;
constexpr double kTableDisplacement = 402.124e-6, kTableTurnsPerSecond = 250.0 / 60, kTableTemperature = 293.15;
constexpr double kLargestBaseLeak = 0.5;  // mm2 in the engine of the table
constexpr double kLastRowButOne = 0.20;

// What other engines make of the table's areas, fitted to the same cycle: compression ratios 7 to 22, intake closing 20 to 80 deg.
constexpr double kTableCompressionRatio = 10, kExponentAtNoDrop = -0.672, kExponentPerDrop = 0.048, kCompressionFitError = 0.1;
constexpr double kTableClosing = 50, kClosingSlope = 2.16e-3, kClosingBend = 1.94e-5;  // per degree, per degree squared
constexpr double kUsualRatioLow = 8, kUsualRatioHigh = 12, kUsualClosingEarly = 30, kUsualClosingLate = 70;

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

/// Factor on the table's areas, with its limits.
struct EngineFactor {
  double middle = 1, low = 1, high = 1;
};

EngineFactor compression_factor(std::optional<double> compression_ratio, double drop) {
  const double exponent = kExponentAtNoDrop + kExponentPerDrop * drop;
  const auto factor = [&](double ratio) { return std::pow(ratio / kTableCompressionRatio, exponent); };
  if (!compression_ratio) return {1, factor(kUsualRatioHigh), factor(kUsualRatioLow)};
  const double middle = factor(*compression_ratio), error = kCompressionFitError * std::abs(std::log(middle));
  return {middle, middle * (1 - error), middle * (1 + error)};
}

EngineFactor closing_factor(std::optional<Angle> intake_closing) {
  const auto factor = [](double degrees) {
    const double later = degrees - kTableClosing;
    return 1 + later * (kClosingSlope + kClosingBend * later);
  };
  if (!intake_closing) return {1, factor(kUsualClosingEarly), factor(kUsualClosingLate)};
  const double middle = factor(intake_closing->degrees());
  return {middle, middle, middle};
}

EngineFactor engine_factor(const Cranking& cranking, double drop) {
  const EngineFactor a = compression_factor(cranking.compression_ratio, drop), b = closing_factor(cranking.intake_closing);
  return {a.middle * b.middle, a.low * b.low, a.high * b.high};
}

double drop_of(double ratio) { return -std::log(std::clamp(ratio, kLowestTabulatedRatio, 1.0)); }

/// Leak numbers at one drop for one engine: the middle of the band and its limits.
double middle_number(const Cranking& cranking, double drop) {
  return engine_factor(cranking, drop).middle * (curves().low(drop) + curves().high(drop)) / 2;
}
double low_number(const Cranking& cranking, double drop) { return engine_factor(cranking, drop).low * curves().low(drop); }
double high_number(const Cranking& cranking, double drop) { return engine_factor(cranking, drop).high * curves().high(drop); }

void check_cranking(const Cranking& cranking) {
  check_argument(cranking.displacement.si() >= 1e-5 && cranking.displacement.si() <= 2e-2, "displacement",
                 "of one cylinder must lie between 10 cm3 and 20 L");
  check_argument(cranking.speed.rpm() >= 30 && cranking.speed.rpm() <= 1000, "cranking speed", "must lie between 30 and 1000 rpm");
  check_argument(cranking.speed_drift.rpm() >= 0 && cranking.speed_drift.rpm() < cranking.speed.rpm() / 2, "speed drift",
                 "must be at least 0 and below half the cranking speed");
  check_positive(cranking.temperature.kelvin(), "charge temperature");
  check_argument(!cranking.compression_ratio || (*cranking.compression_ratio >= 7 && *cranking.compression_ratio <= 23),
                 "compression ratio", "must lie between 7 and 23");
  constexpr double kRounding = 1e-9;
  const double closing = cranking.intake_closing.value_or(Angle::from_degrees(kTableClosing)).degrees();
  check_argument(closing >= 20 - kRounding && closing <= 80 + kRounding, "intake closing", "must lie between 20 and 80 deg past BDC");
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
  check_not_negative(ratio, "ratio to the healthy level");
  check_argument(ratio_low <= ratio && ratio <= ratio_high && std::isfinite(ratio_high), "limits of the ratio",
                 "must lie on both sides of the ratio");
  const double per_area = leak_number(Area::from_si(1), cranking, gas);
  const auto area = [&](double number) { return Area::from_si(std::max(0.0, number) / per_area); };
  // A slower turn makes all of this cylinder's leak count for more, its healthy part included.
  const double drift = cranking.speed_drift.rpm() / cranking.speed.rpm(), base = drift * table_number(kLargestBaseLeak);

  LeakArea leak;
  leak.area = area(middle_number(cranking, drop_of(ratio)));
  leak.low = area(low_number(cranking, drop_of(ratio_high)) * (1 - drift) - base);
  if (ratio_low > kLowestTabulatedRatio) leak.high = area(high_number(cranking, drop_of(ratio_low)) * (1 + drift) + base);
  leak.status = leak.low.si() > 0 ? LeakArea::Status::kMeasured : LeakArea::Status::kBelowLimit;
  if (ratio < kLowestTabulatedRatio) {
    leak.area = leak.low;
    leak.status = LeakArea::Status::kTooLargeToMeasure;
  }
  return leak;
}

double ratio_from_extra_leak(Area extra, const Cranking& cranking, const Gas& gas) {
  const double number = leak_number(extra, cranking, gas);
  const auto number_at = [&](double drop) { return middle_number(cranking, drop); };
  const double last_drop = drop_of(kLowestTabulatedRatio), last_number = number_at(last_drop);
  if (number >= last_number) {
    const double row_drop = drop_of(kLastRowButOne), slope = (last_drop - row_drop) / (last_number - number_at(row_drop));
    return std::exp(-last_drop - slope * (number - last_number));
  }
  constexpr double kTolerance = 1e-12;
  return std::exp(-numerics::bracketed_root([&](double drop) { return number_at(drop) - number; }, 0, last_drop, kTolerance).x);
}

}  // namespace headjoint::leakage
