#include "headjoint/assess/trace_question.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "headjoint/assess/engine_input.h"
#include "headjoint/assess/trace_input.h"
#include "headjoint/base/text.h"
#include "headjoint/joint/places.h"

namespace headjoint::assess {
namespace {

struct KindRow {
  const char* name;
  const char* unit;
  std::optional<traces::CrankingKind> cranking;
  std::vector<std::string> words;
};
const std::array<KindRow, 4>& kinds() {
  static const std::array<KindRow, 4> rows{
      {{"starter-current", "A", traces::CrankingKind::kStarterCurrent, {"current", "starter", "clamp"}},
       {"battery-voltage", "V", traces::CrankingKind::kBatteryVoltage, {"battery", "voltage"}},
       {"crank-speed", "rpm", traces::CrankingKind::kCrankSpeed, {"speed", "rpm"}},
       {"coolant-pressure", "bar", std::nullopt, {"pressure", "coolant"}}}};
  return rows;
}

void take_kind(const Request& request, OptionReader& options, TraceQuestion& question) {
  question.kind = request.option("kind");
  const auto row = std::find_if(kinds().begin(), kinds().end(), [&](const KindRow& one) { return one.name == question.kind; });
  if (row == kinds().end()) {
    options.refuse("--kind", question.kind.empty() ? "what was recorded is not said" : "\"" + question.kind + "\" is no kind of trace",
                   "starter-current, battery-voltage, crank-speed or coolant-pressure");
    return;
  }
  question.cranking = row->cranking;
  traces::ChannelWish main;
  main.column = request.option("column");
  main.unit = row->unit;
  main.given_unit = request.option("unit");
  main.scale = request.option("scale");
  main.full_scale = request.option("full-scale");
  main.words = row->words;
  question.channels.push_back(main);
  const std::string sync = request.option("sync");
  question.has_sync = !sync.empty();
  if (question.has_sync) {
    traces::ChannelWish pulse;
    pulse.column = sync;
    pulse.is_pulse = true;
    question.channels.push_back(pulse);
  }
}

/// "60-2"; "60" is a wheel without a gap.
void take_wheel(const Request& request, OptionReader& options, TraceQuestion& question) {
  const std::string text = request.option("teeth");
  if (text.empty()) return;
  const std::vector<std::string_view> parts = split(text, '-');
  const auto teeth = parse_number(trimmed(parts.front())),
             missing = parts.size() == 2 ? parse_number(trimmed(parts[1])) : std::optional(0.0);
  const auto is_whole = [](const std::optional<double>& number, double least, double most) {
    return number && *number == std::floor(*number) && *number >= least && *number <= most;
  };
  if (question.kind != "crank-speed" || parts.size() > 2 || !is_whole(teeth, 6, 400) || !is_whole(missing, 0, 4)) {
    options.refuse("--teeth",
                   question.kind != "crank-speed" ? "teeth belong to --kind crank-speed" : "\"" + text + "\" is no toothed wheel",
                   "teeth and missing teeth of the crank's wheel, such as 60-2, 36-1 or 60");
    return;
  }
  question.wheel = {static_cast<int>(*teeth), static_cast<int>(*missing)};
  question.channels.front().unit = "V";
  question.channels.front().words = {"crank", "tooth", "teeth", "flywheel"};
}

/// The engine's own figures; what it does not say stays as usual.
void take_engine(const joint::Engine& engine, TraceQuestion& question) {
  const joint::General& general = engine.general;
  question.cylinders = general.cylinders;
  question.firing_order = general.firing_order;
  for (const joint::Bridge& bridge : joint::bridges(engine)) question.neighbours.emplace_back(bridge.first, bridge.second);
  traces::CylinderShape& shape = question.engine.shape;
  if (general.bore) shape.bore = general.bore->value;
  if (general.stroke) shape.stroke = general.stroke->value;
  if (general.rod_length)
    shape.rod = general.rod_length->value;
  else
    shape.rod = 1.75 * shape.stroke;
  if (general.compression_ratio) shape.compression_ratio = general.compression_ratio->value;
  if (general.intake_closes) shape.intake_closes = general.intake_closes->value;
  if (general.exhaust_opens) shape.exhaust_opens = general.exhaust_opens->value;
  question.has_shape = general.bore && general.stroke && general.compression_ratio;
}

void take_firing_order(const Request& request, TraceQuestion& question) {
  const std::string text = request.option("firing-order");
  if (text.empty()) return;
  question.firing_order.clear();
  for (const std::string_view part : split(text, text.find('-') != std::string::npos ? '-' : ',')) {
    const auto number = parse_number(trimmed(part));
    question.firing_order.push_back(number ? static_cast<int>(*number) : 0);
  }
}

/// Starter, crank and friction of the worked example belong to 1.6 litres; they grow with the displacement.
void scale_starter(TraceQuestion& question) {
  const traces::CylinderShape& shape = question.engine.shape;
  const double litres = 785.4 * shape.bore.si() * shape.bore.si() * shape.stroke.si() * question.cylinders, factor = litres / 1.6085;
  if (!(factor > 0.1 && factor < 50)) return;
  traces::Starter& starter = question.engine.starter;
  starter.inertia_kgm2 *= factor;
  starter.friction_Nm *= factor;
  starter.drag_Nms *= factor;
  starter.circuit_ohm /= factor;
  starter.battery_ohm /= factor;
}

void check_engine(OptionReader& options, TraceQuestion& question) {
  if (question.cylinders == 0) question.cylinders = static_cast<int>(question.firing_order.size());
  const int least = question.cranking ? 2 : 1;
  if (question.cylinders < least || question.cylinders > 16) {
    options.refuse("--cylinders", question.cylinders == 0 ? "the number of cylinders is not known" : "cylinders cannot be compared",
                   fmt::format("{} to 16, or an engine file with --engine", least));
    return;
  }
  std::vector<int> sorted = question.firing_order;
  std::sort(sorted.begin(), sorted.end());
  for (std::size_t i = 0; i < sorted.size(); ++i)
    if (sorted[i] != static_cast<int>(i) + 1 || sorted.size() != static_cast<std::size_t>(question.cylinders)) {
      options.refuse("--firing-order", "the firing order does not name every cylinder once",
                     fmt::format("{} numbers such as 1,3,4,2", question.cylinders));
      return;
    }
  if (question.has_sync && question.sync_cylinder > question.cylinders)
    options.refuse("--sync-cylinder", "there is no such cylinder", fmt::format("1 to {}", question.cylinders));
  if (!question.firing_order.empty()) question.engine.firing_order = question.firing_order;
  scale_starter(question);
}

}  // namespace

TraceQuestion trace_question(const Request& request, OptionReader& options) {
  TraceQuestion question;
  take_kind(request, options, question);
  if (!question.channels.empty()) take_wheel(request, options, question);
  if (request.files.contains("engine")) {
    const auto engine = engine_input(request, "engine");
    if (engine) {
      take_engine(engine->engine, question);
      question.named = engine->engine;
      question.warnings = engine->warnings;
    } else {
      options.add(engine.problems());
    }
  }
  if (const auto cylinders = whole_option(request, options, "cylinders", 1, 16)) question.cylinders = *cylinders;
  take_firing_order(request, question);
  question.sync_cylinder = whole_option(request, options, "sync-cylinder", 1, 16).value_or(1);
  if (const auto angle = options.quantity<Angle>("sync-angle")) question.sync_deg = angle->value.degrees();
  if (!has_errors(options.problems())) check_engine(options, question);
  return question;
}

}  // namespace headjoint::assess
