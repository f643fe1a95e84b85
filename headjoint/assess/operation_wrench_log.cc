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

/// "bolt 1", "bolts 1, 2 and 3"
std::string bolts_text(const std::vector<int>& numbers) { return (numbers.size() == 1 ? "bolt " : "bolts ") + numbers_text(numbers); }

/// Numbers of the bolts for which something holds.
template <class Bolt, class Holds>
std::vector<int> numbers_where(const std::vector<Bolt>& bolts, Holds holds) {
  std::vector<int> numbers;
  for (const Bolt& bolt : bolts)
    if (holds(bolt)) numbers.push_back(bolt.bolt);
  return numbers;
}

/// Bends at a force that is not the one at which this bolt yields, at the friction its own slope shows.
bool bends_elsewhere(const clamp::BoltReading& reading, const clamp::BoltRow& bolts) {
  if (!reading.yield || !reading.yield_Nm || !reading.preload_kN || !bolts.thread || !bolts.yield || !(reading.final_Nm > 0)) return false;
  constexpr double kLeast = 0.85, kMost = 1.15;
  const clamp::Friction friction{*reading.friction, *reading.friction};
  const double yields_kN = clamp::preload_at_yield(*bolts.thread, friction, *bolts.yield, 1, bolts.waist).si() * 1e-3;
  const double share = *reading.preload_kN * *reading.yield_Nm / reading.final_Nm / yields_kN;
  return !(share >= kLeast && share <= kMost);
}

/// What the readings say beside the engine file's friction and preload.
void compare_with_file(const std::vector<clamp::BoltReading>& readings, const clamp::ClampModel& model, bool friction_given,
                       WrenchLogAnswer& answer) {
  constexpr double kLeastPreload = 0.8, kRounding = 0.005;  // friction is given to two places
  const double least = model.bolts.friction_least, most = model.bolts.friction_most;
  const auto outside = numbers_where(readings, [&](const clamp::BoltReading& r) {
    return r.friction && !(*r.friction >= least - kRounding && *r.friction <= most + kRounding);
  });
  if (friction_given && !outside.empty())
    answer.notes.push_back(fmt::format("Friction outside the {} to {} of the engine file: {}.", number_text(least, 2), number_text(most, 2),
                                       bolts_text(outside)));
  const auto unexplained = numbers_where(
      readings, [&](const clamp::BoltReading& r) { return r.slope_Nm_per_deg && !r.friction && model.bolts.thread.has_value(); });
  if (!unexplained.empty())
    answer.notes.push_back(
        fmt::format("No friction from 0.02 to 0.6 explains the slope, so no preload is given: {}.", bolts_text(unexplained)));
  if (!model.preload) return;
  const double asked_kN = model.preload->si() * 1e-3;
  const auto loose =
      numbers_where(readings, [&](const clamp::BoltReading& r) { return r.preload_kN && *r.preload_kN < kLeastPreload * asked_kN; });
  if (!loose.empty())
    answer.notes.push_back(
        fmt::format("Preload below 0.8 of the {} kN of the engine file: {}.", number_text(asked_kN, 3), bolts_text(loose)));
}

/// A log with more bolts than the head has is not this engine's.
void check_numbers(const std::vector<clamp::BoltTrace>& traces, std::size_t count, const std::string& source, OptionReader& options) {
  const auto foreign = numbers_where(traces, [&](const clamp::BoltTrace& t) { return t.bolt > static_cast<int>(count); });
  if (!foreign.empty())
    options.refuse(source, fmt::format("the engine has no {}", bolts_text(foreign)), fmt::format("bolt numbers 1 to {}", count));
}

std::string sentence_of(const std::vector<LoggedBolt>& bolts, const std::vector<int>& elsewhere) {
  constexpr std::size_t kFewestToCompare = 3;
  std::vector<int> yields, odd;
  std::size_t unread = 0;
  for (const LoggedBolt& bolt : bolts) {
    const bool is_elsewhere = std::find(elsewhere.begin(), elsewhere.end(), bolt.number) != elsewhere.end();
    if (bolt.yield && !is_elsewhere) yields.push_back(bolt.number);
    if (bolt.flag == "odd") odd.push_back(bolt.number);
    if (bolt.flag == "short trace") ++unread;
  }
  if (unread == bolts.size()) return fmt::format("{} of {} could not be read.", unread, bolts.size());
  const std::size_t read = bolts.size() - unread;
  std::string text = fmt::format("{} bolt{} read", read, read == 1 ? "" : "s");
  if (unread > 0) text += fmt::format(", {} of {} could not be read", unread, bolts.size());
  if (!yields.empty()) text += fmt::format("; {} yielded", bolts_text(yields));
  if (!elsewhere.empty())
    text += fmt::format("; {}, but not at the force where this bolt yields",
                        bolts_text(elsewhere) + (elsewhere.size() == 1 ? " bends" : " bend"));
  if (yields.empty() && elsewhere.empty()) text += "; none yielded";
  if (read < kFewestToCompare) return text + "; too few bolts to compare.";
  if (!odd.empty()) return text + fmt::format("; {} {} apart from the others.", bolts_text(odd), odd.size() == 1 ? "stands" : "stand");
  return text + (yields.empty() && elsewhere.empty() ? ", none stands apart." : ".");
}

Result<Reply> run_wrench_log(const Request& request) {
  if (!request.input.is_text())
    return Problem{{request.source, 0, 0, {}}, "the log is missing", "a CSV table with bolt, angle and torque", {}};
  OptionReader options(request);
  clamp::WrenchLogOptions log_options;
  WrenchLogAnswer answer;
  if (const auto window = options.quantity<Angle>("window")) log_options.window = window->value;
  Problems warnings;
  std::optional<clamp::ClampModel> model;
  bool friction_given = false;
  if (request.files.contains("engine")) {
    const auto engine = engine_input(request, "engine");
    if (!engine) return engine.problems();
    const auto made = clamp::from_engine(engine->engine);
    if (!made) return made.problems();
    model = *made;
    friction_given = engine->engine.bolts && engine->engine.bolts->friction;
    warnings = engine->warnings;
    take_bolts(*model, log_options, answer);
  } else {
    answer.notes.emplace_back("Name the engine file as well to have friction and preloads estimated.");
  }
  const auto traces = clamp::read_wrench_log(request.input.text(), request.source);
  if (!traces) options.add(traces.problems());
  if (traces && model) check_numbers(*traces, model->bolts.at.size(), request.source, options);
  if (has_errors(options.problems())) return options.problems();
  std::vector<int> elsewhere;
  try {
    const auto readings = clamp::read_traces(*traces, log_options);
    for (const clamp::BoltReading& reading : readings) {
      answer.bolts.push_back(logged(reading));
      if (!model || !bends_elsewhere(reading, model->bolts)) continue;
      elsewhere.push_back(reading.bolt);
      answer.bolts.back().why += " It bends, but not at the force where this bolt yields.";
    }
    if (model) compare_with_file(readings, *model, friction_given, answer);
  } catch (const InputError& error) {
    return option_problem(error);
  }
  answer.notes.emplace_back("The yield point a trace shows is an approximation, as is the snug torque.");
  answer.sentence = sentence_of(answer.bolts, elsewhere);
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
