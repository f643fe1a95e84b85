#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "headjoint/assess/knowledge.h"
#include "headjoint/assess/results_traces.h"
#include "headjoint/assess/trace_answer.h"
#include "headjoint/assess/trace_input.h"
#include "headjoint/traces/pressure_pulses.h"

namespace headjoint::assess {
namespace {

using traces::PulseFinding;

std::optional<Problem> refused(const traces::Recording& recording, const PulseFinding& finding) {
  const Place place{recording.source, 0, 0, {}};
  switch (finding.status) {
    case PulseFinding::Status::kNoSync:
      return Problem{place, "the sync channel holds no cycles of a running engine", "one pulse a cycle, 100 to 8000 rpm",
                     "take ignition, injector or cam of one cylinder"};
    case PulseFinding::Status::kTooFew:
      return Problem{place, fmt::format("only {} whole cycles are in the trace", finding.cycles),
                     "10 at least, 100 or more to see small pulses", "record half a minute"};
    case PulseFinding::Status::kTooSlowlySampled:
      return Problem{place, fmt::format("{:.0f} samples a second are too few at this speed", recording.channels.front().signal.rate_Hz),
                     fmt::format("{:.0f} a second or more", std::ceil(finding.needed_rate_Hz)), "record again with a finer time base"};
    default:
      return std::nullopt;
  }
}

std::string sentence_of(const PulseFinding& finding) {
  if (finding.status != PulseFinding::Status::kFound)
    return "Nothing in the pressure comes once a cycle beyond chance: no cylinder is seen pushing gas.";
  const traces::SuspectCylinder& first = finding.suspects.front();
  constexpr double kSure = 0.8;
  if (first.confidence >= kSure)
    return fmt::format("One cylinder pushes gas into the coolant: {}, {:.0f} % among the cylinders.", first.cylinder,
                       100 * first.confidence);
  const bool has_second = finding.suspects.size() > 1;
  return fmt::format(
      "One cylinder pushes gas into the coolant; {} ({:.0f} %){} fit best.", first.cylinder, 100 * first.confidence,
      has_second ? fmt::format(" and {} ({:.0f} %)", finding.suspects[1].cylinder, 100 * finding.suspects[1].confidence) : "");
}

/// Every tenth step is enough for a curve.
std::vector<double> thinned(const std::vector<double>& values) {
  std::vector<double> some;
  for (std::size_t i = 0; i < values.size(); i += 4) some.push_back(values[i]);
  return some;
}

}  // namespace

Result<TraceReply> look_for_pulses(const traces::Recording& recording, const TraceQuestion& question) {
  traces::PulseQuestion asked;
  asked.firing_order = question.firing_order;
  asked.sync = recording.channels[1].signal;
  asked.sync_cylinder = question.sync_cylinder;
  asked.sync_deg = question.sync_deg;
  const PulseFinding finding = traces::find_pulses(recording.channels.front().signal, asked);
  if (const auto problem = refused(recording, finding)) return *problem;
  TraceReply reply;
  reply.kind = question.kind;
  reply.engine = question.named;
  reply.file = file_facts(recording);
  reply.to_s = recording.duration_s;
  reply.cycles = finding.cycles;
  reply.is_synchronised = true;
  reply.order = question.firing_order;  // from the sync cylinder on, as the angles count
  std::rotate(reply.order.begin(), std::find(reply.order.begin(), reply.order.end(), question.sync_cylinder), reply.order.end());
  reply.pattern = finding.status == PulseFinding::Status::kFound ? "one" : "none";
  reply.sentence = sentence_of(finding);
  for (const traces::PulseBand& band : finding.bands) {
    reply.bands.push_back({band.rpm, band.cycles, band.peak_deg, band.peak_error_deg, band.strength, band.signal_to_noise,
                           thinned(band.average), thinned(band.single)});
    reply.mean_rpm += band.rpm / static_cast<double>(finding.bands.size());
  }
  for (const traces::OrderLine& line : finding.orders) reply.orders.push_back({line.order, line.amplitude, line.noise});
  for (const traces::SuspectCylinder& suspect : finding.suspects)
    reply.suspects.push_back({suspect.cylinder, suspect.confidence, suspect.delay.si() * 1000});
  reply.notes = reading_notes(recording);
  reply.notes.insert(reply.notes.end(), finding.notes.begin(), finding.notes.end());
  if (!reply.suspects.empty())
    reply.notes.push_back(
        fmt::format("No sign of the job stands for this: confirm it with a leak-down on cylinder {}, watching the filler neck for bubbles.",
                    reply.suspects.front().cylinder));
  reply.cautions = cautions_of({"hot_coolant", "moving_parts", "exhaust_gas"});
  return reply;
}

}  // namespace headjoint::assess
