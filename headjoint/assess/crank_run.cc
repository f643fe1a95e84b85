#include "headjoint/assess/crank_run.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string_view>
#include <utility>

#include "headjoint/assess/option_reader.h"
#include "headjoint/assess/placed_option.h"
#include "headjoint/base/error.h"
#include "headjoint/base/text.h"
#include "headjoint/joint/places.h"

namespace headjoint::assess {
namespace {

using leakage::CylinderLeaks;
using leakage::HeatLoss;

constexpr double kTraceStep = 2;                      // deg, of the drawing
constexpr double kLowest = 500e2, kHighest = 1100e2;  // Pa, air of the day

/// What the options name, read and checked as a whole.
struct CrankOrder {
  leakage::CrankingEngine engine;
  leakage::CrankingConditions conditions;
  std::vector<CylinderLeaks> leaks;
  std::vector<leakage::BridgeLeak> bridges;
  std::optional<leakage::FittedGauge> gauge;
  bool are_plugs_in = true;
  std::optional<Angle> trace_step;  ///< asked for
  std::vector<std::string> notes;
};

class OrderReader {
 public:
  OrderReader(const joint::Engine& engine, const CrankableEngine& crankable, const Request& request)
      : engine_(engine), request_(request), options_(request) {
    order_.engine = crankable.engine;
    order_.notes = crankable.notes;
    order_.leaks.resize(crankable.engine.firing.size());
    if (crankable.speed) order_.conditions.speed = *crankable.speed;
  }

  Result<CrankOrder> read() {
    read_air();
    read_heat();
    read_timing();
    read_leaks();
    read_bridges();
    read_oil();
    read_gauge();
    read_trace();
    order_.are_plugs_in = word("plugs", {"in", "out"}, "in") == "in";
    if (has_errors(options_.problems())) return options_.problems();
    return std::move(order_);
  }

 private:
  std::string word(const std::string& name, const std::vector<std::string>& allowed, const std::string& otherwise) {
    const std::string text = lower_case(trimmed(request_.option(name, otherwise)));
    for (const std::string& candidate : allowed)
      if (text == candidate) return text;
    std::string list;
    for (const std::string& candidate : allowed) list += (list.empty() ? "" : ", ") + candidate;
    options_.refuse("--" + name, "is \"" + text + "\"", list);
    return otherwise;
  }

  std::optional<double> number(const std::string& name, double low, double high) {
    const std::string text = request_.option(name);
    if (text.empty()) return std::nullopt;
    const auto value = parse_number(text);
    if (value && *value >= low && *value <= high) return value;
    options_.refuse("--" + name, "is \"" + text + "\"", fmt::format("a number from {} to {}", low, high));
    return std::nullopt;
  }

  void read_air() {
    leakage::CrankingConditions& conditions = order_.conditions;
    if (const auto speed = options_.positive<Speed>("speed")) conditions.speed = *speed;
    const auto ambient = options_.quantity<AbsolutePressure>("ambient");
    const auto altitude = options_.quantity<Length>("altitude");
    if (ambient && altitude) options_.refuse("--altitude", "and --ambient both say the air pressure", "one of the two");
    if (ambient) conditions.ambient.pressure = ambient->value;
    if (altitude && altitude->value.si() >= -500 && altitude->value.si() <= 5500)
      conditions.ambient.pressure = leakage::standard_atmosphere_pressure(altitude->value);
    else if (altitude)
      options_.refuse("--altitude", "is \"" + altitude->text + "\"", "-500 m to 5500 m");
    const double pascal = conditions.ambient.pressure.pascal();
    if (!(pascal >= kLowest && pascal <= kHighest))
      options_.refuse("--ambient", "is \"" + request_.option("ambient") + "\"", "500 mbar to 1100 mbar, absolute");
    if (const auto air = options_.quantity<Temperature>("temperature")) conditions.ambient.temperature = air->value;
    if (const auto wall = options_.quantity<Temperature>("wall-temperature")) conditions.wall = wall->value;
    if (const auto coolant = options_.quantity<GaugePressure>("coolant-pressure"))
      conditions.coolant = coolant->value.absolute(conditions.ambient.pressure);
    if (word("throttle", {"open", "shut"}, "open") == "shut") is_shut_ = true;
  }

  void read_heat() {
    const std::string law = word("heat-loss", {"none", "woschni", "hohenberg"}, "woschni");
    order_.conditions.heat_loss = law == "none" ? HeatLoss::kNone : law == "woschni" ? HeatLoss::kWoschni : HeatLoss::kHohenberg;
    if (const auto multiplier = number("heat-multiplier", 0, 10)) order_.conditions.heat_multiplier = *multiplier;
  }

  void read_timing() {
    const auto shift = options_.quantity<Angle>("timing-off");
    if (!shift) return;
    const double closing = order_.engine.intake_closing.degrees() + shift->value.degrees();
    if (!(closing >= 0 && closing <= 140))
      return options_.refuse("--timing-off", fmt::format("moves the intake's closing to {:.0f} deg after bottom dead centre", closing),
                             "0 to 140 deg after bottom dead centre");
    order_.engine.intake_closing = Angle::from_degrees(closing);
    order_.notes.push_back(fmt::format("Timing {:.0f} crank degrees {}: the intake closes {:.0f} deg after bottom dead centre.",
                                       std::abs(shift->value.degrees()), shift->value.degrees() < 0 ? "early" : "late", closing));
  }

  /// Every value of an option with the cylinders it stands for.
  template <class T, class Set>
  void for_cylinders(const std::string& name, Set&& set) {
    for (const PlacedValue& placed : placed_values(request_, name)) {
      std::vector<std::size_t> cylinders;
      if (placed.place.empty())
        for (std::size_t i = 0; i < order_.leaks.size(); ++i) cylinders.push_back(i);
      else
        cylinders = cylinders_of_place(placed.place, order_.leaks.size());
      if (cylinders.empty() || (!placed.place.empty() && cylinders.size() != 1)) {
        options_.refuse("--" + name, "there is no cylinder \"" + placed.place + "\"",
                        fmt::format("1 to {}, as in 2=\"1 mm2\"", order_.leaks.size()));
        continue;
      }
      const auto value = parse<T>(placed.value);
      if (!value) {
        for (Problem problem : value.problems()) {
          problem.place.pointer = "--" + name;
          options_.add({problem});
        }
        continue;
      }
      for (const std::size_t cylinder : cylinders) set(order_.leaks[cylinder], *value);
    }
  }

  void read_leaks() {
    const std::string path = word("leak-path", {"rings", "intake-valve", "exhaust-valve", "coolant", "outside"}, "rings");
    Area CylinderLeaks::*const way = path == "intake-valve"    ? &CylinderLeaks::intake_valve
                                     : path == "exhaust-valve" ? &CylinderLeaks::exhaust_valve
                                     : path == "coolant"       ? &CylinderLeaks::coolant
                                     : path == "outside"       ? &CylinderLeaks::outside
                                                               : &CylinderLeaks::rings;
    for_cylinders<Area>("leak-area", [&](CylinderLeaks& leaks, Area area) { leaks.*way = area; });
  }

  void read_bridges() {
    const std::vector<joint::Bridge> known = joint::bridges(engine_);
    for (const PlacedValue& placed : placed_values(request_, "bridge")) {
      const std::vector<std::size_t> pair = cylinders_of_place(placed.place, order_.leaks.size());
      const auto area = parse<Area>(placed.value);
      if (pair.size() != 2 || pair[0] == pair[1]) {
        options_.refuse("--bridge", "\"" + placed.place + "\" is no bridge between two cylinders", "as in 1-2=\"1 mm2\"");
      } else if (!area) {
        for (Problem problem : area.problems()) {
          problem.place.pointer = "--bridge";
          options_.add({problem});
        }
      } else {
        order_.bridges.push_back({pair[0], pair[1], *area});
        const auto [low, high] = std::minmax(pair[0], pair[1]);
        const joint::Bridge bridge{static_cast<int>(low) + 1, static_cast<int>(high) + 1};
        if (std::find(known.begin(), known.end(), bridge) == known.end())
          order_.notes.push_back("Cylinders " + joint::to_string(bridge) + " are not neighbours under one head in this engine file.");
      }
    }
  }

  void read_trace() {
    const auto step = options_.quantity<Angle>("trace");
    if (!step) return;
    order_.trace_step = step->value;
    if (!(step->value.degrees() >= 0.1 && step->value.degrees() <= 30) || std::abs(std::remainder(180, step->value.degrees())) > 1e-9)
      options_.refuse("--trace", "is \"" + step->text + "\"", "0.1 to 30 deg, a part of 180 deg");
  }

  void read_oil() {
    for_cylinders<Volume>("oil-in-bore", [](CylinderLeaks& leaks, Volume oil) { leaks.liquid = oil; });
  }

  void read_gauge() {
    const auto beyond = options_.quantity<Volume>("gauge-volume"), hose = options_.quantity<Volume>("gauge-hose");
    const auto strokes = number("strokes", 1, 50);
    if (!beyond && !hose && !strokes) return;
    leakage::FittedGauge gauge;
    if (beyond) gauge.beyond_valve = beyond->value;
    if (hose) gauge.hose = hose->value;
    if (strokes && *strokes != std::round(*strokes)) options_.refuse("--strokes", "is no whole number of strokes", "1 to 50");
    if (strokes) gauge.strokes = static_cast<int>(std::lround(*strokes));
    order_.gauge = gauge;
  }

 public:
  [[nodiscard]] bool is_shut() const { return is_shut_; }

 private:
  const joint::Engine& engine_;
  const Request& request_;
  OptionReader options_;
  CrankOrder order_;
  bool is_shut_ = false;
};

/// The option that a refused argument of the model came from; empty for what the engine file says.
std::string option_of(const std::string& argument) {
  constexpr std::pair<std::string_view, const char*> kOrigins[] = {{"leak", "--leak-area"},
                                                                   {"breach", "--bridge"},
                                                                   {"liquid", "--oil-in-bore"},
                                                                   {"cranking speed", "--speed"},
                                                                   {"hose volume", "--gauge-hose"},
                                                                   {"gauge volume", "--gauge-volume"},
                                                                   {"wall", "--wall-temperature"},
                                                                   {"coolant pressure", "--coolant-pressure"},
                                                                   {"ambient temperature", "--temperature"}};
  for (const auto& [word, option] : kOrigins)
    if (argument.find(word) != std::string::npos) return option;
  return "/engine";
}

/// The engine as it stands when one cylinder is tested: with the plugs out all others are open.
std::vector<CylinderLeaks> with_others_open(std::vector<CylinderLeaks> leaks, std::size_t tested) {
  for (std::size_t i = 0; i < leaks.size(); ++i) leaks[i].is_plug_out = i != tested;
  return leaks;
}

leakage::CrankingRun run_one(const CrankOrder& order, const std::vector<CylinderLeaks>& leaks,
                             const std::optional<leakage::FittedGauge>& gauge) {
  const leakage::CyclePrecision precision{.tolerance = 1e-8, .trace_step = order.trace_step.value_or(Angle::from_degrees(kTraceStep))};
  leakage::CrankingRun run = leakage::simulate_cranking(order.engine, order.conditions, leaks, order.bridges, gauge, precision);
  if (run.status != leakage::CrankingRun::Status::kDone) throw InputError("leak areas", "are beyond what the march in time can follow");
  return run;
}

PressureTrace drawn_trace(const std::string& name, const leakage::CylinderRun& run, double step) {
  constexpr double kFirst = -180;
  const auto skipped = static_cast<std::size_t>(std::lround((360 + kFirst) / step));
  PressureTrace trace{name, kFirst, step, {}};
  for (std::size_t i = skipped; i + skipped < run.trace.size(); ++i) trace.bar_abs.push_back(run.trace[i].bar());
  return trace;
}

double whole_leak_mm2(const CylinderLeaks& leaks) {
  return (leaks.rings + leaks.intake_valve + leaks.exhaust_valve + leaks.coolant + leaks.outside).si() * 1e6;
}

void add_cylinders(const CrankOrder& order, CrankedEngine& cranked) {
  const leakage::CrankingRun together = order.are_plugs_in ? run_one(order, order.leaks, std::nullopt) : leakage::CrankingRun{};
  for (std::size_t i = 0; i < order.leaks.size(); ++i) {
    const std::vector<CylinderLeaks> leaks = order.are_plugs_in ? order.leaks : with_others_open(order.leaks, i);
    const leakage::CylinderRun run = order.are_plugs_in ? together.cylinders[i] : run_one(order, leaks, std::nullopt).cylinders[i];
    CrankedCylinder cylinder;
    cylinder.cylinder = static_cast<int>(i) + 1;
    cylinder.leak_area_mm2 = whole_leak_mm2(order.leaks[i]);
    cylinder.peak_bar_abs = run.peak.bar();
    cylinder.peak_bar = run.peak.bar() - order.conditions.ambient.pressure.bar();
    cylinder.peak_angle_deg = run.peak_angle.degrees();
    cylinder.mass_left = run.mass_left;
    if (order.gauge) {
      leakage::FittedGauge gauge = *order.gauge;
      gauge.cylinder = i;
      for (const GaugePressure& reading : run_one(order, leaks, gauge).gauge_readings) cylinder.gauge_bar.push_back(reading.bar());
    }
    cranked.cylinders.push_back(std::move(cylinder));
    cranked.traces.push_back(
        drawn_trace(fmt::format("cylinder {}", i + 1), run, order.trace_step ? order.trace_step->degrees() : kTraceStep));
  }
}

void add_notes(const joint::Engine& engine, const CrankOrder& order, CrankedEngine& cranked) {
  std::vector<std::string>& notes = cranked.notes;
  notes = order.notes;
  const bool is_tight = order.bridges.empty() && std::all_of(order.leaks.begin(), order.leaks.end(),
                                                             [](const CylinderLeaks& leaks) { return !(whole_leak_mm2(leaks) > 0); });
  if (is_tight) notes.push_back("No leak was given: tight cylinders. --leak-area \"1 mm2\" gives each one, 2=\"1 mm2\" the second alone.");
  if (engine.general.expected_compression) {
    cranked.maker_bar = engine.general.expected_compression->value.bar();
    notes.push_back(fmt::format(
        "The engine file expects {:.1f} bar of a sound cylinder. A tight cylinder of the model reads more: rings, gauge and intake losses "
        "take the difference, as if each cylinder leaked 1 to 2 mm².",
        cranked.maker_bar));
  }
  if (!order.bridges.empty())
    notes.push_back(order.are_plugs_in ? "Plugs in: of two joined cylinders half a turn apart the first to compress feeds the second, so "
                                         "the two differ by a few per cent."
                                       : "Plugs out: a breach to the neighbour is a leak to the air; both cylinders read alike.");
  if (order.gauge)
    notes.push_back(
        "The gauge's own room and check valve make it climb stroke by stroke: crank every cylinder by the same number of strokes.");
  notes.push_back(
      "This is what such leaks would make, not what this engine has. Heat loss at cranking speed is not well known: take single peaks as "
      "good to 15 %, the "
      "ratio between cylinders as good to a few per cent.");
}

}  // namespace

Result<CrankedEngine> crank(const joint::Engine& engine, const CrankableEngine& crankable, const Request& request) {
  OrderReader reader(engine, crankable, request);
  auto read = reader.read();
  if (!read) return read.problems();
  CrankOrder order = std::move(read).value();
  CrankedEngine cranked;
  try {
    if (reader.is_shut()) {
      order.conditions.intake = leakage::intake_behind_throttle(order.engine, order.conditions);
      order.notes.push_back(
          fmt::format("Throttle shut: {:.2f} bar absolute in the intake (idle air of 10 mm², an assumption); all readings are low.",
                      order.conditions.intake->bar()));
    }
    add_cylinders(order, cranked);
  } catch (const InputError& error) {
    return Problem{{{}, 0, 0, option_of(error.argument())}, error.what(), {}, {}};
  }
  cranked.engine = engine.name;
  cranked.speed_rpm = order.conditions.speed.rpm();
  cranked.ambient_bar = order.conditions.ambient.pressure.bar();
  cranked.temperature_degC = order.conditions.ambient.temperature.celsius();
  cranked.intake_bar = order.conditions.intake.value_or(order.conditions.ambient.pressure).bar();
  constexpr const char* kLaws[] = {"none", "woschni", "hohenberg"};
  cranked.heat_loss = kLaws[static_cast<std::size_t>(order.conditions.heat_loss)];
  cranked.heat_multiplier = order.conditions.heat_multiplier;
  cranked.is_trace_asked = order.trace_step.has_value();
  cranked.plugs = order.are_plugs_in ? "in" : "out";
  for (const leakage::BridgeLeak& bridge : order.bridges)
    cranked.bridges.push_back({fmt::format("{}-{}", bridge.first + 1, bridge.second + 1), bridge.area.si() * 1e6});
  add_notes(engine, order, cranked);
  return cranked;
}

const std::vector<OptionSpec>& cranking_options() {
  static const std::vector<OptionSpec> options = {
      {"leak-area", "AREA", "effective leak of every cylinder, \"1 mm2\", or of one, 2=\"1 mm2\"", OptionKind::kList},
      {"leak-path", "WORD", "where --leak-area goes: rings, intake-valve, exhaust-valve, coolant, outside; rings when not given"},
      {"bridge", "AREA", "breach between two cylinders: 1-2=\"1 mm2\"", OptionKind::kList},
      {"heat-loss", "LAW", "none, woschni or hohenberg; woschni when not given"},
      {"heat-multiplier", "NUMBER", "on the law's heat transfer, 0 to 10"},
      {"speed", "SPEED", "cranking speed; the engine file's, else 250 rpm"},
      {"ambient", "PRESSURE", "air pressure of the day, absolute: \"1013 mbar\""},
      {"altitude", "LENGTH", "instead of --ambient: the standard atmosphere's pressure there"},
      {"temperature", "TEMPERATURE", "of the air; 20 degC when not given"},
      {"wall-temperature", "TEMPERATURE", "of the cylinder walls; the air's when not given"},
      {"coolant-pressure", "PRESSURE", "in the cooling system, gauge; 0 when not given"},
      {"throttle", "WORD", "open or shut"},
      {"plugs", "WORD", "in, or out: all but the tested cylinder's; in when not given"},
      {"timing-off", "ANGLE", "how much later the intake closes than the file says; negative is earlier"},
      {"oil-in-bore", "VOLUME", "liquid on the piston of every cylinder, \"5 cm3\", or of one, 2=\"5 cm3\"", OptionKind::kList},
      {"gauge-volume", "VOLUME", "room behind the gauge's check valve; its climb over the strokes is then shown"},
      {"gauge-hose", "VOLUME", "room before the check valve: adds to the chamber"},
      {"trace", "ANGLE", "step of the pressure against crank angle in the JSON answer: \"5 deg\""},
      {"strokes", "NUMBER", "compression strokes cranked with the gauge; 6 when not given"},
  };
  return options;
}

}  // namespace headjoint::assess
