#include <fmt/format.h>

#include <algorithm>

#include "headjoint/assess/proof.h"
#include "headjoint/assess/readings.h"
#include "headjoint/assess/repair_facts.h"
#include "headjoint/coolant/head_tank.h"
#include "headjoint/leakage/burnt_gas.h"
#include "headjoint/repair/proof.h"

/// What a sound cooling system reads after the repair.
namespace headjoint::assess {
namespace {

constexpr double kGaugeStep_bar = 0.02;
constexpr double kUsualHold_min = 10, kUsualRise_min = 2;
constexpr double kUsualCap_bar = 1.0;
constexpr double kMostCarbonDioxide = 0.1, kMostHydrocarbons_ppm = 30;  ///< where the analyser's verdict begins to doubt
constexpr double kMostWater = 0.1;                                      ///< per cent in the oil: the usual limit
constexpr double kStuckOpen_K = 11;  ///< a regulated engine comes within this of its thermostat: rule of on-board monitors
constexpr double kTooHot_K = 8;      ///< above the thermostat's full opening: stuck shut or no flow
constexpr double kGasShare = 0.2;    ///< gas space of the tank by coolant volume, 1.2 L for 6 L; assumption
constexpr double kLeastTopUp = 0.1;  ///< share of the coolant that bleeding may still take; common practice, no source

const jobs::Reading* last_proof(const jobs::Job& job, jobs::ReadingTest test) {
  const auto found = std::find_if(job.proof_readings.rbegin(), job.proof_readings.rend(),
                                  [&](const jobs::Reading& reading) { return reading.test == test && reading.counts(); });
  return found == job.proof_readings.rend() ? nullptr : &*found;
}

/// The cooling system as far as it is known, the rest as usual.
struct System {
  Volume volume = Volume::from_si(6e-3);
  GaugePressure cap = GaugePressure::from_pascal(kUsualCap_bar * 1e5);
  coolant::Coolant coolant;
  leakage::Ambient ambient;
  Temperature started_at = Temperature::from_celsius(20);
};

System system_of(const Assessment& all, Proof& into) {
  System system;
  system.ambient = ambient_of(all.job.history);
  const auto& cooling = all.job.engine.cooling;
  if (cooling && cooling->volume) system.volume = cooling->volume->value;
  if (cooling && cooling->cap) system.cap = cooling->cap->value;
  if (cooling && cooling->glycol && cooling->glycol->kind == "propylene") system.coolant.glycol = coolant::Glycol::kPropylene;
  if (cooling && cooling->glycol) system.coolant.share = std::min(cooling->glycol->fraction, coolant::kLargestShare);
  if (!(cooling && cooling->volume)) into.missing.emplace_back("cooling.volume");
  if (!(cooling && cooling->cap)) into.missing.emplace_back("cooling.cap");
  if (!(cooling && cooling->thermostat_opens)) into.missing.emplace_back("cooling.thermostat_opens");
  if (all.job.repair && all.job.repair->started_at) system.started_at = all.job.repair->started_at->value;
  return system;
}

void add_hold(const jobs::Job& job, const System& system, std::vector<ProofCheck>& checks) {
  const jobs::Reading* reading = last_proof(job, jobs::ReadingTest::kPressureHold);
  leakage::PressureHold hold;
  hold.start = reading != nullptr ? reading->start->value : system.cap;
  hold.time = reading != nullptr ? reading->duration->value : Duration::from_si(60 * kUsualHold_min);
  hold.coolant_volume = system.volume;
  hold.ambient = system.ambient;
  hold.gauge_step =
      reading != nullptr && reading->resolution ? reading->resolution->value : GaugePressure::from_pascal(kGaugeStep_bar * 1e5);
  ProofCheck check;
  check.check = fmt::format("cooling pressure after {:.0f} min, pumped up cold to {:.2f} bar", hold.time.si() / 60, hold.start.bar());
  check.test = "pressure_hold";
  check.unit = "bar";
  check.why = "a tight system stands; the limit is what gauge step and half a kelvin of warming or cooling explain";
  try {
    const repair::PressureBand band = repair::expected_hold(hold);
    check.expected = band.expected.bar();
    check.accept_low = band.low.bar();
    check.accept_high = band.high.bar();
    check.expected_text = fmt::format("{:.2f} bar", *check.expected);
    if (reading != nullptr) judge(check, reading->end->value.bar(), reading->end->text);
  } catch (const InputError& error) {
    check.expected_text = "stands";
    check.why = std::string("the test was not done so that it can be judged: ") + error.what();
    if (reading != nullptr) check.reading = reading->end->text;
  }
  checks.push_back(std::move(check));
}

void add_cold_rise(const jobs::Job& job, const joint::Engine& engine, const System& system, std::vector<ProofCheck>& checks) {
  const jobs::Reading* reading = last_proof(job, jobs::ReadingTest::kColdRise);
  const double minutes = reading != nullptr ? reading->duration->value.si() / 60 : kUsualRise_min;
  ProofCheck check;
  check.check = fmt::format("cooling pressure after {:.0f} min at idle from cold", minutes);
  check.test = "cold_rise";
  check.unit = "bar";
  check.why = "warming alone: coolant grows into the tank's air; a usual engine at idle, 5.5 to 16 kW into the coolant";
  coolant::HeadTank tank;
  tank.coolant = system.coolant;
  tank.coolant_volume = system.volume;
  tank.gas_space = kGasShare * system.volume;
  tank.cap = system.cap;
  tank.ambient = system.ambient.pressure;
  tank.closed_at = system.started_at;
  tank.closed_pressure = reading != nullptr ? reading->start->value : GaugePressure{};
  const WarmUp curve = warm_up_curve(engine, system.started_at);
  const auto at = [&](const std::vector<double>& curve_degC) {
    const auto next = std::lower_bound(curve.minutes.begin(), curve.minutes.end(), minutes);
    if (next == curve.minutes.end()) return curve_degC.back();
    const auto i = static_cast<std::size_t>(next - curve.minutes.begin());
    if (i == 0) return curve_degC.front();
    const double share = (minutes - curve.minutes[i - 1]) / (curve.minutes[i] - curve.minutes[i - 1]);
    return curve_degC[i - 1] + share * (curve_degC[i] - curve_degC[i - 1]);
  };
  try {
    const auto pressure = [&](double degC) { return coolant::tank_pressure(tank, Temperature::from_celsius(std::min(degC, 130.0))); };
    const auto warm = pressure(at(curve.high_degC));
    check.expected = pressure(at(curve.expected_degC)).value.bar();
    check.accept_low = tank.closed_pressure.bar() - kGaugeStep_bar;
    check.accept_high = warm.high.bar() + kGaugeStep_bar;
    check.expected_text = fmt::format("{:.2f} bar", *check.expected);
    if (reading != nullptr) judge(check, reading->end->value.bar(), reading->end->text);
  } catch (const InputError& error) {
    check.expected_text = "hardly any";
    check.why = std::string("the test was not done so that it can be judged: ") + error.what();
    if (reading != nullptr) check.reading = reading->end->text;
  }
  checks.push_back(std::move(check));
}

void add_gas(const jobs::Job& job, std::vector<ProofCheck>& checks) {
  const jobs::Reading* reading = last_proof(job, jobs::ReadingTest::kGasInCoolant);
  ProofCheck check;
  check.check = "carbon dioxide over the coolant, above the room's";
  check.test = "gas_in_coolant";
  check.unit = "%";
  check.expected = 0;
  check.accept_low = -kMostCarbonDioxide;
  check.accept_high = kMostCarbonDioxide;
  check.expected_text = "none";
  check.why = "from 0.1 % over the blank the analyser's reading is doubtful, from 0.5 % it is burnt gas (assumption, no published limit)";
  if (reading != nullptr && reading->carbon_dioxide) {
    judge(check, 100 * reading->carbon_dioxide->value.fraction, reading->carbon_dioxide->text);
  } else if (reading != nullptr && reading->hydrocarbons_ppm) {
    check.check = "hydrocarbons over the coolant, above the room's";
    check.unit = "ppm";
    check.accept_low = -kMostHydrocarbons_ppm;
    check.accept_high = kMostHydrocarbons_ppm;
    check.why = "three times the noise of the blank (assumption); hydrocarbons alone are no proof of a leak";
    const double ppm = reading->hydrocarbons_ppm->value;
    judge(check, ppm, fmt::format("{:.0f} ppm", ppm));
  }
  checks.push_back(std::move(check));
}

/// Only where it was taken.
void add_water(const jobs::Job& job, std::vector<ProofCheck>& checks) {
  const jobs::Reading* reading = last_proof(job, jobs::ReadingTest::kWaterInOil);
  if (reading == nullptr || !reading->water) return;
  ProofCheck check;
  check.check = "water in the fresh oil";
  check.test = "water_in_oil";
  check.unit = "%";
  check.expected = 0;
  check.accept_low = 0;
  check.accept_high = kMostWater;
  check.expected_text = "none";
  check.why = "usual limit of used oil; water left over from before can still come out";
  judge(check, 100 * reading->water->value.fraction, reading->water->text);
  checks.push_back(std::move(check));
}

void add_first_heat(const Assessment& all, const joint::Engine& engine, const System& system, std::vector<ProofCheck>& checks,
                    Proof& into) {
  const jobs::RepairDone* done = all.job.repair ? &*all.job.repair : nullptr;
  into.warm_up = warm_up_curve(engine, system.started_at);
  const WarmUpTime time = warm_up_time(engine, system.started_at);
  ProofCheck warm;
  warm.check = fmt::format("thermostat opens, idling from {:.0f} degC", system.started_at.celsius());
  warm.test = "warm_up";
  warm.unit = "min";
  warm.expected = time.value_min;
  warm.accept_low = time.low_min;
  warm.accept_high = time.high_min;
  warm.expected_text = fmt::format("{:.0f} min", time.value_min);
  warm.why =
      "warm-up of a usual engine with 5.5 to 16 kW into the coolant (common practice 5 to 15 min); sooner: little coolant or no flow; "
      "later: thermostat open";
  if (done != nullptr && done->warm_after) judge(warm, done->warm_after->value.si() / 60, done->warm_after->text);
  checks.push_back(std::move(warm));

  ProofCheck settled;
  settled.check = "coolant settles at idle";
  settled.test = "settled";
  settled.unit = "degC";
  const double opens = into.warm_up->opens_degC;
  settled.expected = settles_at(engine, system.started_at).celsius();
  settled.accept_low = opens - kStuckOpen_K;
  const bool has_fan = engine.cooling && engine.cooling->fan_starts;
  settled.accept_high = std::max(opens + 13, has_fan ? engine.cooling->fan_starts->value.celsius() : 0) + kTooHot_K;
  settled.expected_text = fmt::format("{:.0f} degC", *settled.expected);
  settled.why =
      "not within 11 K of the thermostat: it stands open (rule of on-board monitors); more than 8 K above its full opening or the "
      "fan's start: stuck shut, no flow or no fan";
  if (done != nullptr && done->settled) judge(settled, done->settled->value.celsius(), done->settled->text);
  checks.push_back(std::move(settled));

  if (done == nullptr || !done->topped_up) return;
  ProofCheck topped;
  topped.check = "coolant topped up after the first heat";
  topped.test = "topped_up";
  topped.unit = "L";
  topped.expected = 0;
  topped.accept_low = 0;
  topped.accept_high = kLeastTopUp * system.volume.si() * 1e3;
  topped.expected_text = "little";
  topped.why = "bleeding takes up to a tenth of the system (common practice, no source); more: it goes somewhere, or air was left";
  judge(topped, done->topped_up->value.si() * 1e3, done->topped_up->text);
  checks.push_back(std::move(topped));
}

}  // namespace

void add_cooling_checks(const Assessment& all, const joint::Engine& engine, std::vector<ProofCheck>& checks, Proof& into) {
  const System system = system_of(all, into);
  add_hold(all.job, system, checks);
  add_cold_rise(all.job, engine, system, checks);
  add_gas(all.job, checks);
  add_water(all.job, checks);
  add_first_heat(all, engine, system, checks, into);
}

}  // namespace headjoint::assess
