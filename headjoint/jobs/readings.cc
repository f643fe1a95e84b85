#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "headjoint/base/text.h"
#include "headjoint/jobs/internal/job_parts.h"
#include "headjoint/jobs/job_file.h"
#include "headjoint/units/quantity_text.h"

namespace headjoint::jobs {
namespace {

using Words = std::vector<std::string>;
using Kind = ReadingValue::Kind;

const Words kEngineWords = {"cold", "warm", "hot"};
const Words kPlugWords = {"all out", "one out"};
const Words kThrottleWords = {"open", "closed"};
const Words kPistonWords = {"top", "down"};

const Words& test_words() {
  static const Words kWords = {"compression", "leak_down",      "starter_current", "pressure_hold",
                               "cold_rise",   "gas_in_coolant", "water_in_oil",    "release_torque"};
  return kWords;
}

// No gauge at cranking speed shows more; above the lower figure a spark-ignition engine is wet or the unit is wrong. Common practice, no
// source.
constexpr double kHighestCompression_bar = 60;
constexpr double kHighestPetrolCompression_bar = 25;
constexpr double kHighestLeakDown_bar = 25;

bool is_bar(const std::string& text) { return split_number_and_unit(text).unit == "bar"; }

/// "170 bar" on a compression gauge is a psi figure.
void check_pressure(TableReader& reader, const Document& node, const ReadingValue& value, const Reading& reading,
                    const EngineInHand& in_hand, const std::string& name) {
  const double bar = value.pressure.bar();
  const bool compression = reading.test == ReadingTest::kCompression;
  const double highest = compression ? kHighestCompression_bar : kHighestLeakDown_bar;
  const double low_end = compression ? -0.001 : -1;
  if (!(bar >= low_end && bar <= highest)) {
    const std::string mend =
        is_bar(value.text) && bar > 0 ? fmt::format("did you mean \"{} psi\"?", split_number_and_unit(value.text).number) : "";
    reader.refuse(node, fmt::format("{} is {}", name, value.text), fmt::format("0 bar to {} bar on the gauge", number_text(highest)), mend);
  } else if (compression && bar > kHighestPetrolCompression_bar && in_hand.engine.general.fuel == joint::Fuel::kPetrol) {
    reader.warn(node, fmt::format("{} is {}: more than a petrol engine reaches when cranked", name, value.text), {},
                "check the unit; liquid in the cylinder reads far too high: mark the reading `void` then");
  }
}

ReadingValue read_value(TableReader& reader, const Document& node, const Reading& reading, const EngineInHand& in_hand,
                        const std::string& name) {
  ReadingValue value;
  value.place = node.place();
  if (!node.is_text()) {
    const std::string number = node.is_number() ? number_text(node.number()) : "12.1";
    reader.refuse(node, fmt::format("{} is {}", name, node.is_number() ? number + " without a unit" : node.kind_text()),
                  "a pressure with its unit in quotes, \"\" when not taken, or \"inaccessible\"", fmt::format("write \"{} bar\"", number));
    return value;
  }
  value.text = std::string(trimmed(node.text()));
  if (value.text.empty()) return value;
  if (value.text == "inaccessible") {
    value.kind = Kind::kInaccessible;
    return value;
  }
  if (split_number_and_unit(value.text).unit == "%") {
    joint::OptionalFigure<joint::Share> share;
    Document holder;
    holder.set(name, node);
    TableReader inner(holder, {}, reader.problems());
    joint::figure(inner, name, share, "0 %", "100 %");
    if (reading.test == ReadingTest::kCompression) reader.refuse(node, fmt::format("{} is in per cent", name), "a pressure for this test");
    if (!share) return value;
    value.kind = Kind::kLoss;
    value.loss = share->value.fraction;
    value.step_si = share->step_si;
    return value;
  }
  if (reading.test == ReadingTest::kStarterCurrent) {
    reader.refuse(node, fmt::format("{} is {}", name, value.text), "per cent of the strongest pull: \"96 %\"");
    return value;
  }
  const auto typed = parse_typed<GaugePressure>(value.text);
  if (!typed) {
    reader.refuse(node, name, typed.problems());
    return value;
  }
  value.kind = Kind::kPressure;
  value.pressure = typed->value;
  value.step_si = typed->step_si;
  check_pressure(reader, node, value, reading, in_hand, name);
  return value;
}

void read_values(TableReader& reader, Reading& reading, const EngineInHand& in_hand) {
  if (reader.required("values") == nullptr) return;
  const Array* values = reader.list("values");
  if (values == nullptr) return;
  const auto cylinders = static_cast<std::size_t>(in_hand.engine.general.cylinders);
  if (in_hand.known && cylinders > 0 && values->size() != cylinders)
    reader.refuse(*reader.find("values"),
                  fmt::format("{} has {} values for {} cylinders", name_of(reading.test), values->size(), cylinders),
                  "one value for each cylinder, cylinder 1 first", "write \"\" for a cylinder that was not measured");
  constexpr std::size_t kMostValues = 64;
  for (const Document& node : *values) {
    if (reading.values.size() >= kMostValues) break;
    const std::string name = fmt::format("{} of cylinder {}", name_of(reading.test), reading.values.size() + 1);
    reading.values.push_back(read_value(reader, node, reading, in_hand, name));
  }
}

/// The step of a gauge: a pressure, or per cent on a tester that shows loss.
void read_resolution(TableReader& reader, Reading& reading) {
  const Document* node = reader.find("resolution");
  const Document* value = node != nullptr && node->is_table() ? node->find("value") : node;
  if (value != nullptr && value->is_text() && split_number_and_unit(value->text()).unit == "%")
    joint::figure(reader, "resolution", reading.loss_resolution, "0.01 %", "50 %");
  else
    joint::figure(reader, "resolution", reading.resolution, "0.001 bar", "10 bar");
}

/// What must hold between supply and readings of a leak-down test.
void check_leak_down(TableReader& reader, const Reading& reading) {
  if (reading.test != ReadingTest::kLeakDown) return;
  const bool pressures = std::any_of(reading.values.begin(), reading.values.end(), [](const auto& v) { return v.kind == Kind::kPressure; });
  const bool losses = std::any_of(reading.values.begin(), reading.values.end(), [](const auto& v) { return v.kind == Kind::kLoss; });
  const Document& values = *reader.find("values");
  if (pressures && losses) reader.refuse(values, "leak_down mixes pressures and per cent", "one or the other");
  if (pressures && !reading.supply) {
    reader.refuse(values, "leak_down gives pressures, but no `supply`", "the regulator's pressure, such as supply = \"80 psi\"");
    return;
  }
  for (std::size_t i = 0; pressures && i < reading.values.size(); ++i) {
    const ReadingValue& value = reading.values[i];
    if (value.kind == Kind::kPressure && value.pressure > reading.supply->value)
      reader.refuse(values.array()[i],
                    fmt::format("leak_down of cylinder {} ({}) is above the supply ({})", i + 1, value.text, reading.supply->text),
                    "at most the supply pressure");
  }
}

/// Keys with the same meaning whether read or written.
template <class Io, class R>
void describe_conditions(Io& io, R& reading) {
  joint::figure(io, "supply", reading.supply, "0.1 bar", "15 bar");
  joint::figure(io, "orifice", reading.orifice, "0.1 mm", "10 mm");
  io.text("tool", reading.tool);
  io.integer("strokes", reading.strokes, 1, 100);
  io.text("taken", reading.taken);
  io.text("note", reading.note);
  io.text("void", reading.void_reason);
}

/// What a test that is taken once, or bolt by bolt, shows.
template <class Io, class R>
void describe_single(Io& io, R& reading) {
  joint::figure(io, "start", reading.start, "0 bar", "3 bar");
  joint::figure(io, "end", reading.end, "0 bar", "4 bar");
  joint::figure(io, "duration", reading.duration, "1 s", "72 h");
  joint::figure(io, "carbon_dioxide", reading.carbon_dioxide, "0 %", "25 %");
  joint::figure(io, "hydrocarbons_ppm", reading.hydrocarbons_ppm, 0, 100000);
  joint::figure(io, "water", reading.water, "0 %", "100 %");
  io.integer("head", reading.head, 1, 64);
}

void read_torques(TableReader& reader, Reading& reading) {
  constexpr std::size_t kMostBolts = 200;
  const Array* list = reader.list("torques");
  if (list == nullptr) return;
  for (const Document& node : *list) {
    if (reading.torques.size() >= kMostBolts) break;
    joint::OptionalFigure<Torque> torque;
    Document holder;
    holder.set("torque", node);
    TableReader inner(holder, {}, reader.problems());
    joint::figure(inner, "torque", torque, "0 N.m", "2000 N.m");
    if (torque) reading.torques.push_back(*torque);
  }
}

template <class Io, class Band>
void describe_leak(Io& io, Band& leak) {
  constexpr const char *kLeast = "0 mm2", *kMost = "1000 mm2";
  joint::figure(io, "area", leak.area, kLeast, kMost);
  joint::figure(io, "low", leak.low, kLeast, kMost);
  joint::figure(io, "high", leak.high, kLeast, kMost);
}

/// One table per cylinder, empty where nothing was found out.
void read_leaks(TableReader& reader, Reading& reading) {
  reader.tables("leaks", reading.leaks, describe_leak<TableReader, LeakBand>);
  if (reading.leaks.empty()) return;
  const Document& list = *reader.find("leaks");
  if (reading.leaks.size() != reading.values.size())
    reader.refuse(list, fmt::format("leaks has {} entries for {} values", reading.leaks.size(), reading.values.size()),
                  "one table per cylinder, {} where nothing is known");
  for (const LeakBand& leak : reading.leaks)
    if (leak.area && leak.low && leak.high && !(leak.low->value <= leak.area->value && leak.area->value <= leak.high->value))
      reader.refuse(list, "a leak does not lie between its low and its high", "low <= area <= high");
}

Array leaks_of(const Reading& reading) {
  Array list;
  for (const LeakBand& band : reading.leaks) {
    TableWriter writer;
    describe_leak(writer, band);
    list.push_back(writer.take());
  }
  return list;
}

/// Refuses a reading that lacks what its test is about.
void check_complete(TableReader& reader, const Reading& reading, int heads) {
  const auto need = [&](bool there, const char* what, const char* example) {
    if (!there) reader.refuse(reader.document(), fmt::format("{} has no {}", name_of(reading.test), what), {}, example);
  };
  switch (reading.test) {
    case ReadingTest::kPressureHold:
    case ReadingTest::kColdRise:
      need(reading.start.has_value(), "`start`", "start = \"1.0 bar\"");
      need(reading.end.has_value(), "`end`", "end = \"0.9 bar\"");
      need(reading.duration.has_value(), "`duration`", "duration = \"10 min\"");
      break;
    case ReadingTest::kGasInCoolant:
      need(reading.carbon_dioxide || reading.hydrocarbons_ppm, "gas", "carbon_dioxide = \"0.4 %\" or hydrocarbons_ppm = 120");
      break;
    case ReadingTest::kWaterInOil:
      need(reading.water.has_value(), "`water`", "water = \"0.2 %\"");
      break;
    case ReadingTest::kReleaseTorque:
      need(reading.torques.size() > 2, "`torques` of three bolts or more", "torques = [\"85 N.m\", \"80 N.m\", \"40 N.m\"]");
      if (heads > 0 && reading.head.value_or(1) > heads)
        reader.refuse(*reader.find("head"), fmt::format("head {} is not on this engine", *reading.head), fmt::format("1 to {}", heads));
      break;
    case ReadingTest::kCompression:
    case ReadingTest::kLeakDown:
    case ReadingTest::kStarterCurrent:
      break;
  }
}

void read_word(TableReader& reader, const std::string& key, std::string& into, const Words& words) {
  reader.text(key, into);
  if (!into.empty()) check_word(reader, *reader.find(key), key, into, words);
}

}  // namespace

const Reading* last_reading(const Job& job, ReadingTest test) {
  const auto found = std::find_if(job.readings.rbegin(), job.readings.rend(),
                                  [&](const Reading& reading) { return reading.test == test && reading.counts(); });
  return found == job.readings.rend() ? nullptr : &*found;
}

TakenOf taken_of(ReadingTest test) {
  switch (test) {
    case ReadingTest::kCompression:
    case ReadingTest::kLeakDown:
    case ReadingTest::kStarterCurrent:
      return TakenOf::kCylinders;
    case ReadingTest::kReleaseTorque:
      return TakenOf::kBolts;
    default:
      return TakenOf::kEngine;
  }
}

std::span<const ReadingTest> reading_tests() {
  static constexpr std::array kTests = {ReadingTest::kCompression,  ReadingTest::kLeakDown,     ReadingTest::kStarterCurrent,
                                        ReadingTest::kPressureHold, ReadingTest::kColdRise,     ReadingTest::kGasInCoolant,
                                        ReadingTest::kWaterInOil,   ReadingTest::kReleaseTorque};
  return kTests;
}

std::string_view name_of(ReadingTest test) { return test_words()[static_cast<std::size_t>(test)]; }

void read_reading(TableReader& reader, Reading& reading, const EngineInHand& in_hand) {
  reading.place = reader.document().place();
  (void)reader.required("test");
  reader.choice("test", reading.test, test_words());
  describe_conditions(reader, reading);
  read_resolution(reader, reading);
  read_word(reader, "engine", reading.engine, kEngineWords);
  read_word(reader, "plugs", reading.plugs, kPlugWords);
  read_word(reader, "throttle", reading.throttle, kThrottleWords);
  read_word(reader, "piston", reading.piston, kPistonWords);
  describe_single(reader, reading);
  read_torques(reader, reading);
  if (taken_of(reading.test) == TakenOf::kCylinders) {
    read_values(reader, reading, in_hand);
    if (reading.test == ReadingTest::kStarterCurrent) read_leaks(reader, reading);
    if (reader.find("values") != nullptr) check_leak_down(reader, reading);
  }
  check_complete(reader, reading, in_hand.known ? joint::head_count(in_hand.engine) : 0);
}

Document write_reading(const Reading& reading) {
  TableWriter writer;
  writer.choice("test", reading.test, test_words());
  Array values;
  for (const ReadingValue& value : reading.values) {
    joint::Figure<GaugePressure> pressure{value.pressure, value.text, 0, {}, {}, {}};
    joint::Figure<joint::Share> loss{{value.loss}, value.text, 0, {}, {}, {}};
    const std::string text = value.kind == Kind::kPressure       ? joint::figure_text(pressure)
                             : value.kind == Kind::kLoss         ? joint::figure_text(loss)
                             : value.kind == Kind::kInaccessible ? "inaccessible"
                                                                 : "";
    values.emplace_back(text);
  }
  if (!values.empty()) writer.put("values", std::move(values));
  if (!reading.leaks.empty()) writer.put("leaks", leaks_of(reading));
  describe_single(writer, reading);
  Array torques;
  for (const auto& torque : reading.torques) torques.emplace_back(joint::figure_text(torque));
  if (!torques.empty()) writer.put("torques", std::move(torques));
  joint::figure(writer, "resolution", reading.resolution, "", "");
  joint::figure(writer, "resolution", reading.loss_resolution, "", "");
  writer.text("engine", reading.engine);
  writer.text("plugs", reading.plugs);
  writer.text("throttle", reading.throttle);
  writer.text("piston", reading.piston);
  describe_conditions(writer, reading);
  return writer.take();
}

}  // namespace headjoint::jobs
