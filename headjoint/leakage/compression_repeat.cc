#include "headjoint/leakage/compression_repeat.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "headjoint/leakage/internal/arguments.h"
#include "headjoint/numerics/root.h"

namespace headjoint::leakage {
namespace {

constexpr HeatLoss kLaws[] = {HeatLoss::kWoschni, HeatLoss::kHohenberg};
constexpr double kLeastSpeedStep = 1.2;
constexpr double kEarliest = 0, kLatest = 120;  // deg after bottom dead centre
constexpr double kAngleTolerance = 0.05;        // deg
constexpr double kOneTooth = 12;                // deg; less is not told from none
constexpr double kSoundLeak = 1.65;             // mm2 at 400 cm3: what sound engines need in the model

double gauge(const CrankingEngine& engine, const CrankingConditions& conditions, double area, double liquid = 0) {
  const CylinderLeaks leaks{.rings = Area::from_si(area), .liquid = Volume::from_si(liquid)};
  return simulate_cylinder(engine, conditions, leaks)->peak.pascal() - conditions.ambient.pressure.pascal();
}

/// Leak area that gives a gauge reading; 0 when even a tight cylinder reads less.
double leak_for(const CrankingEngine& engine, const CrankingConditions& conditions, double reading, double liquid = 0) {
  constexpr double kFirst = 1e-6, kLargest = 9e-4, kTolerance = 1e-10;
  const auto surplus = [&](double area) { return gauge(engine, conditions, area, liquid) - reading; };
  if (surplus(0) <= 0) return 0;
  double high = kFirst;
  while (surplus(high) > 0 && high < kLargest / 2) high *= 2;
  if (surplus(high) > 0) return high;
  return numerics::bracketed_root(surplus, 0, high, kTolerance).x;
}

/// Leak and closing that explain both readings under one law.
struct Explanation {
  double leak = 0;     // m2
  double closing = 0;  // deg
};

struct SpeedFit {
  CrankingEngine engine;
  CrankingConditions slow, fast;

  SpeedFit(const Cranking& cranking, const TwoSpeeds& readings, HeatLoss law)
      : engine(cranking.engine()), slow(cranking.conditions(law)), fast(slow) {
    slow.speed = readings.slow;
    fast.speed = readings.fast;
  }

  /// By how much the slow reading exceeds what the leak fitted to the fast one predicts, at a closing.
  [[nodiscard]] double surplus(double closing, double slow_reading, double fast_reading) {
    engine.intake_closing = Angle::from_degrees(closing);
    return slow_reading - gauge(engine, slow, leak_for(engine, fast, fast_reading));
  }

  [[nodiscard]] Explanation explain(double slow_reading, double fast_reading) {
    // The later it closes, the less leak is left to explain the level and the less the reading falls at the slow speed.
    engine.intake_closing = Angle::from_degrees(kLatest);
    double latest = kLatest;
    const auto tight = [&](double closing) {
      engine.intake_closing = Angle::from_degrees(closing);
      return gauge(engine, fast, 0) - fast_reading;
    };
    if (tight(kEarliest) <= 0) return {0, kEarliest};
    if (tight(kLatest) < 0) latest = numerics::bracketed_root(tight, kEarliest, kLatest, kAngleTolerance).x;
    const auto f = [&](double closing) { return surplus(closing, slow_reading, fast_reading); };
    const double at_early = f(kEarliest), at_late = f(latest);
    double closing = latest;
    if (at_early <= 0) closing = kEarliest;
    if (at_early > 0 && at_late < 0) closing = numerics::bracketed_root(f, kEarliest, latest, kAngleTolerance).x;
    engine.intake_closing = Angle::from_degrees(closing);
    return {leak_for(engine, fast, fast_reading), closing};
  }
};

}  // namespace

SpeedFinding compare_speeds(const Cranking& cranking, const TwoSpeeds& readings) {
  cranking.check();
  check_argument(readings.slow.rpm() >= 30 && readings.fast.rpm() <= 1000, "cranking speeds", "must lie between 30 and 1000 rpm");
  check_argument(readings.fast.rpm() >= kLeastSpeedStep * readings.slow.rpm(), "faster cranking", "must be at least 20 % above the slower");
  check_positive(readings.slow_reading.pascal(), "reading at the slower speed");
  check_positive(readings.fast_reading.pascal(), "reading at the faster speed");
  check_positive(readings.step.pascal(), "gauge step");
  const double slow = readings.slow_reading.pascal(), fast = readings.fast_reading.pascal(), step = readings.step.pascal();
  SpeedFinding finding;
  if (slow > fast + step) {
    finding.kind = SpeedFinding::Kind::kDisagrees;
    finding.note = "Reads more at the slower speed, which no leak and no timing makes: take both readings again, throttle open.";
    return finding;
  }
  double middle = 0, low = HUGE_VAL, high = 0, closing = 0;
  for (HeatLoss law : kLaws) {
    SpeedFit fit(cranking, readings, law);
    const Explanation best = fit.explain(slow, fast);
    middle += best.leak / 2;
    closing += best.closing / 2;
    low = std::min(low, fit.explain(slow + step / 2, std::max(step, fast - step / 2)).leak);
    high = std::max(high, fit.explain(std::max(step, slow - step / 2), fast + step / 2).leak);
  }
  const double scale = 1e-6 * kSoundLeak * cranking.displacement.si() / 400e-6;
  finding.leak = {Area::from_si(middle), Area::from_si(std::min(low, middle)), Area::from_si(std::max(high, middle)),
                  low > 0 ? LeakArea::Status::kMeasured : LeakArea::Status::kBelowLimit};
  const double shift = closing - cranking.engine().intake_closing.degrees();
  finding.later_closing = Angle::from_degrees(shift);
  const bool leaks = low > scale, is_tight = high<scale, is_late = shift> kOneTooth;
  finding.kind = leaks                 ? SpeedFinding::Kind::kLeak
                 : is_tight && is_late ? SpeedFinding::Kind::kLowByShape
                 : is_tight            ? SpeedFinding::Kind::kSound
                                       : SpeedFinding::Kind::kUndecided;
  const std::string area =
      fmt::format("{:.1f} mm² in all ({:.1f} to {:.1f})", middle * 1e6, finding.leak.low.si() * 1e6, finding.leak.high->si() * 1e6);
  switch (finding.kind) {
    case SpeedFinding::Kind::kLeak:
      finding.note = "The reading falls with the speed as a leak makes it fall: " + area + ".";
      break;
    case SpeedFinding::Kind::kLowByShape:
      finding.note = fmt::format(
          "The reading falls with the speed no more than a sound cylinder's: what it lacks comes from valve timing, chamber volume or "
          "gauge hose "
          "rather than from a leak; as if the intake closed {:.0f} deg later.",
          shift);
      break;
    case SpeedFinding::Kind::kSound:
      finding.note = "The reading depends on the speed no more than a sound cylinder's: " + area + ".";
      break;
    default:
      finding.note = "The two readings allow a leak as well as late timing: crank at speeds further apart. Leak " + area + ".";
  }
  return finding;
}

WetFinding judge_wet_test(const Cranking& cranking, const WetTest& test) {
  cranking.check();
  check_positive(test.dry.pascal(), "dry reading");
  check_positive(test.wet.pascal(), "wet reading");
  check_positive(test.step.pascal(), "gauge step");
  const CrankingEngine engine = cranking.engine();
  check_argument(test.oil.si() > 0 && test.oil.si() < 0.8 * engine.dead_volume().si(), "oil",
                 "must be above 0 and well below the chamber: more would lock the engine");
  double volume_alone = 0, all_sealed = 0, sealed = 0, sealed_low = HUGE_VAL, sealed_high = 0;
  for (HeatLoss law : kLaws) {
    const CrankingConditions conditions = cranking.conditions(law);
    const double leak = leak_for(engine, conditions, test.dry.pascal());
    // A dry reading above the model's tight cylinder: the level differs, the ratio still holds.
    const double level = test.dry.pascal() / gauge(engine, conditions, leak);
    volume_alone += level * gauge(engine, conditions, leak, test.oil.si()) / 2;
    all_sealed += level * gauge(engine, conditions, 0, test.oil.si()) / 2;
    const auto closed = [&](double wet) { return std::max(0.0, leak - leak_for(engine, conditions, wet / level, test.oil.si())); };
    sealed += closed(test.wet.pascal()) / 2;
    sealed_low = std::min(sealed_low, closed(std::max(1.0, test.wet.pascal() - 2 * test.step.pascal())));
    // Oil that has drained takes no room: all of the rise may then be sealing.
    const auto drained = [&](double wet) { return std::max(0.0, leak - leak_for(engine, conditions, wet / level)); };
    sealed_high = std::max(sealed_high, drained(test.wet.pascal() + 2 * test.step.pascal()));
  }
  WetFinding finding;
  finding.volume_alone = GaugePressure::from_pascal(volume_alone);
  finding.all_sealed = GaugePressure::from_pascal(all_sealed);
  finding.rise = test.wet.pascal() / test.dry.pascal() - 1;
  finding.rise_by_volume = volume_alone / test.dry.pascal() - 1;
  finding.sealed = {Area::from_si(sealed), Area::from_si(std::min(sealed_low, sealed)), Area::from_si(std::max(sealed_high, sealed)),
                    sealed_low > 0 ? LeakArea::Status::kMeasured : LeakArea::Status::kBelowLimit};
  const double rise = test.wet.pascal() - test.dry.pascal(), step = test.step.pascal();
  const double by_volume = volume_alone - test.dry.pascal();
  finding.kind = rise <= step                   ? WetFinding::Kind::kNoRise
                 : rise > by_volume + 2 * step  ? WetFinding::Kind::kRings
                 : rise <= by_volume + step / 2 ? WetFinding::Kind::kVolumeOnly
                                                : WetFinding::Kind::kUndecided;
  switch (finding.kind) {
    case WetFinding::Kind::kNoRise:
      finding.note = "No rise with oil: not the rings; valves, head gasket or crack, or the oil did not stay on the piston.";
      break;
    case WetFinding::Kind::kVolumeOnly:
      finding.note =
          fmt::format("The rise of {:.0f} % is no more than the {:.0f} % that the oil's volume alone makes: rings are not shown to leak.",
                      100 * finding.rise, 100 * finding.rise_by_volume);
      break;
    case WetFinding::Kind::kRings:
      finding.note =
          fmt::format("The rise of {:.0f} % is more than the {:.0f} % of the oil's volume: the oil sealed about {:.2f} mm² at the rings.",
                      100 * finding.rise, 100 * finding.rise_by_volume, sealed * 1e6);
      break;
    default:
      finding.note = fmt::format("The rise of {:.0f} % is about the {:.0f} % of the oil's volume: not decided; repeat with less oil.",
                                 100 * finding.rise, 100 * finding.rise_by_volume);
  }
  return finding;
}

}  // namespace headjoint::leakage
