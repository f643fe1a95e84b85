#include "headjoint/leakage/compression_level.h"

#include <fmt/format.h>

#include <cmath>

#include "headjoint/leakage/internal/arguments.h"
#include "headjoint/numerics/root.h"

namespace headjoint::leakage {
namespace {

constexpr double kMakerBand = 0.10;                           // common practice
constexpr double kAlikeSpread = 0.15;                         // common practice: the limit of the spread
constexpr double kEarliestClosing = 0, kLatestClosing = 139;  // deg after bottom dead centre
constexpr double kOneTooth = 25;                              // deg: one tooth is 15 to 20, common practice; with a margin
constexpr double kTwoTeeth = 45;

double gauge_at(const CompressionModel& model, Area base, Angle closing) {
  CrankingEngine engine = model.cranking().engine();
  engine.intake_closing = closing;
  const CrankingConditions conditions = model.cranking().conditions(HeatLoss::kWoschni);
  return simulate_cylinder(engine, conditions, {.rings = base})->peak.pascal() - conditions.ambient.pressure.pascal();
}

/// The shift of intake closing that brings a sound cylinder from `sound` to `healthy`; empty when none can.
std::optional<Angle> closing_shift(const CompressionModel& model, GaugePressure sound, GaugePressure healthy) {
  const CrankingEngine engine = model.cranking().engine();
  const Area base = CompressionCurve(engine, model.cranking().conditions(HeatLoss::kWoschni)).leak(sound);
  const double factor = gauge_at(model, base, engine.intake_closing) / sound.pascal();  // 1 unless even a tight cylinder reads less
  const auto surplus = [&](double degrees) { return gauge_at(model, base, Angle::from_degrees(degrees)) - factor * healthy.pascal(); };
  if (!(surplus(kEarliestClosing) >= 0 && surplus(kLatestClosing) <= 0)) return std::nullopt;
  const double closing = numerics::bracketed_root(surplus, kEarliestClosing, kLatestClosing, 0.01).x;
  return Angle::from_degrees(closing - engine.intake_closing.degrees());
}

std::string shift_words(const LevelFinding& finding) {
  if (!finding.closing_shift) return "";
  const double degrees = finding.closing_shift->degrees();
  const char* where = degrees > 0 ? "later" : "earlier";
  const double size = std::abs(degrees);
  const char* likely = size <= kOneTooth   ? ", about one tooth of the drive"
                       : size <= kTwoTeeth ? ", about two teeth"
                                           : ", more than two teeth";
  return fmt::format(" An intake that closes {:.0f} crank degrees {} would explain it{}.", size, where, likely);
}

std::string words(const LevelFinding& finding, GaugePressure healthy) {
  const std::string level = fmt::format("{:.1f} bar, expected {:.1f} to {:.1f} bar ({})", healthy.bar(), finding.usual_low.bar(),
                                        finding.usual_high.bar(), finding.is_from_maker ? "the maker's figure" : "by the model, wide");
  if (finding.kind == LevelFinding::Kind::kHigh)
    return "All cylinders read high: " + level +
           ": carbon or liquid in the chambers, a skimmed head, another gauge, or an intake that closes early." + shift_words(finding);
  if (!finding.are_alike)
    return "The best cylinders read low: " + level + ", and the cylinders differ: several leak, or the whole engine is worn.";
  std::string text = "All cylinders read low and alike: " + level +
                     ": valve timing, throttle shut, slow cranking, a gauge with a long hose, or even wear, rather than the gasket." +
                     shift_words(finding);
  if (finding.leak_each) text += fmt::format(" So would {:.1f} mm² more leak in each.", finding.leak_each->si() * 1e6);
  return text + " Cranking again at another speed tells the two apart.";
}

}  // namespace

LevelFinding judge_level(const CompressionModel& model, GaugePressure healthy, double spread, std::optional<GaugePressure> maker_level) {
  check_positive(healthy.pascal(), "healthy level");
  check_argument(spread >= 0 && spread <= 1, "spread", "must lie between 0 and 1");
  LevelFinding finding;
  finding.is_from_maker = maker_level.has_value();
  if (maker_level) {
    check_positive(maker_level->pascal(), "the maker's figure");
    finding.usual_low = GaugePressure::from_pascal((1 - kMakerBand) * maker_level->pascal());
    finding.usual_high = GaugePressure::from_pascal((1 + kMakerBand) * maker_level->pascal());
  } else {
    finding.usual_low = model.sound_level().low;
    finding.usual_high = model.sound_level().high;
  }
  finding.are_alike = spread <= kAlikeSpread;
  finding.kind = healthy < finding.usual_low    ? LevelFinding::Kind::kLow
                 : healthy > finding.usual_high ? LevelFinding::Kind::kHigh
                                                : LevelFinding::Kind::kUsual;
  if (finding.kind == LevelFinding::Kind::kUsual) return finding;
  const GaugePressure nearer = healthy < finding.usual_low ? finding.usual_low : finding.usual_high;
  const GaugePressure sound = maker_level.value_or(nearer);
  finding.closing_shift = closing_shift(model, sound, healthy);
  if (finding.kind == LevelFinding::Kind::kLow) {
    const CompressionCurve curve(model.cranking().engine(), model.cranking().conditions(HeatLoss::kWoschni));
    finding.leak_each = curve.leak(healthy) - curve.leak(sound);
  }
  finding.note = words(finding, healthy);
  return finding;
}

}  // namespace headjoint::leakage
