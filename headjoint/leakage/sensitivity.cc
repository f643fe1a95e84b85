#include "headjoint/leakage/sensitivity.h"

#include <fmt/format.h>

#include <algorithm>

#include "headjoint/leakage/internal/arguments.h"

namespace headjoint::leakage {
namespace {

constexpr double kVisibleDrop = 0.05;  // common practice
constexpr double kRuleDrop = 0.25;     // lowest at least 75 % of highest: TM 5-4210-230-14&P-1 Add. 2
constexpr double kRuleLoss = 0.25;     // AC 43.13-1B para 8-14

Sensitivity by_compression(const TestedEngine& engine, double drop) {
  const CompressionModel model(engine.cranking, engine.healthy_compression);
  return {smallest_leak_by_compression(model, drop), fmt::format("a cylinder {:.0f} % below the others", 100 * drop)};
}

double visible_drop(const TestedEngine& engine) {
  check_positive(engine.compression_step.pascal(), "gauge step");
  if (!engine.healthy_compression) return kVisibleDrop;
  check_positive(engine.healthy_compression->pascal(), "healthy level");
  return std::clamp(engine.compression_step.pascal() / engine.healthy_compression->pascal(), kVisibleDrop, 0.5);
}

GaugePressure sound_reading(const TestedEngine& engine) {
  check_argument(engine.healthy_loss >= 0 && engine.healthy_loss < kRuleLoss, "healthy loss", "must be at least 0 and below 25 %");
  return GaugePressure::from_pascal((1 - engine.healthy_loss) * engine.leak_down.supply.pascal());
}

}  // namespace

Area smallest_leak_by_leak_down(const LeakDownTest& test, GaugePressure healthy_reading) {
  const LeakDown healthy = leak_area_from_leak_down(test, healthy_reading);
  check_argument(healthy.leak.high.has_value(), "healthy reading", "must be more than one gauge step above 0");
  return *healthy.leak.high - healthy.leak.area;
}

Area smallest_leak_by_bubbles(GaugePressure cylinder, VolumeFlow slowest_flow, const Ambient& ambient, const Gas& gas) {
  check_positive(slowest_flow.si(), "slowest flow");
  return leak_area_from_outlet_flow(slowest_flow, cylinder, ambient, gas);
}

Area smallest_leak_by_compression(const CompressionModel& model, double visible_drop) {
  check_argument(visible_drop > 0 && visible_drop < 0.8, "visible drop", "must be above 0 and below 0.8");
  const double ratio = 1 - visible_drop;
  return model.extra_leak(ratio, ratio, ratio).area;
}

Sensitivity sensitivity(LeakTest test, const TestedEngine& engine) {
  switch (test) {
    case LeakTest::kCompression:
      return by_compression(engine, visible_drop(engine));
    case LeakTest::kCompressionRule:
      return by_compression(engine, kRuleDrop);
    case LeakTest::kLeakDown:
      return {smallest_leak_by_leak_down(engine.leak_down, sound_reading(engine)),
              fmt::format("one step of the gauge ({:.2f} bar) below a sound cylinder", engine.leak_down.gauge_step.bar())};
    case LeakTest::kLeakDownRule: {
      const auto limit = GaugePressure::from_pascal((1 - kRuleLoss) * engine.leak_down.supply.pascal());
      return {leak_area_from_leak_down(engine.leak_down, limit).leak.area -
                  leak_area_from_leak_down(engine.leak_down, sound_reading(engine)).leak.area,
              "more than 25 % of the supply lost"};
    }
    case LeakTest::kLeakDownBubbles:
      return {smallest_leak_by_bubbles(sound_reading(engine), engine.slowest_bubbles, engine.leak_down.ambient, engine.leak_down.gas),
              fmt::format("{:.2g} L/min of bubbles in the filler neck", engine.slowest_bubbles.si() * 6e4)};
  }
  throw ContractError("a leak test without a sensitivity");
}

}  // namespace headjoint::leakage
