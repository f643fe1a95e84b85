#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "headjoint/assess/cooling_input.h"
#include "headjoint/assess/knowledge.h"
#include "headjoint/assess/log_words.h"
#include "headjoint/assess/operation_table.h"
#include "headjoint/assess/results_document_traces.h"
#include "headjoint/assess/trace_input.h"
#include "headjoint/base/text.h"
#include "headjoint/coolant/cap.h"
#include "headjoint/coolant/coolant_log.h"
#include "headjoint/coolant/head_tank.h"

namespace headjoint::assess {
namespace {

enum Wish : std::size_t { kTemperature, kSpeed, kLoad, kPressure };

/// The cooling system of --engine and the options.
CoolingFacts facts_of(const Request& request, OptionReader& options) {
  Request asked;
  asked.options = request.options;
  if (const auto file = request.files.find("engine"); file != request.files.end()) {
    const OptionFile& given = file->second;
    auto document = trimmed(given.text).starts_with('{') ? read_json(given.text, given.source) : read_toml(given.text, given.source);
    if (document)
      asked.input = *document;
    else
      options.add(document.problems());
    asked.source = given.source;
    asked.read_beside = given.read_beside;
  }
  return cooling_facts(asked, options, {.coolant = true, .cap = true, .ambient = true, .volume = true});
}

std::vector<traces::ChannelWish> log_channels(const Request& request) {
  traces::ChannelWish temperature, speed, load, pressure;
  temperature.column = request.option("column");
  temperature.unit = "degC";
  temperature.given_unit = request.option("unit");
  temperature.words = {"cool", "ect", "water", "temp"};
  speed.unit = "km/h";
  speed.words = {"vehicle speed", "road speed", "vss", "speed"};
  load.unit = "%";
  load.words = {"load"};
  pressure.unit = "bar";
  pressure.words = {"coolant pressure", "pressure"};
  for (traces::ChannelWish* wish : {&speed, &load, &pressure}) wish->is_optional = true;
  return {temperature, speed, load, pressure};
}

coolant::CoolantLog log_of(const traces::Recording& recording) {
  coolant::CoolantLog log;
  const traces::Signal& first = recording.channels.front().signal;
  for (std::size_t i = 0; i < first.values.size(); ++i) log.time_s.push_back(first.time_s(static_cast<double>(i)));
  for (const traces::Channel& channel : recording.channels) {
    const std::vector<float>& values = channel.signal.values;
    std::vector<double> column(values.begin(), values.end());
    if (channel.wish == kTemperature)
      log.temperature_C = std::move(column);
    else if (channel.wish == kSpeed && channel.unit == "km/h")
      log.road_speed_km_h = std::move(column);
    else if (channel.wish == kLoad)
      log.load_percent = std::move(column);
    else if (channel.wish == kPressure && channel.unit == "bar")
      log.gauge_pressure_bar = std::move(column);
  }
  return log;
}

/// What the closed head tank makes of warming by itself, at the top of its band.
std::function<double(double, double, double)> normal_pressure(const CoolingFacts& facts) {
  coolant::HeadTank tank;
  tank.coolant = facts.coolant;
  tank.coolant_volume = facts.coolant_volume;
  tank.cap = facts.cap;
  tank.ambient = facts.ambient;
  return [tank](double from_C, double to_C, double from_bar) mutable {
    tank.closed_at = Temperature::from_celsius(std::clamp(from_C, -20.0, 60.0));
    tank.closed_pressure = GaugePressure::from_pascal(std::clamp(from_bar * 1e5, -0.1e5, tank.cap.pascal()));
    return coolant::tank_pressure(tank, Temperature::from_celsius(std::clamp(to_C, -20.0, 130.0))).high.bar();
  };
}

Problem refused(const Request& request, const coolant::LogFinding& finding) {
  const Place place{request.source, 0, 0, {}};
  if (finding.status != coolant::LogFinding::Status::kNoSensor) return {place, "the log holds no temperatures", "two samples or more", {}};
  const bool is_open = finding.signatures.front().sign == coolant::LogSign::kSensorOpen;
  return {
      place,
      is_open ? "the sensor shows -40 °C throughout: its wire or plug is open" : "the sensor shows 215 °C throughout: its wire is shorted",
      "a temperature that moves", "mend the sensor's wiring and record again"};
}

Result<Reply> run_coolant_log(const Request& request) {
  OptionReader options(request);
  const CoolingFacts facts = facts_of(request, options);
  traces::ReadingWishes wishes = reading_wishes(request, options);
  const auto limit = options.quantity<Temperature>("limit"), thermostat = options.quantity<Temperature>("thermostat");
  if (!request.stream) options.refuse("", "the log is missing", "a table with time and temperature");
  if (has_errors(options.problems())) return options.problems();
  wishes.channels = log_channels(request);
  wishes.working_rate_Hz = 10;
  auto recording = traces::read_recording(*request.stream, request.source, wishes);
  if (!recording) return recording.problems();
  if (const auto problem = lacks_numbers(*recording)) return *problem;
  if (recording->channels.front().unit != "degC")
    return Problem{{request.source, 0, 0, {}},
                   "the column \"" + recording->channels.front().name + "\" is not known to be a temperature",
                   "degC, degF or K",
                   "--unit degC says it, --column names another one"};
  coolant::LogQuestion question;
  const coolant::BoilMargin boiling = coolant::boil_margin(facts.coolant, facts.cap, facts.ambient);
  question.boils_cap_good = boiling.boiling.value;
  question.boils_no_cap = boiling.boiling_no_cap.value;
  if (limit) question.limit = limit->value;
  if (thermostat) {
    question.engine.opens = thermostat->value;
    question.engine.full = thermostat->value + TemperatureDifference::from_si(13);
  }
  question.highest_normal_bar = normal_pressure(facts);
  question.boils_at_C = [&facts](double gauge_bar) {
    const double bar = std::clamp(facts.ambient.bar() + gauge_bar, 0.2, 6.0);
    return coolant::boiling_temperature(facts.coolant, AbsolutePressure::from_pascal(bar * 1e5)).value.celsius();
  };
  const coolant::CoolantLog log = log_of(*recording);
  const coolant::LogFinding finding = coolant::judge_log(log, question);
  if (finding.status != coolant::LogFinding::Status::kJudged) return refused(request, finding);
  CoolantLogReply shown = log_reply(finding, question, log);
  shown.file = file_facts(*recording);
  for (const std::string& note : reading_notes(*recording)) shown.notes.push_back(note);
  for (const std::string& note : facts.assumed) shown.notes.push_back("assumed: " + note);
  shown.cautions = cautions_of({"hot_coolant"});
  Reply reply;
  reply.window = window_of(curve_of(std::move(recording).value()));
  reply.document = to_document(shown);
  reply.answer_is_no = !finding.episodes.empty();
  reply.warnings = facts.warnings;
  reply.content = std::move(shown);
  return reply;
}

}  // namespace

Operation coolant_log_operation() {
  return {
      .name = "coolant-log",
      .summary = "a log of the coolant's temperature: how hot, how long, how near to boiling, and what the curve gives away",
      .argument = "FILE",
      .input = InputKind::kStream,
      .options = {{"engine", "FILE", "engine or job: coolant, cap, altitude", OptionKind::kFile},
                  {"column", "NAME", "of the coolant's temperature, when it is not found by name and unit"},
                  {"unit", "UNIT", "of that column, when its header does not say: degC, degF"},
                  {"limit", "TEMPERATURE", "above it damage is counted; 115 degC when not given"},
                  {"thermostat", "TEMPERATURE", "opens at; 82 degC when not given"},
                  cooling_option::kGlycol,
                  cooling_option::kCap,
                  cooling_option::kAltitude,
                  cooling_option::kAmbient,
                  cooling_option::kVolume,
                  trace_option::kRate,
                  trace_option::kTimeUnit,
                  trace_option::kSeparator},
      .keys = "episodes[], peak_degC, dose_K_min, signatures[]",
      .run = run_coolant_log,
      .second_argument = "engine",
      .takes_long = true,
  };
}

}  // namespace headjoint::assess
