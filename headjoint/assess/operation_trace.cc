#include <cmath>

#include "headjoint/assess/operation_table.h"
#include "headjoint/assess/option_reader.h"
#include "headjoint/assess/results_document_traces.h"
#include "headjoint/assess/results_traces.h"
#include "headjoint/assess/trace_answer.h"
#include "headjoint/assess/trace_input.h"

namespace headjoint::assess {
namespace {

constexpr double kToothRate_Hz = 20000;  // a tooth lasts some milliseconds while the engine is cranked

/// Columns swapped: a current where a pressure was asked for, and the like. Volts may stand for current and pressure: only ratios count.
std::optional<Problem> wrong_quantity(const traces::Recording& recording, const TraceQuestion& question) {
  const traces::Channel& channel = recording.channels.front();
  const std::string& wanted = question.channels.front().unit;
  const bool probe_in_volts = channel.unit == "V" && wanted != "rpm";
  if (channel.unit.empty() || channel.unit == wanted || probe_in_volts) return std::nullopt;
  if (channel.unit == "V" && wanted == "rpm")
    return Problem{{recording.source, 0, 0, "--teeth"},
                   "\"" + channel.name + "\" is in V: the signal of a crank sensor, not yet a speed",
                   "a channel in rpm, or the teeth of the crank's wheel",
                   "--teeth 60-2 says that it has sixty teeth, two of them missing"};
  return Problem{{recording.source, 0, 0, {}},
                 "\"" + channel.name + "\" is in " + channel.unit + ": that is no " + question.kind,
                 "a channel in " + wanted,
                 "--column names another one; are two columns swapped?"};
}

Result<Reply> run_trace(const Request& request) {
  OptionReader options(request);
  const TraceQuestion question = trace_question(request, options);
  traces::ReadingWishes wishes = reading_wishes(request, options);
  const auto from = options.quantity<Duration>("from"), to = options.quantity<Duration>("to");
  const int columns = whole_option(request, options, "columns", 1, kMostColumns).value_or(kUsualColumns);
  if (!request.stream) options.refuse("", "the trace is missing", "a table or a WAV file");
  const bool is_pressure = question.kind == "coolant-pressure";
  if (is_pressure && !question.has_sync)
    options.refuse("--sync", "without a sync channel pulses cannot be laid over the crank, so no cylinder can be told",
                   "a second column recorded at the same time with one pulse a cycle: coil or injector of a known cylinder, cam sensor, or "
                   "pressure in a cylinder");
  if (is_pressure && question.firing_order.empty() && !has_errors(options.problems()))
    options.refuse("--firing-order", "the firing order is not known", "such as 1,3,4,2, or an engine file with --engine");
  if (has_errors(options.problems())) return options.problems();
  wishes.channels = question.channels;
  if (question.wheel) wishes.working_rate_Hz = kToothRate_Hz;
  auto recording = traces::read_recording(*request.stream, request.source, wishes);
  if (!recording) return recording.problems();
  if (const auto problem = lacks_numbers(*recording)) return *problem;
  if (const auto problem = wrong_quantity(*recording, question)) return *problem;
  Result<TraceReply> result = question.cranking ? compare_by_starter(*recording, question) : look_for_pulses(*recording, question);
  if (!result) return result.problems();
  TraceReply shown = std::move(result).value();
  RecordedCurve curve = curve_of(std::move(recording).value());
  shown.plot = plot_of(curve, from ? from->value.si() : 0, to ? to->value.si() : curve.duration_s, columns);
  Reply reply;
  reply.window = window_of(std::move(curve));
  reply.document = to_document(shown);
  reply.answer_is_no = shown.pattern != "none";
  reply.warnings = question.warnings;
  reply.content = std::move(shown);
  return reply;
}

}  // namespace

Operation trace_operation() {
  return {
      .name = "trace",
      .summary = "cylinders compared by starter current, battery voltage or crank speed; gas pulses in the coolant's pressure",
      .argument = "FILE",
      .input = InputKind::kStream,
      .options = {{"kind", "WORD", "starter-current, battery-voltage, crank-speed or coolant-pressure"},
                  {"engine", "FILE", "engine or job: cylinders, firing order, bore, stroke, compression ratio", OptionKind::kFile},
                  {"cylinders", "NUMBER", "instead of an engine file"},
                  {"firing-order", "LIST", "1,3,4,2"},
                  {"column", "NAME", "column or channel, by name or number, when it is not found by name and unit"},
                  {"unit", "UNIT", "of the column, when its header does not say"},
                  {"scale", "RATIO", "what the probe gives: \"10 mV/A\", \"1 V/bar\""},
                  {"full-scale", "QUANTITY", "what a sound file's greatest sample stands for: \"5 V\""},
                  {"teeth", "WHEEL", "crank-speed from the crank sensor's own signal: teeth and missing teeth of its wheel, such as 60-2"},
                  {"sync", "NAME", "column or channel with one pulse a cycle: ignition, injector, cam, or pressure of one cylinder"},
                  {"sync-cylinder", "NUMBER", "the cylinder it belongs to; 1 when not given"},
                  {"sync-angle", "ANGLE", "how far behind that cylinder's firing dead centre it comes: \"20 deg\""},
                  trace_option::kRate,
                  trace_option::kTimeUnit,
                  trace_option::kSeparator,
                  {"from", "TIME", "part to be drawn: \"1.2 s\""},
                  {"to", "TIME", "end of that part"},
                  {"columns", "NUMBER", "columns of the drawing; 600 when not given"}},
      .keys = "events[], relative[]{cylinder, value, spread}, order[]",
      .run = run_trace,
      .second_argument = "engine",
      .takes_long = true,
  };
}

}  // namespace headjoint::assess
