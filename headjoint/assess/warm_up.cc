#include "headjoint/assess/repair_facts.h"
#include "headjoint/coolant/coolant_log_model.h"

namespace headjoint::assess {
namespace {

constexpr double kOpensUsually = 82, kFullAbove = 13;  // degC, K: of the reference engine (82 to 95 degC)
// Heat into the coolant at idle. 10 kW is the reference engine's; with 5 to 16 kW the thermostat opens between 5 and 17 minutes after
// a start at 20 degC. Common practice is 5 to 15.
constexpr double kHeat_kW = 10, kLeastHeat_kW = 5.5, kMostHeat_kW = 16;
constexpr double kStep_s = 5, kLongest_s = 7200, kDrawn_s = 1500, kDrawnStep_s = 30;

coolant::LumpedEngine lumped(const joint::Engine& engine, Temperature air, double heat_kW) {
  coolant::LumpedEngine lump;
  lump.heat_kW = heat_kW;
  lump.air = air;
  lump.opens = engine.cooling && engine.cooling->thermostat_opens ? engine.cooling->thermostat_opens->value
                                                                  : Temperature::from_celsius(kOpensUsually);
  lump.full = Temperature::from_celsius(lump.opens.celsius() + kFullAbove);
  return lump;
}

double minutes_to_open(const coolant::LumpedEngine& lump, Temperature start) {
  Temperature now = start;
  double t = 0;
  for (; t < kLongest_s && now < lump.opens; t += kStep_s) now = coolant::warmed(lump, now, Duration::from_si(kStep_s));
  return t / 60;
}

}  // namespace

WarmUpTime warm_up_time(const joint::Engine& engine, Temperature started_at) {
  const auto minutes = [&](double heat) { return minutes_to_open(lumped(engine, started_at, heat), started_at); };
  return {minutes(kMostHeat_kW), minutes(kHeat_kW), minutes(kLeastHeat_kW)};
}

WarmUp warm_up_curve(const joint::Engine& engine, Temperature started_at) {
  WarmUp curve;
  curve.opens_degC = lumped(engine, started_at, kHeat_kW).opens.celsius();
  for (double t = 0; t <= kDrawn_s; t += kDrawnStep_s) curve.minutes.push_back(t / 60);
  const auto follow = [&](double heat, std::vector<double>& into) {
    const coolant::LumpedEngine lump = lumped(engine, started_at, heat);
    Temperature now = started_at;
    for (std::size_t i = 0; i < curve.minutes.size(); ++i) {
      into.push_back(now.celsius());
      now = coolant::warmed(lump, now, Duration::from_si(kDrawnStep_s));
    }
  };
  follow(kLeastHeat_kW, curve.low_degC);
  follow(kHeat_kW, curve.expected_degC);
  follow(kMostHeat_kW, curve.high_degC);
  return curve;
}

Temperature settles_at(const joint::Engine& engine, Temperature air) {
  return coolant::warmed(lumped(engine, air, kHeat_kW), air, Duration::from_si(kLongest_s));
}

}  // namespace headjoint::assess
