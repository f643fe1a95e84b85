#include "headjoint/traces/internal/time_grid.h"

#include <algorithm>
#include <cmath>

namespace headjoint::traces {

TimeGrid::TimeGrid(const std::vector<double>& first_times) {
  std::vector<double> steps;
  std::size_t same = 0;
  for (std::size_t i = 1; i < first_times.size(); ++i) {
    const double step = first_times[i] - first_times[i - 1];
    if (step > 0) steps.push_back(step);
    same += step == 0;
  }
  if (steps.empty()) return;
  std::vector<double> sorted = steps;
  std::nth_element(sorted.begin(), sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() / 2), sorted.end());
  const double median = sorted[sorted.size() / 2];
  double sum = 0;
  std::size_t count = 0;
  for (const double step : steps)
    if (step < 3 * median) sum += step, ++count;
  usual_step_s_ = sum / static_cast<double>(count);
  is_coarse_ = same * 10 > steps.size();
  rate_Hz_ = is_coarse_ ? static_cast<double>(count + same) / sum : 1 / usual_step_s_;
}

TimeGrid::Step TimeGrid::step_to(double time_s) {
  const double step = time_s - last_s_;
  if (!has_last_ || std::isnan(time_s)) {
    has_last_ = has_last_ || !std::isnan(time_s);
    if (!std::isnan(time_s)) last_s_ = time_s;
    return {};
  }
  if (step < 0) return {Step::Kind::kBack, 0};
  last_s_ = time_s;
  if (is_coarse_) return {Step::Kind::kNext, step > 2.5 * usual_step_s_ ? static_cast<std::uint64_t>(step * rate_Hz_) : 0};
  constexpr double kLeak = 0.99;
  const double due = step * rate_Hz_ + behind_;
  const double advance = std::max(0.0, std::round(due));
  behind_ = std::clamp((due - advance) * kLeak, -1.0, 1.0);
  if (advance == 0) return {Step::Kind::kSame, 0};
  return {Step::Kind::kNext, static_cast<std::uint64_t>(advance) - 1};
}

}  // namespace headjoint::traces
