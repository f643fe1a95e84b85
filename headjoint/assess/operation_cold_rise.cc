#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "headjoint/assess/cooling_input.h"
#include "headjoint/assess/knowledge.h"
#include "headjoint/assess/operation_table.h"
#include "headjoint/assess/results_document_cooling.h"
#include "headjoint/coolant/head_tank.h"
#include "headjoint/leakage/coolant_leak.h"

namespace headjoint::assess {
namespace {

using coolant::AddedGas;
constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
constexpr double kLitre = 1e-3;

/// One test: the tank, when it was closed, what the gauge showed.
struct Asked {
  coolant::HeadTank tank;
  Temperature now;
  GaugePressure pressure;
  GaugePressure gauge_step = GaugePressure::from_pascal(2e3);
  std::optional<Duration> time;
  leakage::EngineState state = leakage::EngineState::kIdle;
  bool is_night = false;
};

Asked asked_of(const Request& request, OptionReader& options, CoolingFacts& facts) {
  Asked asked;
  asked.is_night = word_option(request, options, "test", {"warm-up", "night"}) == "night";
  asked.state = engine_state_option(request, options);
  coolant::HeadTank& tank = asked.tank;
  tank.coolant = facts.coolant;
  tank.coolant_volume = facts.coolant_volume;
  tank.cap = facts.cap;
  tank.ambient = facts.ambient;
  tank.gas_space = quantity_or<Volume>(options, "gas-space", tank.gas_space, "air above the cold coolant: 1.2 L", facts.assumed);
  tank.hose_growth = quantity_or<Volume>(options, "hose-growth", tank.hose_growth, "hoses and radiator give 0.05 L per bar", facts.assumed);
  tank.closed_at = quantity_or<Temperature>(options, "from", tank.closed_at, "closed at 20 °C", facts.assumed);
  asked.gauge_step =
      quantity_or<GaugePressure>(options, "gauge-step", asked.gauge_step, "smallest difference seen on the gauge: 0.02 bar", facts.assumed);
  asked.now = tank.closed_at;
  if (const auto now = options.quantity<Temperature>("to"))
    asked.now = now->value;
  else if (!asked.is_night && request.option("to").empty())
    options.refuse("--to", "the coolant's temperature at the reading is missing", "--to \"40 degC\"");
  if (const auto pressure = options.quantity<GaugePressure>("pressure"))
    asked.pressure = pressure->value;
  else if (request.option("pressure").empty())
    options.refuse("--pressure", "the reading is missing", "--pressure \"0.6 bar\"");
  asked.time = options.positive<Duration>("time");
  if (asked.time && !(asked.time->si() >= 10 && asked.time->si() <= 86400))
    options.refuse("--time", "is \"" + request.option("time") + "\"", "10 s to 24 h");
  return asked;
}

std::string status_text(AddedGas::Status status) {
  switch (status) {
    case AddedGas::Status::kNotRun:
      return "not run";
    case AddedGas::Status::kGasAdded:
      return "gas added";
    case AddedGas::Status::kNoneTold:
      return "explained by warming";
    case AddedGas::Status::kPressureLost:
      return "pressure lost";
    case AddedGas::Status::kCapOpened:
      return "cap opened";
  }
  return {};
}

/// Area behind the gas, where a time is known.
void find_leak(const Asked& asked, const AddedGas& gas, const coolant::SmallestGas& smallest, ColdRiseReply& shown) {
  shown.leak = leak_size({}, std::nullopt);
  shown.gas_rate_L_per_min = {kNone, kNone, kNone};
  if (!asked.time) return;
  const AbsolutePressure mean = AbsolutePressure::from_pascal(asked.tank.ambient.pascal() + std::max(0.0, asked.pressure.pascal() / 2));
  const auto rate = [&](Volume amount) { return VolumeFlow::from_si(std::max(0.0, amount.si()) / asked.time->si()); };
  const leakage::GasFlow flow{rate(gas.value), rate(gas.low), rate(gas.high)};
  const double per_minute = 60 / kLitre;
  shown.gas_rate_L_per_min = {flow.value.si() * per_minute, flow.low.si() * per_minute, flow.high.si() * per_minute};
  std::optional<Area> least;
  if (!smallest.over_cap) {
    const VolumeFlow visible = rate(smallest.amount);
    least = leakage::leak_area_from_fired_gas({visible, {}, visible}, asked.state, mean).area;
  }
  const bool may_have_left = smallest.over_cap && gas.status == AddedGas::Status::kNoneTold;
  if (gas.status == AddedGas::Status::kPressureLost || may_have_left) {
    shown.leak = leak_size({}, least);
    return;
  }
  leakage::LeakArea area = leakage::leak_area_from_fired_gas(flow, asked.state, mean);
  if (gas.status == AddedGas::Status::kCapOpened) area.high.reset();
  shown.leak = leak_size(area, least);
}

std::string sentence_of(const Asked& asked, const ColdRiseReply& shown, AddedGas::Status status) {
  if (status == AddedGas::Status::kCapOpened) return "The reading stands at the cap: gas may have left, and only a lower bound is known.";
  if (status == AddedGas::Status::kPressureLost && asked.is_night)
    return "No pressure is left; a slight vacuum after cooling is what a sound system shows.";
  if (status == AddedGas::Status::kPressureLost)
    return "Less pressure than warming alone makes: something let go, or the tank was not closed or filled as stated.";
  if (asked.is_night)
    return status == AddedGas::Status::kGasAdded ? "Pressure is left that cooling should have taken away: gas was pushed in."
                                                 : "No pressure is left beyond what the gauge and a damp tank explain.";
  if (status == AddedGas::Status::kGasAdded)
    return fmt::format("More pressure than warming makes: {} to {} L of gas came in.", two_digits(shown.gas_added_L.low),
                       two_digits(shown.gas_added_L.high));
  return std::isfinite(shown.smallest_gas_L) ? "Warming alone explains this pressure."
                                             : "Warming alone explains this pressure, and could hide any gas behind the cap.";
}

void explain(const Asked& asked, AddedGas::Status status, ColdRiseReply& shown) {
  Meaning& meaning = shown.meaning;
  meaning.sentence = sentence_of(asked, shown, status);
  meaning.means.push_back(fmt::format("Expected without any gas: {:.2f} bar ({:.2f} to {:.2f}); read: {:.2f} bar.",
                                      shown.expected_bar.value, shown.expected_bar.low, shown.expected_bar.high, shown.pressure_bar));
  if (shown.leak.status == "measured") {
    meaning.means.push_back("As a leak of combustion gas at this engine speed: " + area_words(shown.leak.area_mm2) + ".");
    if (shown.lock_minutes)
      meaning.means.push_back(fmt::format("Hot and switched off, coolant could fill a bore through it in {:.0f} min: look before cranking.",
                                          *shown.lock_minutes));
  } else if (status != AddedGas::Status::kCapOpened && status != AddedGas::Status::kPressureLost && std::isfinite(shown.smallest_gas_L)) {
    meaning.means.push_back(fmt::format("Less than {} L of gas could not have been told{}.", two_digits(shown.smallest_gas_L),
                                        std::isfinite(shown.leak.smallest_mm2)
                                            ? ", in this time a leak of " + two_digits(shown.leak.smallest_mm2) + " mm²"
                                            : std::string()));
  }
  if (!std::isfinite(shown.smallest_gas_L))
    meaning.means.push_back(
        "From this fill warming alone may open the cap: this test cannot show gas. Read it earlier, while the engine is colder.");
  if (!asked.time) meaning.means.push_back("Give --time, how long the engine ran, to turn the gas into a leak area.");
  meaning.cannot_mean = {
      "Pressure in a hot system is normal: about 0.8 to 1.2 bar without any leak. Only the excess over warming counts.",
      "Gas in the coolant is not yet the head gasket: cracked head, liner or exhaust-gas cooler do the same.",
      "No excess is no proof: some leaks open only under load, and coolant may leak into a bore without letting gas out."};
  if (asked.is_night)
    meaning.cannot_mean.push_back("Gas that left through the cap while hot is not counted: the amount is the least that came in.");
  meaning.cautions = cautions_of({"hot_coolant", "moving_parts", "exhaust_gas"});
}

ColdRiseReply shown_of(const Asked& asked, const CoolingFacts& facts, AddedGas::Status& status) {
  const AddedGas gas = coolant::added_gas(asked.tank, asked.now, asked.pressure, asked.gauge_step);
  const coolant::TankPressure expected = coolant::tank_pressure(asked.tank, asked.now);
  const coolant::SmallestGas smallest = coolant::smallest_gas_visible(asked.tank, asked.now, asked.gauge_step);
  status = gas.status;
  ColdRiseReply shown;
  shown.test = asked.is_night ? "night" : "warm-up";
  shown.status = status_text(gas.status);
  shown.pressure_bar = asked.pressure.bar();
  shown.expected_bar = {expected.value.bar(), expected.low.bar(), expected.high.bar()};
  const bool open_above = gas.status == AddedGas::Status::kCapOpened || smallest.over_cap;
  shown.gas_added_L = {gas.value.si() / kLitre, gas.low.si() / kLitre, open_above ? kNone : gas.high.si() / kLitre};
  shown.smallest_gas_L = smallest.over_cap ? kNone : smallest.amount.si() / kLitre;
  find_leak(asked, gas, smallest, shown);
  const Band& area = shown.leak.area_mm2;
  const double largest = std::isfinite(area.high) ? area.high : area.value;
  if (facts.clearance && shown.leak.status == "measured")
    shown.lock_minutes = leakage::shortest_lock_time(Area::from_si(largest * 1e-6), *facts.clearance, asked.tank.cap).si() / 60;
  shown.meaning.assumed = facts.assumed;
  explain(asked, gas.status, shown);
  return shown;
}

Result<Reply> run_cold_rise(const Request& request) {
  OptionReader options(request);
  CoolingFacts facts = cooling_facts(request, options, {.coolant = true, .cap = true, .ambient = true, .volume = true});
  const Asked asked = asked_of(request, options, facts);
  if (has_errors(options.problems())) return options.problems();
  try {
    AddedGas::Status status{};
    ColdRiseReply shown = shown_of(asked, facts, status);
    Reply reply;
    reply.document = to_document(shown);
    reply.warnings = facts.warnings;
    reply.answer_is_no = status == AddedGas::Status::kGasAdded;
    reply.content = std::move(shown);
    return reply;
  } catch (const InputError& error) {
    return problem_of(error);
  }
}

}  // namespace

Operation cold_rise_operation() {
  return {
      .name = "cold-rise",
      .summary = "pressure after a cold start, or left after the night, against what warming alone makes",
      .argument = "JOB",
      .input = InputKind::kDocumentOrOptions,
      .options = {{"test", "WORD", "warm-up, or night: pressure left when cold again; warm-up when not given"},
                  {"pressure", "PRESSURE", "read on the gauge: \"0.6 bar\""},
                  {"from", "TEMPERATURE", "of the coolant when the cap went on; 20 degC when not given"},
                  {"to", "TEMPERATURE", "of the coolant at the reading: \"40 degC\""},
                  {"time", "DURATION", "how long the engine ran: \"5 min\""},
                  {"engine", "WORD", "idle, 2000 (rpm), load or cranking; idle when not given"},
                  {"gas-space", "VOLUME", "air above the cold coolant; 1.2 L when not given"},
                  {"hose-growth", "VOLUME", "how much hoses and radiator give per bar; 0.05 L when not given"},
                  {"gauge-step", "PRESSURE", "smallest difference seen on the gauge; 0.02 bar when not given"},
                  cooling_option::kGlycol,
                  cooling_option::kCap,
                  cooling_option::kVolume,
                  cooling_option::kAltitude,
                  cooling_option::kAmbient},
      .keys =
          "cause, expected_bar, expected_low_bar, expected_high_bar, gas_added_L, gas_rate_L_per_min, status, leak_area_mm2, low_mm2, "
          "high_mm2, "
          "smallest_mm2, smallest_gas_L, lock_minutes, cannot_mean[]",
      .run = run_cold_rise,
  };
}

}  // namespace headjoint::assess
