#include "headjoint/traces/tooth_speed.h"

#include <algorithm>
#include <cmath>

#include "headjoint/base/error.h"

namespace headjoint::traces {
namespace {

using Status = ToothSpeed::Status;

constexpr double kLeastSamplesATooth = 6;
constexpr double kHysteresis = 0.2;  // of the swing

/// Times at which the signal crosses its middle upwards, from well below to well above.
std::vector<double> crossings(const Signal& sensor) {
  std::vector<float> sorted = sensor.values;
  const auto middle = sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() / 2);
  std::nth_element(sorted.begin(), middle, sorted.end());
  const auto [least, most] = std::minmax_element(sensor.values.begin(), sensor.values.end());
  // A square signal spends its time at its ends: the middle lies between them.
  const bool is_square = *middle - *least < 0.1F * (*most - *least) || *most - *middle < 0.1F * (*most - *least);
  const double centre = static_cast<double>(is_square ? (*least + *most) / 2 : *middle);
  const double least_swing =
      0.2 * std::max(static_cast<double>(*most) - centre, centre - static_cast<double>(*least));  // noise at rest is less
  const double forget = std::exp(-1 / (0.2 * sensor.rate_Hz));                                    // the swing of the last fifth of a second
  std::vector<double> times;
  double swing = least_swing, crossed_s = 0;
  bool was_low = false;
  for (std::size_t i = 1; i < sensor.values.size(); ++i) {
    const double before = static_cast<double>(sensor.values[i - 1]) - centre, now = static_cast<double>(sensor.values[i]) - centre;
    swing = std::max({swing * forget, std::abs(now), least_swing});
    was_low = was_low || now < -kHysteresis * swing;
    if (before < 0 && now >= 0) crossed_s = sensor.time_s(static_cast<double>(i - 1) - before / (now - before));
    if (!was_low || now < kHysteresis * swing) continue;  // where teeth are missing the signal rests in the middle
    times.push_back(crossed_s);
    was_low = false;
  }
  return times;
}

struct Step {
  double from_s = 0, length_s = 0;
  int teeth = 1;
};

/// Steps from tooth to tooth; one that is longer than its neighbours by the missing teeth spans them.
std::vector<Step> steps_of(const std::vector<double>& times, int missing) {
  std::vector<Step> steps;
  for (std::size_t i = 1; i < times.size(); ++i) steps.push_back({times[i - 1], times[i] - times[i - 1], 1});
  if (missing == 0) return steps;
  for (std::size_t i = 1; i + 1 < steps.size(); ++i) {
    const double beside = (steps[i - 1].length_s + steps[i + 1].length_s) / 2;
    if (steps[i].length_s > (0.5 * missing + 1) * beside) steps[i].teeth = missing + 1;
  }
  return steps;
}

/// Most gaps follow the one before by one turn.
bool gaps_fit(const std::vector<Step>& steps, const ToothedWheel& wheel) {
  int turns = 0, fitting = 0, since = 0;
  bool has_gap = false;
  for (const Step& step : steps) {
    since += step.teeth;
    if (step.teeth == 1) continue;
    if (has_gap) ++turns, fitting += since == wheel.teeth;
    has_gap = true;
    since = 0;
  }
  return turns >= 2 && fitting * 10 >= turns * 6;
}

/// Even samples between the middles of the steps.
Signal on_even_grid(const std::vector<Step>& steps, const ToothedWheel& wheel, double rate_Hz) {
  const auto middle = [&](std::size_t i) { return steps[i].from_s + steps[i].length_s / 2; };
  const auto rpm = [&](std::size_t i) { return 60.0 * steps[i].teeth / wheel.teeth / steps[i].length_s; };
  Signal speed{middle(0), rate_Hz, {}};
  std::size_t i = 0;
  const auto count = static_cast<std::size_t>((middle(steps.size() - 1) - middle(0)) * rate_Hz);
  for (std::size_t k = 0; k < count; ++k) {
    const double time = speed.time_s(static_cast<double>(k));
    while (i + 2 < steps.size() && middle(i + 1) < time) ++i;
    const double share = std::clamp((time - middle(i)) / (middle(i + 1) - middle(i)), 0.0, 1.0);
    speed.values.push_back(static_cast<float>(std::lerp(rpm(i), rpm(i + 1), share)));
  }
  return speed;
}

double usual_length(const std::vector<Step>& steps) {
  std::vector<double> lengths;
  for (const Step& step : steps) lengths.push_back(step.length_s / step.teeth);
  const auto middle = lengths.begin() + static_cast<std::ptrdiff_t>(lengths.size() / 2);
  std::nth_element(lengths.begin(), middle, lengths.end());
  return *middle;
}

}  // namespace

ToothSpeed tooth_speed(const Signal& sensor, const ToothedWheel& wheel) {
  require(wheel.teeth >= 6 && wheel.teeth <= 400 && wheel.missing >= 0 && wheel.missing <= 4, "a wheel has 6 to 400 teeth");
  constexpr double kOutputRate_Hz = 2000;
  ToothSpeed found;
  found.status = Status::kNoTeeth;
  if (sensor.values.size() < 100) return found;
  const std::vector<Step> steps = steps_of(crossings(sensor), wheel.missing);
  if (steps.size() < static_cast<std::size_t>(2 * wheel.teeth)) return found;
  found.needed_rate_Hz = kLeastSamplesATooth / usual_length(steps);
  if (sensor.rate_Hz < found.needed_rate_Hz) {
    found.status = Status::kTooSlowlySampled;
    return found;
  }
  if (wheel.missing > 0 && !gaps_fit(steps, wheel)) {
    found.status = Status::kOtherWheel;
    return found;
  }
  for (const Step& step : steps)
    if (step.teeth > 1) found.gaps_s.push_back(step.from_s);
  found.speed_rpm = on_even_grid(steps, wheel, std::min(kOutputRate_Hz, sensor.rate_Hz));
  found.status = Status::kFound;
  return found;
}

}  // namespace headjoint::traces
