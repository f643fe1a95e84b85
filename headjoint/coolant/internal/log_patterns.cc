#include "headjoint/coolant/internal/log_patterns.h"

#include <algorithm>
#include <cmath>

namespace headjoint::coolant {
namespace {

constexpr double kStep_K = 5, kStep_s = 5;
constexpr double kHot_C = 95;
constexpr double kLoaded_percent = 30;
constexpr double kSlow_km_h = 20, kFast_km_h = 60;

double median_of(std::vector<double> values) {
  if (values.empty()) return std::nan("");
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

bool may_be_loaded(const CoolantLog& log, std::size_t i) {
  return log.load_percent.empty() || std::isnan(log.load_percent[i]) || log.load_percent[i] >= kLoaded_percent;
}

void add(LogFinding& finding, LogSignature signature) {
  for (LogSignature& other : finding.signatures) {
    if (other.sign != signature.sign) continue;
    ++other.count;
    if (std::abs(signature.size) > std::abs(other.size)) other.size = signature.size;
    return;
  }
  finding.signatures.push_back(signature);
}

/// Rate of rise between two temperatures on the first way up, K/s; NaN when the log does not pass both.
double rise_between(const CoolantLog& log, double low_C, double high_C) {
  double low_s = -1;
  for (std::size_t i = 0; i < log.time_s.size(); ++i) {
    if (log.temperature_C[i] <= low_C) low_s = log.time_s[i];
    if (low_s >= 0 && log.temperature_C[i] >= high_C) return (high_C - low_C) / (log.time_s[i] - low_s);
  }
  return std::nan("");
}

}  // namespace

void find_steps(const CoolantLog& log, LogFinding& finding) {
  std::size_t back = 0;
  double quiet_until = -1;
  for (std::size_t i = 1; i < log.time_s.size(); ++i) {
    while (log.time_s[i] - log.time_s[back] > kStep_s) ++back;
    if (back == i || log.time_s[i] < quiet_until) continue;
    const double step = log.temperature_C[i] - log.temperature_C[back];
    if (!(std::abs(step) >= kStep_K)) continue;
    quiet_until = log.time_s[i] + 2 * kStep_s;
    const bool is_dry = step < 0 && log.temperature_C[back] >= kHot_C && may_be_loaded(log, i);
    add(finding, {is_dry ? LogSign::kSensorDry : LogSign::kStepTooFast, log.time_s[back], log.time_s[i], step});
  }
}

void find_thermostat(const CoolantLog& log, const LogQuestion& question, LogFinding& finding) {
  constexpr double kCold_C = 65, kLongEnough_s = 900, kNear_K = 11, kPast_K = 8, kUnbent = 0.6;
  const double opens = question.engine.opens.celsius(), full = question.engine.full.celsius();
  const double start = log.temperature_C.front(), lasted = log.time_s.back() - log.time_s.front();
  if (start < kCold_C && lasted > kLongEnough_s && finding.peak_C < opens - kNear_K)
    add(finding, {LogSign::kStuckOpen, log.time_s.front(), log.time_s.back(), finding.peak_C});
  const double below = rise_between(log, opens - 15, opens), above = rise_between(log, full, full + kPast_K);
  if (above >= kUnbent * below) add(finding, {LogSign::kStuckShut, log.time_s.front(), finding.peak_at_s, finding.peak_C});
}

/// Turning points more than 2 K apart; a fan makes a regular row of them.
void find_fan_cycle(const CoolantLog& log, LogFinding& finding) {
  constexpr double kLeast_K = 3, kMost_K = 10, kShortest_s = 20, kLongest_s = 720, kWarm_C = 80;
  constexpr int kFewest = 3;
  double extreme = log.temperature_C.front(), extreme_s = log.time_s.front(), last_top_s = -1, first_s = -1, last_s = -1, swing = 0;
  bool is_rising = true;
  int cycles = 0;
  for (std::size_t i = 1; i < log.time_s.size(); ++i) {
    const double now = log.temperature_C[i];
    if (!(now >= kWarm_C) || (!log.road_speed_km_h.empty() && log.road_speed_km_h[i] > kSlow_km_h)) {
      extreme = now, extreme_s = log.time_s[i], is_rising = true, last_top_s = -1;
      continue;
    }
    if (is_rising ? now > extreme : now < extreme) extreme = now, extreme_s = log.time_s[i];
    if (std::abs(now - extreme) < kLeast_K) continue;
    if (is_rising) {
      const double period = extreme_s - last_top_s;
      if (last_top_s >= 0 && period >= kShortest_s && period <= kLongest_s && swing <= kMost_K) {
        if (cycles == 0) first_s = last_top_s;
        ++cycles;
        last_s = extreme_s;
      }
      last_top_s = extreme_s;
      swing = 0;
    }
    swing = std::max(swing, std::abs(extreme - now));
    is_rising = !is_rising;
    extreme = now, extreme_s = log.time_s[i];
  }
  if (cycles >= kFewest) finding.signatures.push_back({LogSign::kFanCycle, first_s, last_s, static_cast<double>(cycles), cycles});
}

void find_hot_by_speed(const CoolantLog& log, const LogQuestion& question, LogFinding& finding) {
  if (log.road_speed_km_h.empty()) return;
  std::vector<double> slow, fast;
  bool is_warm = false;
  for (std::size_t i = 0; i < log.time_s.size(); ++i) {
    is_warm = is_warm || log.temperature_C[i] >= question.engine.opens.celsius();
    if (!is_warm) continue;
    if (log.road_speed_km_h[i] < kSlow_km_h) slow.push_back(log.temperature_C[i]);
    if (log.road_speed_km_h[i] > kFast_km_h) fast.push_back(log.temperature_C[i]);
  }
  constexpr std::size_t kEnough = 20;
  constexpr double kApart_K = 6;
  if (slow.size() < kEnough || fast.size() < kEnough) return;
  const double at_idle = median_of(slow), at_speed = median_of(fast), too_hot = question.engine.full.celsius() + 5;
  if (at_idle > at_speed + kApart_K && at_idle > too_hot)
    add(finding, {LogSign::kHotAtIdle, log.time_s.front(), log.time_s.back(), at_idle - at_speed});
  if (at_speed > at_idle + kApart_K && at_speed > too_hot)
    add(finding, {LogSign::kHotAtSpeed, log.time_s.front(), log.time_s.back(), at_speed - at_idle});
}

/// Half-minute means once warm against the upper end of the thermostat's range: sensors step by 1 K and load swings by a few.
void find_departure(const CoolantLog& log, const LogQuestion& question, LogFinding& finding) {
  constexpr double kMean_s = 30, kUsualSpread_K = 3, kLimitSpreads = 5;
  std::vector<double> means, starts;
  double sum = 0, from = -1;
  int count = 0;
  bool is_warm = false;
  for (std::size_t i = 0; i < log.time_s.size(); ++i) {
    is_warm = is_warm || log.temperature_C[i] >= question.engine.opens.celsius();
    if (!is_warm) continue;
    if (from < 0) from = log.time_s[i];
    sum += log.temperature_C[i];
    ++count;
    if (log.time_s[i] - from < kMean_s) continue;
    means.push_back(sum / count);
    starts.push_back(from);
    sum = 0, count = 0, from = -1;
  }
  finding.usual_C = median_of(means);
  const Cusum sums = cumulative_sums(means, question.engine.full.celsius(), kUsualSpread_K / 2, kLimitSpreads * kUsualSpread_K);
  for (const std::size_t alarm : sums.alarms) {
    if (sums.upper[alarm] <= kLimitSpreads * kUsualSpread_K) continue;
    add(finding, {LogSign::kHotterThanUsual, starts[alarm], starts.back() + kMean_s, means[alarm] - question.engine.full.celsius()});
    return;
  }
}

void find_pressure(const CoolantLog& log, const LogQuestion& question, LogFinding& finding) {
  if (log.gauge_pressure_bar.empty()) return;
  constexpr double kLeft_bar = 0.05, kCooledTo_K = 5, kWarmedBy_K = 30;
  const double start_C = log.temperature_C.front(), start_bar = log.gauge_pressure_bar.front();
  double worst = 0, at = -1;
  for (std::size_t i = 0; i < log.time_s.size() && question.highest_normal_bar; ++i) {
    if (std::isnan(log.gauge_pressure_bar[i])) continue;
    const double beyond = log.gauge_pressure_bar[i] - question.highest_normal_bar(start_C, log.temperature_C[i], start_bar);
    if (beyond > worst) worst = beyond, at = log.time_s[i];
  }
  constexpr double kGauge_bar = 0.05;
  if (worst > kGauge_bar) add(finding, {LogSign::kPressureTooHigh, at, at, worst});
  const double end_bar = log.gauge_pressure_bar.back();
  const bool has_cooled = log.temperature_C.back() < finding.peak_C - kWarmedBy_K && log.temperature_C.back() < start_C + kCooledTo_K;
  if (has_cooled && end_bar > start_bar + kLeft_bar)
    add(finding, {LogSign::kPressureLeft, log.time_s.back(), log.time_s.back(), end_bar - start_bar});
}

}  // namespace headjoint::coolant
