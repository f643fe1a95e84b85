#include "headjoint/assess/results_document_traces.h"

#include <cmath>

#include "headjoint/assess/internal/document_parts.h"
#include "headjoint/assess/results_document.h"
#include "headjoint/assess/results_traces.h"

namespace headjoint::assess {
namespace {

/// Six significant digits: traces hold many numbers, and none of them is better.
Document figure(double value) {
  if (!std::isfinite(value)) return {};
  if (value == 0) return 0.0;
  const double power = std::pow(10, 5 - std::floor(std::log10(std::abs(value))));
  return std::round(value * power) / power;
}

Document figures(const std::vector<double>& values) {
  Array list;
  for (const double value : values) list.push_back(figure(value));
  return list;
}

using internal::texts;

Document cylinder(int number) { return number > 0 ? Document(number) : Document(); }

Document proposals_of(const std::vector<Proposal>& proposals) {
  Array list;
  for (const Proposal& proposal : proposals) {
    Document one;
    one.set("sign", proposal.sign)
        .set("where", proposal.where)
        .set("state", proposal.state)
        .set("text", proposal.text)
        .set("why", proposal.why)
        .set("value", proposal.value);
    if (!proposal.area.empty()) {
      Document leak;
      leak.set("area", proposal.area).set("low", proposal.area_low).set("high", proposal.area_high);
      one.set("leak", std::move(leak));
    }
    list.push_back(std::move(one));
  }
  return list;
}

Document file_of(const TraceFile& file) {
  Document document;
  document.set("name", file.name)
      .set("format", file.format)
      .set("sha256", file.sha256)
      .set("bytes", file.bytes)
      .set("samples", file.samples);
  document.set("rate_Hz", figure(file.rate_Hz))
      .set("duration_s", figure(file.duration_s))
      .set("channel", file.channel)
      .set("unit", file.unit);
  document.set("truncated", file.is_truncated);
  Array gaps;
  for (const auto& [start, length] : file.gaps) {
    Document gap;
    gap.set("start_s", figure(start)).set("length_s", figure(length));
    gaps.push_back(std::move(gap));
  }
  document.set("gaps", std::move(gaps));
  return document;
}

Document events_of(const std::vector<TraceEvent>& events) {
  Array list;
  for (const TraceEvent& event : events) {
    Document one;
    one.set("time_s", figure(event.time_s)).set("cycle", event.cycle).set("place", event.place).set("cylinder", cylinder(event.cylinder));
    one.set("peak", figure(event.peak)).set("rise", figure(event.rise)).set("height", figure(event.height));
    one.set("relative", figure(event.relative)).set("used", event.is_used);
    list.push_back(std::move(one));
  }
  return list;
}

Document relative_of(const std::vector<TraceCylinder>& cylinders) {
  Array list;
  for (const TraceCylinder& one : cylinders) {
    Document row;
    row.set("cylinder", cylinder(one.cylinder)).set("value", figure(one.value)).set("spread", figure(one.spread));
    row.set("place", one.place).set("standard_error", figure(one.standard_error)).set("events", one.events).set("weak", one.is_weak);
    row.set("leak_area_mm2", figure(one.leak_area_mm2)).set("low_mm2", figure(one.low_mm2)).set("high_mm2", figure(one.high_mm2));
    list.push_back(std::move(row));
  }
  return list;
}

void set_pulses(Document& document, const TraceReply& reply) {
  Array bands, orders, suspects;
  for (const TracePulseBand& band : reply.bands) {
    Document one;
    one.set("rpm", figure(band.rpm)).set("cycles", band.cycles).set("peak_deg", figure(band.peak_deg));
    one.set("peak_error_deg", figure(band.peak_error_deg)).set("strength", figure(band.strength));
    one.set("signal_to_noise", figure(band.signal_to_noise)).set("single", figures(band.single));
    bands.push_back(std::move(one));
  }
  for (const TraceOrder& line : reply.orders) {
    Document one;
    one.set("order", line.order).set("amplitude", figure(line.amplitude)).set("noise", figure(line.noise));
    orders.push_back(std::move(one));
  }
  for (const TraceSuspect& suspect : reply.suspects) {
    Document one;
    one.set("cylinder", suspect.cylinder).set("confidence", figure(suspect.confidence)).set("delay_ms", figure(suspect.delay_ms));
    suspects.push_back(std::move(one));
  }
  document.set("bands", std::move(bands)).set("orders", std::move(orders)).set("suspects", std::move(suspects));
}

}  // namespace

Document to_document(const TracePlot& plot) {
  Document document;
  document.set("from_s", plot.from_s).set("to_s", plot.to_s);
  document.set("least", figures(plot.least)).set("most", figures(plot.most));
  return document;
}

Document to_document(const TraceReply& reply) {
  Document document = answer();
  Array order(reply.order.begin(), reply.order.end());
  document.set("kind", reply.kind).set("sentence", reply.sentence);
  document.set("events", events_of(reply.events)).set("relative", relative_of(reply.relative)).set("order", std::move(order));
  document.set("pattern", reply.pattern).set("pairs", texts(reply.pairs)).set("synchronised", reply.is_synchronised);
  document.set("cycles", reply.cycles)
      .set("mean_rpm", figure(reply.mean_rpm))
      .set("from_s", figure(reply.from_s))
      .set("to_s", figure(reply.to_s));
  document.set("weak_below", figure(reply.weak_below)).set("smallest_mm2", figure(reply.smallest_mm2));
  Document average;
  average.set("mean", figures(reply.average.mean)).set("low", figures(reply.average.low)).set("high", figures(reply.average.high));
  document.set("average", std::move(average)).set("plot", to_document(reply.plot));
  if (!reply.bands.empty() || reply.kind == "coolant-pressure") set_pulses(document, reply);
  document.set("proposals", proposals_of(reply.proposals)).set("file", file_of(reply.file));
  document.set("notes", texts(reply.notes)).set("cautions", list_document(reply.cautions));
  return document;
}

Document to_document(const CoolantLogReply& reply) {
  Document document = answer();
  Array episodes, signatures;
  for (const LogEpisode& episode : reply.episodes) {
    Document one;
    one.set("from_s", figure(episode.from_s)).set("to_s", figure(episode.to_s)).set("peak_degC", figure(episode.peak_degC));
    one.set("dose_K_min", figure(episode.dose_K_min)).set("peak_is_lower_bound", episode.is_lower_bound);
    one.set("boils_cap_good", episode.boils_cap_good).set("boils_no_cap", episode.boils_no_cap);
    episodes.push_back(std::move(one));
  }
  for (const LogSignatureShown& signature : reply.signatures) {
    Document one;
    one.set("name", signature.name).set("from_s", figure(signature.from_s)).set("to_s", figure(signature.to_s));
    one.set("count", signature.count).set("text", signature.text);
    signatures.push_back(std::move(one));
  }
  document.set("sentence", reply.sentence).set("episodes", std::move(episodes)).set("peak_degC", figure(reply.peak_degC));
  document.set("dose_K_min", figure(reply.dose_K_min)).set("signatures", std::move(signatures));
  document.set("peak_at_s", figure(reply.peak_at_s)).set("peak_is_lower_bound", reply.peak_is_lower_bound);
  document.set("limit_degC", figure(reply.limit_degC)).set("above_limit_min", figure(reply.above_limit_min));
  document.set("usual_degC", figure(reply.usual_degC)).set("boiling_degC", figure(reply.boiling_degC));
  document.set("boiling_no_cap_degC", figure(reply.boiling_no_cap_degC)).set("margin_K", figure(reply.margin_K));
  document.set("margin_no_cap_K", figure(reply.margin_no_cap_K));
  Document plot;
  plot.set("time_s", figures(reply.time_s)).set("temperature_degC", figures(reply.temperature_degC));
  plot.set("margin_K", figures(reply.margins_K)).set("margin_no_cap_K", figures(reply.margins_no_cap_K));
  if (!reply.margins_measured_K.empty()) plot.set("margin_measured_K", figures(reply.margins_measured_K));
  document.set("plot", std::move(plot)).set("proposals", proposals_of(reply.proposals)).set("file", file_of(reply.file));
  document.set("notes", texts(reply.notes)).set("cautions", list_document(reply.cautions));
  return document;
}

}  // namespace headjoint::assess
