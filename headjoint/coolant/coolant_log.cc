#include "headjoint/coolant/coolant_log.h"

#include <algorithm>
#include <cmath>

#include "headjoint/base/error.h"
#include "headjoint/coolant/internal/log_patterns.h"

namespace headjoint::coolant {
namespace {

void check(const CoolantLog& log) {
  const std::size_t count = log.time_s.size();
  const auto fits = [&](const std::vector<double>& column) { return column.empty() || column.size() == count; };
  if (log.temperature_C.size() != count || !fits(log.road_speed_km_h) || !fits(log.load_percent) || !fits(log.gauge_pressure_bar))
    throw InputError("log", "every column as long as the times");
  for (std::size_t i = 1; i < count; ++i)
    if (!(log.time_s[i] > log.time_s[i - 1])) throw InputError("time", "times that rise");
}

/// The samples whose temperature is a reading, and what the others say about the sensor.
CoolantLog readings_only(const CoolantLog& log, LogFinding& finding) {
  CoolantLog kept;
  LogSignature open{LogSign::kSensorOpen, 0, 0, kSensorOpen_C, 0}, shorted{LogSign::kSensorShort, 0, 0, kSensorShort_C, 0};
  for (std::size_t i = 0; i < log.time_s.size(); ++i) {
    const double value = log.temperature_C[i];
    LogSignature* broken = value <= kSensorOpen_C ? &open : value >= kSensorShort_C ? &shorted : nullptr;
    if (broken) {
      if (broken->count++ == 0) broken->from_s = log.time_s[i];
      broken->to_s = log.time_s[i];
    }
    if (broken || std::isnan(value)) continue;
    kept.time_s.push_back(log.time_s[i]);
    kept.temperature_C.push_back(value);
    if (!log.road_speed_km_h.empty()) kept.road_speed_km_h.push_back(log.road_speed_km_h[i]);
    if (!log.load_percent.empty()) kept.load_percent.push_back(log.load_percent[i]);
    if (!log.gauge_pressure_bar.empty()) kept.gauge_pressure_bar.push_back(log.gauge_pressure_bar[i]);
  }
  for (const LogSignature& signature : {open, shorted})
    if (signature.count > 0) finding.signatures.push_back(signature);
  return kept;
}

/// Integral of the part of a straight line from a to b over `seconds` that lies above zero, and the time it does.
struct Above {
  double integral = 0, time = 0;
};
Above above_zero(double a, double b, double seconds) {
  if (a <= 0 && b <= 0) return {};
  if (a >= 0 && b >= 0) return {(a + b) / 2 * seconds, seconds};
  const double high = std::max(a, b), time = seconds * high / std::abs(b - a);
  return {high / 2 * time, time};
}

void measure(const CoolantLog& log, const LogQuestion& question, LogFinding& finding) {
  const double limit = question.limit.celsius();
  HotEpisode* open = nullptr;
  for (std::size_t i = 0; i < log.time_s.size(); ++i) {
    const double now = log.temperature_C[i];
    if (now > finding.peak_C || i == 0) finding.peak_C = now, finding.peak_at_s = log.time_s[i];
    if (i > 0) {
      const Above above = above_zero(log.temperature_C[i - 1] - limit, now - limit, log.time_s[i] - log.time_s[i - 1]);
      finding.dose_K_min += above.integral / 60;
      finding.above_min += above.time / 60;
      if (open) open->dose_K_min += above.integral / 60;
    }
    if (now > limit && !open) {
      finding.episodes.push_back({log.time_s[i], log.time_s[i], now});
      open = &finding.episodes.back();
    }
    if (!open) continue;
    open->to_s = log.time_s[i];
    open->peak_C = std::max(open->peak_C, now);
    if (now <= limit) open = nullptr;
  }
  finding.least_margin_K = question.boils_cap_good.celsius() - finding.peak_C;
  finding.least_margin_no_cap_K = question.boils_no_cap.celsius() - finding.peak_C;
  for (HotEpisode& episode : finding.episodes) {
    episode.boils_no_cap = episode.peak_C >= question.boils_no_cap.celsius();
    episode.boils_cap_good = episode.peak_C >= question.boils_cap_good.celsius();
  }
}

/// A sensor that fell dry says nothing any more: what came after may have been hotter.
void mark_dry(LogFinding& finding) {
  for (const LogSignature& signature : finding.signatures) {
    if (signature.sign != LogSign::kSensorDry) continue;
    finding.peak_is_lower_bound = true;
    for (HotEpisode& episode : finding.episodes)
      if (signature.from_s >= episode.from_s && signature.from_s <= episode.to_s) episode.dry_from_s = signature.from_s;
  }
}

}  // namespace

LogFinding judge_log(const CoolantLog& log, const LogQuestion& question) {
  check(log);
  LogFinding finding;
  const CoolantLog readings = readings_only(log, finding);
  if (readings.time_s.size() < 2) {
    finding.status = finding.signatures.empty() ? LogFinding::Status::kNoSamples : LogFinding::Status::kNoSensor;
    return finding;
  }
  measure(readings, question, finding);
  find_steps(readings, finding);
  find_thermostat(readings, question, finding);
  find_fan_cycle(readings, finding);
  find_hot_by_speed(readings, question, finding);
  find_departure(readings, question, finding);
  find_pressure(readings, question, finding);
  mark_dry(finding);
  finding.status = LogFinding::Status::kJudged;
  return finding;
}

}  // namespace headjoint::coolant
