#include <algorithm>
#include <cmath>
#include <numbers>

#include "headjoint/leakage/internal/closed_cycle.h"
#include "headjoint/numerics/root.h"

/// The march of a group from valve event to valve event, and what is noted on the way.
namespace headjoint::leakage {
namespace {

constexpr double kTwoTurns = 4 * std::numbers::pi;
constexpr double kFirstStep = 0.02, kLongestStep = 0.5, kShortestStep = 1e-10;  // rad
constexpr int kMostSteps = 200000;                                              // per cycle and call; a leak of 1000 mm2 needs 10000
constexpr double kSafety = 0.9, kMostGrowth = 6, kMostShrink = 0.15;
constexpr double kLongestStepWithGauge = 0.02;  // rad; else a march could step over the short lift of its valve
constexpr double kPeakShare = 1e-6;             // of a step: how closely the peak's place is searched

}  // namespace

std::vector<ClosedCycle::Event> ClosedCycle::events(int cycles) const {
  std::vector<Event> result;
  for (std::size_t i = 0; i < cylinders_.size(); ++i) {
    if (cylinders_[i].is_plug_out) continue;
    for (int cycle = 0; cycle <= cycles; ++cycle) {
      const double centre = cylinders_[i].dead_centre + kTwoTurns * cycle;
      result.push_back({centre + air_.closing, i, Phase::kClosed, cycle});
      result.push_back({centre + air_.opening, i, Phase::kExhaust, cycle});
      result.push_back({centre + kTwoTurns / 2, i, Phase::kIntake, cycle});
    }
  }
  std::stable_sort(result.begin(), result.end(), [](const Event& a, const Event& b) { return a.angle < b.angle; });
  return result;
}

void ClosedCycle::take(const Event& event, const MarchPlan& plan) {
  const std::size_t i = event.cylinder;
  State y = march_.y();
  if (event.begins == Phase::kClosed) {
    close(i, event.angle - air_.closing);
    y[2 * i] = y[2 * i + 1] = 1;
    is_recorded_[i] = event.cycle == plan.cycles - 1;
    peak_[i] = {air_.intake, air_.closing, 1};
    if (i == 0) is_gauge_open_ = event.cycle >= plan.run_in;
  } else {
    if (phase_[i] == Phase::kClosed && is_recorded_[i])
      run_.cylinders[i] = {AbsolutePressure::from_pascal(peak_[i].pressure), Angle::from_radians(peak_[i].angle), peak_[i].mass_left,
                           std::move(run_.cylinders[i].trace)};
    if (phase_[i] == Phase::kClosed && i == 0 && gauge_.valve > 0 && is_gauge_open_ && event.cycle < plan.cycles)
      run_.gauge_readings.push_back(GaugePressure::from_pascal(air_.ambient * (y[2 * cylinders_.size()] - 1)));
    phase_[i] = event.begins;
  }
  march_.start(event.angle, y, [this](double x, const State& at, State& dy) { rates(x, at, dy); });
}

CrankingRun ClosedCycle::run(const MarchPlan& plan) {
  run_ = {};
  run_.status = CrankingRun::Status::kDone;
  const CylinderRun open{AbsolutePressure::from_pascal(air_.ambient), Angle{}, 1, {}};
  run_.cylinders.assign(cylinders_.size(), open);
  if (plan.trace_step > 0) {
    const auto points = static_cast<std::size_t>(std::lround(kTwoTurns / plan.trace_step)) + 1;
    for (std::size_t i = 0; i < cylinders_.size(); ++i)
      for (std::size_t point = 0; point < points; ++point) {
        const bool is_intake = -kTwoTurns / 2 + static_cast<double>(point) * plan.trace_step < air_.closing && !cylinders_[i].is_plug_out;
        run_.cylinders[i].trace.push_back(AbsolutePressure::from_pascal(is_intake ? air_.intake : air_.ambient));
      }
  }
  const std::vector<Event> all = events(plan.cycles);
  if (all.empty()) return run_;
  has_passed_peak_ = false;
  march_.start(all.front().angle, state_at_closing(), [this](double x, const State& y, State& dy) { rates(x, y, dy); });
  std::size_t unfinished = static_cast<std::size_t>(
      std::count_if(cylinders_.begin(), cylinders_.end(), [](const CycleCylinder& cylinder) { return !cylinder.is_plug_out; }));
  for (const Event& event : all) {
    if (std::find(phase_.begin(), phase_.end(), Phase::kClosed) != phase_.end()) march_to(event.angle, plan);
    if (run_.status != CrankingRun::Status::kDone) break;
    take(event, plan);
    if (event.begins == Phase::kExhaust && event.cycle == plan.cycles - 1 && --unfinished == 0) break;
  }
  return run_;
}

void ClosedCycle::march_to(double end, const MarchPlan& plan) {
  const auto slope = [this](double x, const State& y, State& dy) { rates(x, y, dy); };
  const double longest = gauge_.valve > 0 && is_gauge_open_ ? kLongestStepWithGauge : kLongestStep;
  double step = kFirstStep;
  while (march_.x() < end && !(plan.ends_at_peak && has_passed_peak_)) {
    const double left = end - march_.x();
    const bool is_last = step >= left;
    const double tried = std::min(is_last ? left : step, longest);
    const double error = march_.attempt(tried, slope);
    if (++run_.steps > kMostSteps * plan.cycles || !(tried > kShortestStep || is_last)) {
      run_.status = CrankingRun::Status::kStepLimit;
      return;
    }
    constexpr double kOrder = 5;
    const double growth = std::clamp(kSafety * std::pow(plan.tolerance / std::max(error, 1e-300), 1 / kOrder), kMostShrink, kMostGrowth);
    step = tried * growth;
    if (!(error <= plan.tolerance)) continue;
    note_step(tried, plan);
    march_.accept();
    if (is_last && tried == left) return;
  }
}

void ClosedCycle::note_step(double step, const MarchPlan& plan) {
  for (std::size_t i = 0; i < cylinders_.size(); ++i) {
    if (phase_[i] != Phase::kClosed || !is_recorded_[i]) continue;
    const double before = pressure_slope(i, march_.x(), march_.y(), march_.rates_at_start());
    const double after = pressure_slope(i, march_.x() + step, march_.next(), march_.rates_at_end());
    if (before > 0 && after <= 0) {
      const auto slope_at = [&](double share) {
        const State y = march_.between(share);
        State dy{};
        rates(march_.x() + share * step, y, dy);
        return pressure_slope(i, march_.x() + share * step, y, dy);
      };
      const bool is_bracketed = slope_at(0) > 0 && slope_at(1) <= 0;
      const double share = is_bracketed ? numerics::bracketed_root(slope_at, 0, 1, kPeakShare).x : 1;
      note_peak(i, march_.x() + share * step, march_.between(share));
      has_passed_peak_ = true;
    }
    if (plan.trace_step > 0) note_trace(i, step, plan);
  }
}

void ClosedCycle::note_peak(std::size_t cylinder, double angle, const State& y) {
  const double found = pressure(cylinder, angle, y);
  if (found > peak_[cylinder].pressure) peak_[cylinder] = {found, angle - dead_centre_[cylinder], y[2 * cylinder]};
}

void ClosedCycle::note_trace(std::size_t cylinder, double step, const MarchPlan& plan) {
  const double from = march_.x() - dead_centre_[cylinder] + kTwoTurns / 2;
  std::vector<AbsolutePressure>& trace = run_.cylinders[cylinder].trace;
  const auto first = static_cast<std::size_t>(std::ceil(from / plan.trace_step));
  for (std::size_t point = first; point < trace.size(); ++point) {
    const double share = (static_cast<double>(point) * plan.trace_step - from) / step;
    if (share > 1) break;
    trace[point] = AbsolutePressure::from_pascal(pressure(cylinder, march_.x() + share * step, march_.between(share)));
  }
}

}  // namespace headjoint::leakage
