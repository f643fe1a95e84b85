#include "headjoint/report/internal/terminal_traces.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "headjoint/assess/results_traces.h"
#include "headjoint/report/internal/markup.h"
#include "headjoint/report/internal/terminal_readings.h"

namespace headjoint::report {
namespace {

using Rows = std::vector<std::vector<std::string>>;

void show_file(TerminalPage& page, const assess::TraceFile& file) {
  page.paragraph(fmt::format("{}, {}: {:.0f} samples at {:.6g} a second, {:.1f} s.", file.channel, file.format, file.samples, file.rate_Hz,
                             file.duration_s));
}

void show_list(TerminalPage& page, const char* heading, const std::vector<std::string>& lines) {
  if (lines.empty()) return;
  page.heading(heading);
  for (const std::string& line : lines) page.paragraph("- " + line, 2, 4);
}

/// The readings as lines to be put into the job file, cylinder 1 first.
void show_reading_to_enter(TerminalPage& page, std::vector<assess::Proposal> readings) {
  const auto number = [](const assess::Proposal& one) { return std::stoi(one.where); };
  std::sort(readings.begin(), readings.end(), [&](const auto& a, const auto& b) { return number(a) < number(b); });
  std::string values, leaks;
  for (const assess::Proposal& one : readings) {
    values += fmt::format("{}\"{}\"", values.empty() ? "" : ", ", one.value);
    leaks += fmt::format("  {{ area = \"{}\", low = \"{}\", high = \"{}\" }},\n", one.area, one.area_low, one.area_high);
  }
  page.blank();
  page.raw("[[reading]]\ntest = \"starter_current\"\nvalues = [" + values + "]\n" +
           (readings.front().area.empty() ? "" : "leaks = [\n" + leaks + "]\n"));
}

void show_proposals(TerminalPage& page, const std::vector<assess::Proposal>& proposals) {
  if (proposals.empty()) return;
  page.heading("For the job, when you agree");
  std::vector<assess::Proposal> readings;
  for (const assess::Proposal& one : proposals) {
    if (one.value.empty())
      page.paragraph(fmt::format("- [signs] {}{} = \"{}\": {}", one.sign, one.where.empty() ? "" : " " + one.where, one.state, one.why), 2,
                     4);
    else
      readings.push_back(one);
  }
  if (!readings.empty()) show_reading_to_enter(page, readings);
}

std::string figure(double value, int decimals) { return std::isfinite(value) ? fixed(value, decimals) : ""; }

void show_cylinders(TerminalPage& page, const assess::TraceReply& reply) {
  if (reply.relative.empty()) return;
  Rows rows;
  for (const assess::TraceCylinder& one : reply.relative) {
    const bool has_area = one.is_weak && std::isfinite(one.leak_area_mm2);
    rows.push_back({one.cylinder > 0 ? std::to_string(one.cylinder) : fmt::format("event {}", one.place), fixed(100 * one.value, 1),
                    fixed(100 * one.spread, 1), std::to_string(one.events), has_area ? figure(one.leak_area_mm2, 2) : "",
                    has_area ? figure(one.low_mm2, 2) + " to " + figure(one.high_mm2, 2) : "", one.is_weak ? "weak" : ""});
  }
  page.blank();
  page.table({{reply.order.empty() ? "place" : "cylinder"},
              {"% of the stronger", true},
              {"spread %", true},
              {"counted", true},
              {"leak mm²", true},
              {"range mm²"},
              {""}},
             rows);
  if (std::isfinite(reply.smallest_mm2))
    page.paragraph(
        fmt::format("{} cycles at {:.0f} rpm. A leak of {:.2f} mm² more than the others have would have shown; a smaller one would not.",
                    reply.cycles, reply.mean_rpm, reply.smallest_mm2));
}

void show_pulses(TerminalPage& page, const assess::TraceReply& reply) {
  if (reply.bands.empty()) return;
  Rows rows;
  for (const assess::TracePulseBand& band : reply.bands)
    rows.push_back({fixed(band.rpm, 0), std::to_string(band.cycles), fixed(band.peak_deg, 0), fixed(band.peak_error_deg, 0),
                    fmt::format("{:.3g}", band.strength), fixed(band.signal_to_noise, 1)});
  page.blank();
  page.table({{"rpm", true}, {"cycles", true}, {"peak deg", true}, {"+- deg", true}, {"height", true}, {"times chance", true}}, rows);
  if (reply.suspects.empty()) return;
  rows.clear();
  for (const assess::TraceSuspect& one : reply.suspects)
    rows.push_back({std::to_string(one.cylinder), fixed(100 * one.confidence, 0), fixed(one.delay_ms, 1)});
  page.blank();
  page.table({{"cylinder"}, {"% among the cylinders", true}, {"delay ms", true}}, rows);
}

}  // namespace

void show(TerminalPage& page, const assess::TraceReply& reply) {
  page.strong(plain_text(reply.sentence));
  show_file(page, reply.file);
  show_cylinders(page, reply);
  show_pulses(page, reply);
  show_proposals(page, reply.proposals);
  show_list(page, "Notes", reply.notes);
  page.heading("Before doing it again");
  show_cautions(page, reply.cautions);
}

void show(TerminalPage& page, const assess::CoolantLogReply& reply) {
  page.strong(plain_text(reply.sentence));
  show_file(page, reply.file);
  page.paragraph(fmt::format("Boiling: {:.0f} °C with a good cap, {:.0f} °C when it does not hold. Dose above {:.0f} °C: {:.1f} K min.",
                             reply.boiling_degC, reply.boiling_no_cap_degC, reply.limit_degC, reply.dose_K_min));
  if (!reply.episodes.empty()) {
    Rows rows;
    for (const assess::LogEpisode& one : reply.episodes)
      rows.push_back({fixed(one.from_s, 0), fixed(one.to_s - one.from_s, 0),
                      (one.is_lower_bound ? "at least " : "") + fixed(one.peak_degC, 0), fixed(one.dose_K_min, 1),
                      one.boils_cap_good ? "boiled"
                      : one.boils_no_cap ? "boiled if the cap leaked"
                                         : ""});
    page.heading("Too hot");
    page.table({{"from s", true}, {"for s", true}, {"peak °C", true}, {"dose K min", true}, {""}}, rows);
  }
  if (!reply.signatures.empty()) {
    Rows rows;
    for (const assess::LogSignatureShown& one : reply.signatures)
      rows.push_back({one.name, fixed(one.from_s, 0), std::to_string(one.count), one.text});
    page.heading("What the curve gives away");
    page.table({{"what"}, {"at s", true}, {"times", true}, {""}}, rows);
  }
  show_proposals(page, reply.proposals);
  show_list(page, "Notes", reply.notes);
  page.heading("Before opening anything");
  show_cautions(page, reply.cautions);
}

}  // namespace headjoint::report
