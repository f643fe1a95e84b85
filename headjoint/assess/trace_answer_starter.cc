#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

#include "headjoint/assess/knowledge.h"
#include "headjoint/assess/results_cranking.h"
#include "headjoint/assess/results_traces.h"
#include "headjoint/assess/trace_answer.h"
#include "headjoint/assess/trace_input.h"
#include "headjoint/traces/relative_compression.h"
#include "headjoint/traces/starter_fit.h"

namespace headjoint::assess {
namespace {

using traces::RelativeCompression;
using traces::RelativeValue;
using traces::WeakPattern;
using Status = traces::CrankingEvents::Status;

constexpr double kVeryWeak = 0.75;

Problem refused(const traces::Recording& recording, const RelativeCompression& compared) {
  const Place place{recording.source, 0, 0, {}};
  switch (compared.found.status) {
    case Status::kTooSlowlySampled:
      return {place,
              fmt::format("{:.0f} samples a second are too few for {:.1f} compressions a second", recording.channels.front().signal.rate_Hz,
                          compared.found.frequency_Hz),
              fmt::format("{:.0f} a second or more; 1000 is comfortable", std::ceil(compared.found.needed_rate_Hz)),
              "record again with a finer time base"};
    case Status::kTooFew:
      if (compared.found.events.empty()) break;
      return {place, fmt::format("only {} compressions are in the trace", compared.found.events.size()),
              "two cycles at least, ten for a steady answer", "crank for five seconds with ignition and injection off"};
    default:
      break;
  }
  return {place, "no even cranking is found in the trace", "five seconds of cranking with the engine not starting",
          "is this the right column, or are two swapped? Were ignition and injection off?"};
}

/// Cranking fills every place of the cycle, cycle by cycle; ignition pulses taken for a current do not.
std::optional<Problem> empty_places(const traces::Recording& recording, const RelativeCompression& compared) {
  const bool are_filled = std::all_of(compared.values.begin(), compared.values.end(),
                                      [&](const RelativeValue& value) { return 2 * value.events >= compared.cycles; });
  if (are_filled) return std::nullopt;
  return Problem{{recording.source, 0, 0, {}},
                 fmt::format("what repeats in \"{}\" is not one hump for every compression", recording.channels.front().name),
                 "the trace of an engine that is cranked evenly",
                 "are two channels swapped? --column names another one"};
}

Problem no_teeth(const traces::Recording& recording, const traces::ToothSpeed& found, const traces::ToothedWheel& wheel) {
  const Place place{recording.source, 0, 0, "--teeth"};
  const double rate = recording.channels.front().signal.rate_Hz;
  switch (found.status) {
    case traces::ToothSpeed::Status::kTooSlowlySampled:
      return {place, fmt::format("{:.0f} samples a second are too few to see the teeth", rate),
              fmt::format("{:.0f} a second or more", std::ceil(found.needed_rate_Hz)), "record again with a finer time base"};
    case traces::ToothSpeed::Status::kOtherWheel:
      return {place, fmt::format("the gap does not come every {} teeth", wheel.teeth), "the wheel of this engine",
              "count the waves from gap to gap and add the missing ones"};
    default:
      return {place, "nothing in this channel repeats as teeth do", "one wave for every tooth, two turns at least",
              "is this the crank sensor's channel?"};
  }
}

std::string place_text(const RelativeValue& value) {
  return value.cylinder > 0 ? fmt::format("cylinder {}", value.cylinder) : fmt::format("event {} of the cycle", value.place);
}

std::string listed(const std::vector<std::string>& items, const char* last) {
  std::string text;
  for (std::size_t i = 0; i < items.size(); ++i)
    text += (i == 0 ? "" : i + 1 == items.size() ? fmt::format(" {} ", last) : ", ") + items[i];
  return text;
}

std::string sentence_of(const RelativeCompression& compared, const TraceReply& reply) {
  std::vector<std::string> weak;
  for (const RelativeValue& value : compared.values)
    if (value.is_weak) weak.push_back(fmt::format("{} ({:.0f} %)", place_text(value), 100 * value.value));
  if (compared.found.status == Status::kClipped && weak.empty())
    return "The instrument cut the humps off flat: whether a cylinder is weak cannot be told. Record again with a wider range.";
  if (weak.empty())
    return fmt::format("No cylinder stands out: all within {:.0f} % of the stronger half.", 100 * (1 - compared.weak_below));
  std::string text = fmt::format("Weak against the others: {}.", listed(weak, "and"));
  if (compared.pattern == WeakPattern::kNeighbours && !reply.pairs.empty())
    text += fmt::format(" A breach between {} looks like this.", listed(reply.pairs, "or"));
  if (compared.pattern == WeakPattern::kEveryTurn) {
    text += " It repeats every turn of the crank";
    text += reply.pairs.empty() ? "." : fmt::format(": a breach between {} does that, a worn ring gear too.", listed(reply.pairs, "or"));
  }
  return text;
}

const char* pattern_word(WeakPattern pattern) {
  switch (pattern) {
    case WeakPattern::kNone:
      return "none";
    case WeakPattern::kOne:
      return "one";
    case WeakPattern::kNeighbours:
      return "neighbours";
    case WeakPattern::kEveryTurn:
      return "every turn";
    case WeakPattern::kSeveral:
      return "several";
  }
  return "";
}

/// The starter's pull on every cylinder that has a name, with the leak that fits it; one look at the same leak as a gauge, never a second
/// one.
void propose(TraceReply& reply) {
  if (!reply.is_synchronised) return;
  double strongest = 0;
  for (const TraceCylinder& one : reply.relative) strongest = std::max(strongest, one.value);
  const auto area = [](double mm2) { return std::isfinite(mm2) ? fmt::format("{:.2f} mm2", mm2) : std::string(); };
  for (const TraceCylinder& one : reply.relative) {
    if (one.cylinder == 0 || one.events == 0) continue;
    const std::string state = !one.is_weak ? "level" : one.value < kVeryWeak ? "very weak" : "weak";
    reply.proposals.push_back(
        {.sign = "starter_current",
         .where = std::to_string(one.cylinder),
         .state = state,
         .text = fmt::format("starter's pull on cylinder {}: {}", one.cylinder, state),
         .why = fmt::format("{:.0f} % of the stronger half over {} compressions ({})", 100 * one.value, one.events, reply.kind),
         .value = fmt::format("{:.0f} %", 100 * one.value / strongest),
         .area = area(one.leak_area_mm2),
         .area_low = area(one.low_mm2),
         .area_high = area(one.high_mm2)});
  }
}

void take_events(const RelativeCompression& compared, TraceReply& reply) {
  for (const traces::PlacedEvent& placed : compared.events) {
    const traces::CompressionEvent& event = placed.event;
    reply.events.push_back(
        {event.time_s, event.peak, event.rise, event.height, placed.relative, placed.cycle, placed.place, placed.cylinder, placed.is_used});
  }
}

void take_values(const RelativeCompression& compared, const traces::StarterFit& fit, TraceReply& reply) {
  constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
  constexpr double kSquareMillimetre = 1e-6;
  const bool is_fitted = fit.status == traces::StarterFit::Status::kFitted;
  for (std::size_t i = 0; i < compared.values.size(); ++i) {
    const RelativeValue& value = compared.values[i];
    TraceCylinder shown{value.place,  value.cylinder, value.value, value.spread, value.standard_error,
                        value.events, value.is_weak,  kNone,       kNone,        kNone};
    if (is_fitted) {
      shown.leak_area_mm2 = fit.leaks[i].extra.si() / kSquareMillimetre;
      shown.low_mm2 = fit.leaks[i].low.si() / kSquareMillimetre;
      shown.high_mm2 = fit.leaks[i].high.si() / kSquareMillimetre;
    }
    reply.relative.push_back(shown);
  }
  reply.smallest_mm2 = is_fitted ? fit.smallest.si() / kSquareMillimetre : kNone;
}

void add_notes(const RelativeCompression& compared, const TraceQuestion& question, const std::string& unit, TraceReply& reply) {
  if (compared.found.was_inverted) reply.notes.emplace_back("The probe was clipped on the other way round: the trace was turned over.");
  if (compared.found.spikes > 0) reply.notes.push_back(fmt::format("{} spikes were taken out.", compared.found.spikes));
  if (compared.found.status == Status::kClipped)
    reply.notes.emplace_back(
        "The instrument cut the humps off flat: a weak cylinder looks stronger than it is, so nothing is proposed. Record again with a "
        "wider "
        "range.");
  reply.notes.insert(reply.notes.end(), compared.notes.begin(), compared.notes.end());
  if (!question.has_shape)
    reply.notes.emplace_back(
        "Leak areas take the cylinders of a usual 1.6 litre petrol four: --engine gives your engine's bore, stroke and compression ratio.");
  if (unit.empty()) reply.notes.emplace_back("Events are in the unit of the file, which is not known.");
  reply.notes.emplace_back(
      "Starter, compression gauge and leak-down see the same leak: together they are one piece of evidence with a smaller error, not "
      "three.");
}

}  // namespace

Result<TraceReply> compare_by_starter(const traces::Recording& recording, const TraceQuestion& question) {
  traces::ToothSpeed teeth;
  if (question.wheel) {
    teeth = traces::tooth_speed(recording.channels.front().signal, *question.wheel);
    if (teeth.status != traces::ToothSpeed::Status::kFound) return no_teeth(recording, teeth, *question.wheel);
  }
  const traces::Signal& signal = question.wheel ? teeth.speed_rpm : recording.channels.front().signal;
  traces::CrankingQuestion asked;
  asked.kind = *question.cranking;
  asked.cylinders = question.cylinders;
  asked.firing_order = question.firing_order;
  asked.neighbours = question.neighbours;
  if (question.has_sync) asked.sync = recording.channels[1].signal;
  asked.sync_cylinder = question.sync_cylinder;
  asked.sync_deg = question.sync_deg;
  const RelativeCompression compared = traces::compare_cylinders(signal, asked);
  if (compared.values.empty()) return refused(recording, compared);
  if (const auto problem = empty_places(recording, compared)) return *problem;
  traces::CrankedEngine engine = question.engine;
  engine.firing_order.resize(static_cast<std::size_t>(question.cylinders));
  const traces::StarterFit fit = traces::fit_leaks(compared, engine, asked.kind);
  TraceReply reply;
  reply.kind = question.kind;
  reply.engine = question.named;
  reply.file = file_facts(recording);
  reply.from_s = compared.found.from_s;
  reply.to_s = compared.found.to_s;
  reply.mean_rpm = compared.mean_rpm;
  reply.cycles = compared.cycles;
  reply.is_synchronised = compared.is_synchronised;
  reply.order = compared.order;
  reply.pattern = pattern_word(compared.pattern);
  reply.weak_below = compared.weak_below;
  for (const auto& [first, second] : compared.pairs) reply.pairs.push_back(fmt::format("{}-{}", first, second));
  take_events(compared, reply);
  take_values(compared, fit, reply);
  reply.average = {compared.average.mean, compared.average.low, compared.average.high};
  reply.sentence = sentence_of(compared, reply);
  if (compared.found.status != Status::kClipped) propose(reply);
  reply.notes = reading_notes(recording);
  add_notes(compared, question, reply.file.unit, reply);
  reply.cautions = cautions_of({"cranking", "moving_parts", "fuel", "high_tension"});
  return reply;
}

}  // namespace headjoint::assess
