#include <fmt/format.h>

#include <algorithm>

#include "headjoint/assess/clamp_input.h"
#include "headjoint/assess/operation_table.h"
#include "headjoint/assess/results_document.h"
#include "headjoint/assess/results_document_clamp.h"
#include "headjoint/base/text.h"
#include "headjoint/clamp/wrench_log.h"

namespace headjoint::assess {
namespace {

/// Thread, bearing and preload per degree from the engine, for estimates of the preload.
void take_bolts(const clamp::ClampModel& model, clamp::WrenchLogOptions& options, WrenchLogAnswer& answer) {
  const clamp::BoltRow& bolts = model.bolts;
  if (!bolts.thread) return;
  options.thread = bolts.thread;
  const Length hole = bolts.hole_diameter.si() > 0 ? bolts.hole_diameter : bolts.thread->diameter;
  options.mean_bearing = clamp::mean_bearing_diameter(bolts.washer_diameter, hole);
  // The head under one bolt yields by its own compliance in the joint.
  const std::vector<double> influence = clamp::bolt_influence_mm_per_N(model, {.grid = Length::from_si(0.010)});
  double members = 0;
  const std::size_t count = bolts.at.size();
  for (std::size_t i = 0; i < count; ++i) members += influence[i * count + i] / static_cast<double>(count);
  const double compliance = members + 1e3 / bolts.stiffness.si();
  options.preload_per_degree_N = bolts.thread->pitch.si() * 1e3 / 360 / compliance;
  answer.notes.push_back(
      fmt::format("Preloads from {} N per degree: bolt and head together, closed gasket.", number_text(*options.preload_per_degree_N, 3)));
}

LoggedBolt logged(const clamp::BoltReading& reading) {
  constexpr const char* kFlags[] = {"", "yield", "odd", "short trace"};
  return {reading.bolt,  reading.snug_Nm,   reading.slope_Nm_per_deg, reading.final_Nm,   reading.final_deg,
          reading.yield, reading.yield_deg, reading.friction,         reading.preload_kN, kFlags[static_cast<std::size_t>(reading.flag)],
          reading.why};
}

std::string sentence_of(const std::vector<LoggedBolt>& bolts) {
  std::vector<int> yields, odd;
  for (const LoggedBolt& bolt : bolts) {
    if (bolt.yield) yields.push_back(bolt.number);
    if (bolt.flag == "odd") odd.push_back(bolt.number);
  }
  std::string text = fmt::format("{} bolt{} read", bolts.size(), bolts.size() == 1 ? "" : "s");
  if (!yields.empty()) text += fmt::format("; bolt {} yielded", numbers_text(yields));
  if (!odd.empty()) text += fmt::format("; bolt {} stands apart from the others", numbers_text(odd));
  return text + (yields.empty() && odd.empty() ? "; none yielded, none stands apart." : ".");
}

Result<Reply> run_wrench_log(const Request& request) {
  if (!request.input.is_text())
    return Problem{{request.source, 0, 0, {}}, "the log is missing", "a CSV table with bolt, angle and torque", {}};
  OptionReader options(request);
  clamp::WrenchLogOptions log_options;
  WrenchLogAnswer answer;
  if (const auto window = options.quantity<Angle>("window")) log_options.window = window->value;
  Problems warnings;
  if (request.files.contains("engine")) {
    const auto engine = engine_input(request, "engine");
    if (!engine) return engine.problems();
    const auto model = clamp::from_engine(engine->engine);
    if (!model) return model.problems();
    warnings = engine->warnings;
    take_bolts(*model, log_options, answer);
  } else {
    answer.notes.emplace_back("Name the engine file as well to have friction and preloads estimated.");
  }
  const auto traces = clamp::read_wrench_log(request.input.text(), request.source);
  if (!traces) options.add(traces.problems());
  if (has_errors(options.problems())) return options.problems();
  try {
    for (const clamp::BoltReading& reading : clamp::read_traces(*traces, log_options)) answer.bolts.push_back(logged(reading));
  } catch (const InputError& error) {
    return option_problem(error);
  }
  answer.notes.emplace_back("The yield point a trace shows is an approximation, as is the snug torque.");
  answer.sentence = sentence_of(answer.bolts);
  Reply reply;
  reply.document = assess::answer();
  merge_members(reply.document, to_document(answer));
  reply.warnings = std::move(warnings);
  reply.content = std::move(answer);
  return reply;
}

}  // namespace

Operation wrench_log_operation() {
  return {
      .name = "wrench-log",
      .summary = "what a wrench that records torque and angle says of each bolt: snug, slope, yield, the odd one out",
      .argument = "FILE",
      .input = InputKind::kText,
      .options = {{"engine", "FILE", "engine or job file: friction and preloads are estimated from its bolts", OptionKind::kFile},
                  {"window", "ANGLE", "over which the slope is taken: 5 deg when not given; 10 deg by hand"}},
      .keys = "bolts[]{number, snug, slope_Nm_per_deg, final_Nm, final_deg, yield, yield_deg, friction, preload_kN, flag, why}, notes[]",
      .run = run_wrench_log,
      .second_argument = "engine",
  };
}

}  // namespace headjoint::assess
