#include "headjoint/leakage/compression_model.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>
#include <vector>

#include "headjoint/leakage/internal/arguments.h"
#include "headjoint/numerics/monotone_curve.h"
#include "headjoint/numerics/root.h"

namespace headjoint::leakage {
namespace {

// Areas below are those of an engine of 402 cm3 a cylinder at 250 rpm and 20 degC: carried over by the leak number.
constexpr double kScaleDisplacement = 402.124e-6, kScaleTurnsPerSecond = 250.0 / 60, kScaleTemperature = 293.15;
constexpr double kSquareMillimetre = 1e-6;
constexpr double kBendArea = 2;      // mm2; the logarithm of the reading is nearly straight in ln(1 + area / this)
constexpr double kLargestArea = 40;  // mm2; beyond it the curve goes straight on
constexpr int kCurveIntervals = 20;
constexpr double kCurveTolerance = 1e-8;              // of the march: small leaks move the peak by little
constexpr double kSmallBase = 0.2, kLargeBase = 0.5;  // mm2, sound rings and valves; assumption
constexpr double kSoundBase = 1.65;                   // mm2: with Hohenberg's law the usual readings of sound engines need up to this
constexpr double kLessHeat = 0.5, kMoreHeat = 1.5;    // laws fitted to running engines, used at cranking speed; assumption
constexpr double kUsualRatios[] = {8, 12}, kUsualClosings[] = {30, 70};  // of engines of which they are not known

double scale_of(const CrankingEngine& engine, const CrankingConditions& conditions) {
  const double temperature = conditions.charge.value_or(conditions.ambient.temperature).kelvin();
  return kSquareMillimetre * engine.displacement().si() * conditions.speed.turns_per_second() /
         (kScaleDisplacement * kScaleTurnsPerSecond) * std::sqrt(kScaleTemperature / temperature);
}

}  // namespace

struct CompressionCurve::Points {
  double bend;  // m2
  double last;  // of the abscissa
  double end_slope;
  numerics::MonotoneCurve log_reading;

  [[nodiscard]] double log_at(double abscissa) const {
    return abscissa <= last ? log_reading(abscissa) : log_reading(last) + end_slope * (abscissa - last);
  }
};

CompressionCurve::CompressionCurve(const CrankingEngine& engine, const CrankingConditions& conditions) {
  const double bend = kBendArea * scale_of(engine, conditions);
  const double last = std::log1p(kLargestArea / kBendArea), ambient = conditions.ambient.pressure.pascal();
  std::vector<numerics::MonotoneCurve::Point> points;
  for (int i = 0; i <= kCurveIntervals; ++i) {
    const double abscissa = last * i / kCurveIntervals;
    const CylinderLeaks leaks{.rings = Area::from_si(bend * std::expm1(abscissa))};
    const auto run = simulate_cylinder(engine, conditions, leaks, {.tolerance = kCurveTolerance});
    require(run.has_value(), "a cylinder alone can always be marched");
    const double gauge = run->peak.pascal() - ambient;
    check_argument(gauge > 0, "intake pressure", "is so low that the cylinder never comes above the ambient");
    points.push_back({abscissa, std::log(gauge)});
  }
  const auto& [x0, y0] = points[points.size() - 2];
  const double slope = (points.back().y - y0) / (points.back().x - x0);
  points_ = std::make_unique<Points>(Points{bend, last, slope, numerics::MonotoneCurve(std::move(points))});
}

CompressionCurve::~CompressionCurve() = default;
CompressionCurve::CompressionCurve(CompressionCurve&&) noexcept = default;
CompressionCurve& CompressionCurve::operator=(CompressionCurve&&) noexcept = default;

GaugePressure CompressionCurve::reading(Area leak) const {
  check_not_negative(leak.si(), "leak area");
  return GaugePressure::from_pascal(std::exp(points_->log_at(std::log1p(leak.si() / points_->bend))));
}

Area CompressionCurve::leak(GaugePressure reading) const {
  check_positive(reading.pascal(), "reading");
  const double wanted = std::log(reading.pascal());
  if (wanted >= points_->log_at(0)) return {};
  double high = points_->last;
  if (wanted < points_->log_at(high)) high += (wanted - points_->log_at(high)) / points_->end_slope * (1 + 1e-9) + 1e-9;
  const double abscissa = numerics::bracketed_root([&](double x) { return points_->log_at(x) - wanted; }, 0, high).x;
  return Area::from_si(points_->bend * std::expm1(abscissa));
}

namespace {

/// One set of assumptions: a curve with the base of a sound cylinder on it.
struct Assumption {
  const CompressionCurve* curve;
  double base;     ///< m2
  double healthy;  ///< Pa, on this curve

  Assumption(const CompressionCurve& with, double base_area)
      : curve(&with), base(base_area), healthy(with.reading(Area::from_si(base_area)).pascal()) {}

  [[nodiscard]] double ratio(double extra) const { return curve->reading(Area::from_si(base + extra)).pascal() / healthy; }
  [[nodiscard]] double extra(double ratio) const {
    if (ratio >= 1) return 0;
    return std::max(0.0, curve->leak(GaugePressure::from_pascal(ratio * healthy)).si() - base);
  }
};

struct HeatAssumption {
  HeatLoss law;
  double multiplier;
  double small_base;  ///< mm2
};
constexpr HeatAssumption kCentral[] = {{HeatLoss::kWoschni, 1, kSmallBase}, {HeatLoss::kHohenberg, 1, kLargeBase}};
constexpr HeatAssumption kOuter[] = {{HeatLoss::kWoschni, kLessHeat, kSmallBase}, {HeatLoss::kHohenberg, kMoreHeat, kLargeBase}};

}  // namespace

struct CompressionModel::Assumptions {
  Cranking cranking;
  std::optional<GaugePressure> healthy;
  double scale = 0;  ///< m2 for one mm2 of the engine that gives the bases their size
  std::vector<std::unique_ptr<CompressionCurve>> curves;
  std::vector<Assumption> central;  ///< what the value stands for
  std::vector<Assumption> all;      ///< what the band holds
  double largest_base = 0;
  Level sound;

  void add(const CrankingEngine& engine, const HeatAssumption& heat, bool is_central) {
    curves.push_back(std::make_unique<CompressionCurve>(engine, cranking.conditions(heat.law, heat.multiplier)));
    const CompressionCurve& curve = *curves.back();
    const double small = heat.small_base * scale, fitted = healthy ? curve.leak(*healthy).si() : small;
    all.emplace_back(curve, small);
    if (healthy) all.emplace_back(curve, fitted);
    if (is_central) central.push_back(all.back());
    largest_base = std::max(largest_base, all.back().base);
    if (heat.multiplier != 1) return;
    const double sound_base = heat.law == HeatLoss::kWoschni ? kSmallBase : kSoundBase;
    const GaugePressure level = curve.reading(Area::from_si(sound_base * scale));
    sound = curves.size() == 1 ? Level{level, level} : Level{std::min(sound.low, level), std::max(sound.high, level)};
  }

  /// Geometric mean over the central assumptions.
  [[nodiscard]] double ratio(double extra) const {
    double product = 1;
    for (const Assumption& assumption : central) product *= assumption.ratio(extra);
    return std::pow(product, 1.0 / static_cast<double>(central.size()));
  }
  [[nodiscard]] double extra(double ratio_wanted) const {
    double low = HUGE_VAL, high = 0;
    for (const Assumption& assumption : central) {
      low = std::min(low, assumption.extra(ratio_wanted));
      high = std::max(high, assumption.extra(ratio_wanted));
    }
    if (!(high > low)) return low;
    return numerics::bracketed_root([&](double extra) { return ratio(extra) - ratio_wanted; }, low * (1 - 1e-9), high * (1 + 1e-9)).x;
  }
};

CompressionModel::CompressionModel(const Cranking& cranking, std::optional<GaugePressure> healthy)
    : assumptions_(std::make_unique<Assumptions>()) {
  cranking.check();
  if (healthy) check_positive(healthy->pascal(), "healthy level");
  assumptions_->cranking = cranking;
  assumptions_->healthy = healthy;
  const CrankingEngine engine = cranking.engine();
  assumptions_->scale = scale_of(engine, cranking.conditions(HeatLoss::kNone));
  for (const HeatAssumption& heat : kCentral) assumptions_->add(engine, heat, true);
  for (const HeatAssumption& heat : kOuter) assumptions_->add(engine, heat, false);
  if (cranking.compression_ratio && cranking.intake_closing) return;
  const auto known_or = [](const std::optional<double>& known, const double(&usual)[2]) {
    return known ? std::vector<double>{*known} : std::vector<double>(std::begin(usual), std::end(usual));
  };
  const auto closing = cranking.intake_closing ? std::optional(cranking.intake_closing->degrees()) : std::nullopt;
  for (double ratio : known_or(cranking.compression_ratio, kUsualRatios)) {
    for (double degrees : known_or(closing, kUsualClosings)) {
      CrankingEngine other = engine;
      other.compression_ratio = ratio;
      other.intake_closing = Angle::from_degrees(degrees);
      for (const HeatAssumption& heat : kCentral) assumptions_->add(other, heat, false);
    }
  }
}

CompressionModel::~CompressionModel() = default;
CompressionModel::CompressionModel(CompressionModel&&) noexcept = default;
CompressionModel& CompressionModel::operator=(CompressionModel&&) noexcept = default;

const Cranking& CompressionModel::cranking() const { return assumptions_->cranking; }

CompressionModel::Level CompressionModel::sound_level() const { return assumptions_->sound; }

Area CompressionModel::base(HeatLoss law) const {
  require(law != HeatLoss::kNone, "a base is fitted with a heat-loss law");
  return Area::from_si(assumptions_->central[law == HeatLoss::kWoschni ? 0 : 1].base);
}

LeakArea CompressionModel::base() const {
  double low = HUGE_VAL, high = 0, sum = 0;
  for (const Assumption& assumption : assumptions_->central) {
    low = std::min(low, assumption.base);
    high = std::max(high, assumption.base);
    sum += assumption.base;
  }
  return {Area::from_si(sum / static_cast<double>(assumptions_->central.size())), Area::from_si(low), Area::from_si(high),
          low > 0 ? LeakArea::Status::kMeasured : LeakArea::Status::kBelowLimit};
}

double CompressionModel::ratio(Area extra) const {
  check_not_negative(extra.si(), "effective area");
  return assumptions_->ratio(extra.si());
}

LeakArea CompressionModel::extra_leak(double ratio, double ratio_low, double ratio_high) const {
  check_not_negative(ratio, "ratio to the healthy level");
  check_argument(ratio_low <= ratio && ratio <= ratio_high && std::isfinite(ratio_high), "limits of the ratio",
                 "must lie on both sides of the ratio");
  // A slower turn makes all of this cylinder's leak count for more, its healthy part included.
  const Cranking& cranking = assumptions_->cranking;
  const double drift = cranking.speed_drift.rpm() / cranking.speed.rpm(), base = drift * assumptions_->largest_base;
  const double clamped = std::max(ratio, kLowestRatio), clamped_high = std::max(ratio_high, kLowestRatio);
  double low = HUGE_VAL, high = 0;
  for (const Assumption& assumption : assumptions_->all) {
    low = std::min(low, assumption.extra(clamped_high));
    if (ratio_low > kLowestRatio) high = std::max(high, assumption.extra(ratio_low));
  }
  LeakArea leak;
  leak.area = Area::from_si(assumptions_->extra(clamped));
  leak.low = Area::from_si(std::max(0.0, low * (1 - drift) - base));
  if (ratio_low > kLowestRatio) leak.high = Area::from_si(high * (1 + drift) + base);
  leak.status = leak.low.si() > 0 ? LeakArea::Status::kMeasured : LeakArea::Status::kBelowLimit;
  if (ratio < kLowestRatio) {
    leak.area = leak.low;
    leak.status = LeakArea::Status::kTooLargeToMeasure;
  }
  return leak;
}

}  // namespace headjoint::leakage
