#include "headjoint/assess/log_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace headjoint::assess {
namespace {

using coolant::LogFinding;
using coolant::LogSign;
using coolant::LogSignature;

/// What a pattern is called, what it means, and the sign of the job it speaks for ("" = none).
struct SignWords {
  const char* name;
  std::string text;
  const char* proposes;
};

SignWords words_of(const LogSignature& seen) {
  const double size = std::abs(seen.size);
  switch (seen.sign) {
    case LogSign::kSensorOpen:
      return {"sensor open", "-40 °C stands for a broken wire or plug: these samples are left out.", "gauge_jumps"};
    case LogSign::kSensorShort:
      return {"sensor shorted", "215 °C stands for a shorted wire: these samples are left out.", "gauge_jumps"};
    case LogSign::kStepTooFast:
      return {"step too fast",
              fmt::format("{:.0f} K within 5 s is faster than metal and coolant can change: gas or steam at the sensor, or a bad contact.",
                          size),
              "gauge_jumps"};
    case LogSign::kSensorDry:
      return {"sensor fell dry",
              fmt::format("It fell by {:.0f} K within 5 s while hot: coolant lost at the sensor. Treat it as overheating, not as recovery.",
                          size),
              "gauge_jumps"};
    case LogSign::kStuckOpen:
      return {"thermostat open",
              fmt::format("A quarter of an hour brought no more than {:.0f} °C: the thermostat does not shut, or it was very cold.", size),
              ""};
    case LogSign::kStuckShut:
      return {"thermostat shut or no flow",
              "It climbed through the thermostat's range without a bend: thermostat, pump or air in the head. Feel the bottom hose.", ""};
    case LogSign::kFanCycle:
      return {"fan cycles", fmt::format("A saw-tooth of {:.0f} cycles: the fan comes and goes, which is normal.", size), ""};
    case LogSign::kHotAtIdle:
      return {"hot at idle", fmt::format("{:.0f} K hotter below 20 km/h than above 60: fan or air flow first.", size), "hot_at_idle"};
    case LogSign::kHotAtSpeed:
      return {"hot at speed",
              fmt::format("{:.0f} K hotter above 60 km/h than below 20: radiator, flow, or gas in the coolant under load.", size),
              "hot_under_load"};
    case LogSign::kHotterThanUsual:
      return {"hotter than usual", fmt::format("It stays {:.0f} K and more above where a working thermostat holds it.", size), "runs_hot"};
    case LogSign::kPressureTooHigh:
      return {"pressure beyond warming", fmt::format("{:.2f} bar more than warming up explains: gas came in.", size), "cold_rise"};
    case LogSign::kPressureLeft:
      return {"pressure left", fmt::format("{:.2f} bar are left after cooling down: warming cannot leave any, gas came in.", size),
              "pressure_overnight"};
  }
  return {"", "", ""};
}

std::string clock(double seconds) {
  const auto whole = static_cast<long>(seconds);
  return whole >= 3600 ? fmt::format("{}:{:02}:{:02} h", whole / 3600, whole / 60 % 60, whole % 60)
                       : fmt::format("{}:{:02} min", whole / 60, whole % 60);
}

void propose(CoolantLogReply& reply, const std::string& sign, const std::string& state, const std::string& text, const std::string& why) {
  const bool is_there = std::any_of(reply.proposals.begin(), reply.proposals.end(), [&](const Proposal& one) { return one.sign == sign; });
  if (!is_there) reply.proposals.push_back({sign, "", state, text, why});
}

void propose_all(CoolantLogReply& reply, const LogFinding& finding, const coolant::CoolantLog& log) {
  for (const LogSignature& seen : finding.signatures) {
    const SignWords words = words_of(seen);
    if (*words.proposes != '\0')
      propose(reply, words.proposes, "seen", words.name, fmt::format("at {}: {}", clock(seen.from_s), words.text));
  }
  if (!finding.episodes.empty()) {
    const std::string why = fmt::format("{:.0f} °C at {}, {:.0f} min above {:.0f} °C", finding.peak_C, clock(finding.peak_at_s),
                                        finding.above_min, reply.limit_degC);
    propose(reply, "runs_hot", "seen", "runs hot", why);
    propose(reply, "overheat_reported", "seen", "was overheated", why);
    constexpr double kCold_C = 40, kMinutes_s = 300;
    if (log.temperature_C.front() < kCold_C && finding.episodes.front().from_s - log.time_s.front() < kMinutes_s)
      propose(reply, "hot_from_cold", "seen", "hot within minutes of a cold start",
              fmt::format("from {:.0f} °C above the limit in {}", log.temperature_C.front(),
                          clock(finding.episodes.front().from_s - log.time_s.front())));
    return;
  }
  constexpr double kLongDrive_s = 1200;
  const bool is_warm = std::isfinite(finding.usual_C), is_quiet = !finding.peak_is_lower_bound;
  const double warm_s = log.time_s.back() - log.time_s.front();
  if (is_warm && is_quiet && warm_s > kLongDrive_s && reply.proposals.empty())
    propose(reply, "runs_hot", "absent", "does not run hot",
            fmt::format("{} logged, never above {:.0f} °C", clock(warm_s), finding.peak_C));
}

std::string sentence_of(const LogFinding& finding, double limit_C) {
  const char* at_least = finding.peak_is_lower_bound ? "at least " : "";
  if (finding.episodes.empty())
    return fmt::format("Never above {:.0f} °C: peak {}{:.0f} °C, {:.0f} K below boiling with a good cap.", limit_C, at_least,
                       finding.peak_C, finding.least_margin_K);
  std::string text = fmt::format("Too hot {} time{}: peak {}{:.0f} °C, {:.1f} min above {:.0f} °C.", finding.episodes.size(),
                                 finding.episodes.size() == 1 ? "" : "s", at_least, finding.peak_C, finding.above_min, limit_C);
  if (finding.least_margin_K <= 0) return text + " It boiled even under a good cap.";
  if (finding.least_margin_no_cap_K <= 0) return text + " It boiled if the cap did not hold; under a good cap it did not.";
  return text;
}

bool is_reading(double temperature_C) { return temperature_C > coolant::kSensorOpen_C && temperature_C < coolant::kSensorShort_C; }

/// Highest of each part, so that no peak is lost, and how far from boiling it is.
void take_curve(const coolant::CoolantLog& log, const coolant::LogQuestion& question, CoolantLogReply& reply) {
  constexpr std::size_t kMost = 600;
  const std::size_t count = log.time_s.size(), step = (count + kMost - 1) / kMost;
  const bool has_pressure = !log.gauge_pressure_bar.empty() && question.boils_at_C;
  for (std::size_t i = 0; i < count; i += step) {
    std::size_t hottest = count;
    for (std::size_t k = i; k < std::min(count, i + step); ++k)
      if (is_reading(log.temperature_C[k]) && (hottest == count || log.temperature_C[k] > log.temperature_C[hottest])) hottest = k;
    if (hottest == count) continue;
    const double now = log.temperature_C[hottest];
    reply.time_s.push_back(log.time_s[hottest]);
    reply.temperature_degC.push_back(now);
    reply.margins_K.push_back(reply.boiling_degC - now);
    reply.margins_no_cap_K.push_back(reply.boiling_no_cap_degC - now);
    if (has_pressure) reply.margins_measured_K.push_back(question.boils_at_C(log.gauge_pressure_bar[hottest]) - now);
  }
}

}  // namespace

CoolantLogReply log_reply(const LogFinding& finding, const coolant::LogQuestion& question, const coolant::CoolantLog& log) {
  CoolantLogReply reply;
  reply.limit_degC = question.limit.celsius();
  reply.peak_degC = finding.peak_C;
  reply.peak_at_s = finding.peak_at_s;
  reply.peak_is_lower_bound = finding.peak_is_lower_bound;
  reply.above_limit_min = finding.above_min;
  reply.dose_K_min = finding.dose_K_min;
  reply.usual_degC = finding.usual_C;
  reply.boiling_degC = question.boils_cap_good.celsius();
  reply.boiling_no_cap_degC = question.boils_no_cap.celsius();
  reply.margin_K = finding.least_margin_K;
  reply.margin_no_cap_K = finding.least_margin_no_cap_K;
  for (const coolant::HotEpisode& one : finding.episodes)
    reply.episodes.push_back({one.from_s, one.to_s, one.peak_C, one.dose_K_min, one.dry_from_s >= 0, one.boils_cap_good, one.boils_no_cap});
  for (const LogSignature& seen : finding.signatures) {
    const SignWords words = words_of(seen);
    reply.signatures.push_back({words.name, seen.from_s, seen.to_s, seen.count, words.text});
  }
  reply.sentence = sentence_of(finding, reply.limit_degC);
  propose_all(reply, finding, log);
  take_curve(log, question, reply);
  if (!reply.margins_measured_K.empty()) {
    double least = INFINITY;
    for (const double margin : reply.margins_measured_K) least = std::min(least, std::isnan(margin) ? INFINITY : margin);
    reply.notes.push_back(fmt::format("Under the pressure that was logged it came within {:.0f} K of boiling.", least));
  }
  if (finding.peak_is_lower_bound)
    reply.notes.emplace_back("The sensor fell dry: what came after may have been hotter than the log shows.");
  reply.notes.emplace_back(
      "A smooth curve is no proof of a good sensor: control units replace a bad reading by a model (common practice).");
  return reply;
}

}  // namespace headjoint::assess
