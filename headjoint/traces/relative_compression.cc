#include "headjoint/traces/relative_compression.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "headjoint/base/error.h"
#include "headjoint/base/text.h"
#include "headjoint/traces/internal/cycle_places.h"
#include "headjoint/traces/internal/weak_pattern.h"

namespace headjoint::traces {
namespace {

constexpr double kWeakBy = 0.08;
constexpr double kSureErrors = 4;
constexpr double kWildSpreads = 5;

double median_of(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

/// Height over the mean of one whole cycle around the event: half weights at both ends when the cycle has an even number of events.
void take_out_the_trend(std::vector<PlacedEvent>& events, int cylinders) {
  const auto count = static_cast<std::ptrdiff_t>(events.size()), n = static_cast<std::ptrdiff_t>(cylinders), half = n / 2;
  for (std::ptrdiff_t i = 0; i < count; ++i) {
    const std::ptrdiff_t centre = std::clamp(i, half, std::max(half, count - 1 - half));
    double sum = 0, weights = 0;
    for (std::ptrdiff_t k = centre - half; k <= centre + half && k < count; ++k) {
      const double weight = n % 2 == 0 && (k == centre - half || k == centre + half) ? 0.5 : 1;
      sum += weight * events[static_cast<std::size_t>(k)].event.height;
      weights += weight;
    }
    PlacedEvent& event = events[static_cast<std::size_t>(i)];
    event.relative = sum > 0 ? event.event.height * weights / sum : 0;
    event.is_used = sum > 0;
  }
}

/// Mean and spread of one place; what lies further from the median than five robust standard deviations is not used.
RelativeValue averaged(std::vector<PlacedEvent>& events, int place) {
  std::vector<double> all;
  for (const PlacedEvent& event : events)
    if (event.place == place && event.is_used) all.push_back(event.relative);
  RelativeValue value;
  value.place = place;
  if (all.empty()) return value;
  const double middle = median_of(all);
  std::vector<double> away;
  for (const double one : all) away.push_back(std::abs(one - middle));
  const double wild = kWildSpreads * std::max(1.4826 * median_of(away), 0.005);
  double sum = 0, squares = 0;
  for (PlacedEvent& event : events) {
    if (event.place != place || !event.is_used) continue;
    event.is_used = std::abs(event.relative - middle) <= wild;
    if (!event.is_used) continue;
    value.cylinder = event.cylinder;
    ++value.events;
    sum += event.relative;
    squares += event.relative * event.relative;
  }
  value.value = sum / value.events;
  const double variance = value.events > 1 ? (squares - value.events * value.value * value.value) / (value.events - 1) : 0;
  value.spread = std::sqrt(std::max(0.0, variance));
  value.standard_error = value.spread / std::sqrt(value.events);
  return value;
}

/// 1 becomes the mean of the stronger half.
void scale_to_the_stronger_half(std::vector<RelativeValue>& values) {
  std::vector<double> sorted;
  for (const RelativeValue& value : values) sorted.push_back(value.value);
  std::sort(sorted.begin(), sorted.end(), std::greater<>());
  const std::size_t half = (sorted.size() + 1) / 2;
  const double strong =
      std::accumulate(sorted.begin(), sorted.begin() + static_cast<std::ptrdiff_t>(half), 0.0) / static_cast<double>(half);
  if (!(strong > 0)) return;
  for (RelativeValue& value : values) {
    value.value /= strong;
    value.spread /= strong;
    value.standard_error /= strong;
  }
}

void find_the_weak(RelativeCompression& result) {
  double errors = 0;
  for (const RelativeValue& value : result.values) errors = std::max(errors, value.standard_error);
  result.weak_below = 1 - std::max(kWeakBy, kSureErrors * errors);
  for (RelativeValue& value : result.values) value.is_weak = value.events > 0 && value.value < result.weak_below;
}

/// Every whole cycle stretched over equal steps between its events.
AverageCycle average_cycle(const RelativeCompression& result, int cylinders) {
  constexpr std::size_t kSteps = 240;
  const Signal& load = result.found.load;
  std::vector<double> sum(kSteps), squares(kSteps);
  const auto n = static_cast<std::size_t>(cylinders);
  std::size_t cycles = 0;
  for (std::size_t i = 0; i + n < result.events.size(); ++i) {
    if (result.events[i].place != 1 || result.events[i + n].place != 1) continue;
    ++cycles;
    for (std::size_t s = 0; s < kSteps; ++s) {
      const double at = static_cast<double>(s * n) / kSteps;
      const std::size_t k = i + static_cast<std::size_t>(at);
      const double time = std::lerp(result.events[k].event.time_s, result.events[k + 1].event.time_s, at - std::floor(at));
      const double index = std::clamp((time - load.start_s) * load.rate_Hz, 0.0, static_cast<double>(load.values.size() - 2));
      const auto j = static_cast<std::size_t>(index);
      const double value =
          std::lerp(static_cast<double>(load.values[j]), static_cast<double>(load.values[j + 1]), index - static_cast<double>(j));
      sum[s] += value;
      squares[s] += value * value;
    }
  }
  AverageCycle average;
  for (std::size_t s = 0; s < kSteps && cycles > 0; ++s) {
    const double c = static_cast<double>(cycles), mean = sum[s] / c, spread = std::sqrt(std::max(0.0, squares[s] / c - mean * mean));
    average.mean.push_back(mean);
    average.low.push_back(mean - spread);
    average.high.push_back(mean + spread);
  }
  return average;
}

}  // namespace

RelativeCompression compare_cylinders(const Signal& trace, const CrankingQuestion& question) {
  require(question.firing_order.empty() || question.firing_order.size() == static_cast<std::size_t>(question.cylinders),
          "a firing order names every cylinder");
  RelativeCompression result;
  result.found = find_compressions(trace, question.kind, question.cylinders);
  if (result.found.status != CrankingEvents::Status::kFound && result.found.status != CrankingEvents::Status::kClipped) return result;
  place_events(result, question);
  take_out_the_trend(result.events, question.cylinders);
  for (int place = 1; place <= question.cylinders; ++place) result.values.push_back(averaged(result.events, place));
  result.cycles = static_cast<int>(result.events.size()) / question.cylinders;
  const std::vector<CompressionEvent>& events = result.found.events;
  const double seconds = events.back().time_s - events.front().time_s;
  result.mean_rpm = 120.0 / question.cylinders * static_cast<double>(events.size() - 1) / seconds;
  scale_to_the_stronger_half(result.values);
  find_the_weak(result);
  name_pattern(result, question);
  result.average = average_cycle(result, question.cylinders);
  constexpr int kFewCycles = 5;
  if (result.cycles < kFewCycles)
    result.notes.push_back("Only " + std::to_string(result.cycles) + " cycles: crank for five seconds or more for a steadier answer.");
  return result;
}

}  // namespace headjoint::traces
