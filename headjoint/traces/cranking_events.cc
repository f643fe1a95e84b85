#include "headjoint/traces/cranking_events.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "headjoint/base/error.h"
#include "headjoint/traces/filters.h"
#include "headjoint/traces/internal/spectrum.h"

namespace headjoint::traces {
namespace {

using Status = CrankingEvents::Status;

constexpr double kSlowest_rpm = 70, kFastest_rpm = 500;
constexpr double kBlock_s = 0.02;  // grid on which the ripple is watched
constexpr double kRippleWindow_s = 0.4;
constexpr double kInrush_s = 0.5;
constexpr double kSmear_s = 0.35;  // by how much the ripple window blurs the ends

double frequency_of(double rpm, int cylinders) { return rpm / 60 * cylinders / 2; }

/// Humps upwards: how hard the starter works.
std::vector<float> as_load(const std::vector<float>& values, CrankingKind kind) {
  std::vector<float> load(values);
  if (kind == CrankingKind::kBatteryVoltage)
    for (float& value : load) value = -value;
  if (kind == CrankingKind::kCrankSpeed)
    for (float& value : load) value = -value * value;
  return load;
}

float median_of(std::vector<float> values) {
  if (values.empty()) return 0;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

struct Blocks {
  double block_s = 0;
  std::size_t samples = 0;  ///< a block
  std::vector<double> mean, ripple;
};

/// Mean of short blocks, and how much the values within a window around each block scatter about the window's mean.
Blocks blocks_of(const std::vector<float>& load, double rate_Hz) {
  Blocks blocks;
  blocks.samples = std::max<std::size_t>(1, static_cast<std::size_t>(kBlock_s * rate_Hz));
  blocks.block_s = static_cast<double>(blocks.samples) / rate_Hz;
  const std::size_t count = load.size() / blocks.samples;
  std::vector<double> sum(count + 1), squares(count + 1);
  const double middle = static_cast<double>(load.empty() ? 0 : load[load.size() / 2]);  // keeps the squares small
  for (std::size_t b = 0; b < count; ++b) {
    double s = 0, q = 0;
    for (std::size_t i = b * blocks.samples; i < (b + 1) * blocks.samples; ++i) {
      const double value = static_cast<double>(load[i]) - middle;
      s += value;
      q += value * value;
    }
    sum[b + 1] = sum[b] + s;
    squares[b + 1] = squares[b] + q;
    blocks.mean.push_back(s / static_cast<double>(blocks.samples) + middle);
  }
  const std::size_t half = static_cast<std::size_t>(kRippleWindow_s / 2 / blocks.block_s);
  for (std::size_t b = 0; b < count; ++b) {
    const std::size_t from = b > half ? b - half : 0, to = std::min(count, b + half + 1);
    const double n = static_cast<double>((to - from) * blocks.samples), mean = (sum[to] - sum[from]) / n;
    blocks.ripple.push_back(std::sqrt(std::max(0.0, (squares[to] - squares[from]) / n - mean * mean)));
  }
  return blocks;
}

/// The ripple that parts rest from cranking best (Otsu's threshold on its logarithm); 0 when all of it is of one kind.
double parting_ripple(const std::vector<double>& ripple) {
  std::vector<double> logs;
  const double greatest = *std::max_element(ripple.begin(), ripple.end());
  for (const double value : ripple) logs.push_back(std::log(std::max(value, 1e-4 * greatest)));
  std::sort(logs.begin(), logs.end());
  std::vector<double> sum(logs.size() + 1);
  for (std::size_t i = 0; i < logs.size(); ++i) sum[i + 1] = sum[i] + logs[i];
  const double total = sum.back(), n = static_cast<double>(logs.size());
  double best = 0, threshold = 0;
  for (std::size_t i = 1; i < logs.size(); ++i) {
    const double low = static_cast<double>(i), high = n - low;
    const double apart = (total - sum[i]) / high - sum[i] / low, between = low * high * apart * apart;
    if (between > best && apart > std::log(3.0)) best = between, threshold = (logs[i - 1] + logs[i]) / 2;
  }
  return best > 0 ? std::exp(threshold) : 0;
}

struct Stretch {
  std::size_t from = 0, to = 0;  ///< samples
  bool starts_from_rest = false;
};

/// The longest stretch of strong ripple.
Stretch cranking_stretch(const Blocks& blocks, std::size_t samples, double rate_Hz) {
  const double threshold = parting_ripple(blocks.ripple);
  std::size_t from = 0, best_from = 0, best_to = 0;
  for (std::size_t b = 0; b <= blocks.ripple.size(); ++b) {
    if (b < blocks.ripple.size() && blocks.ripple[b] >= threshold) continue;
    if (b - from > best_to - best_from) best_from = from, best_to = b;
    from = b + 1;
  }
  Stretch stretch{best_from * blocks.samples, std::min(samples, best_to * blocks.samples), best_from > 0};
  if (best_to == blocks.ripple.size()) stretch.to = samples;
  const auto cut = [&](double seconds) { return static_cast<std::size_t>(seconds * rate_Hz); };
  if (stretch.starts_from_rest) stretch.from += cut(kSmear_s / 2 + kInrush_s);
  if (best_to < blocks.ripple.size()) stretch.to -= std::min(stretch.to, cut(kSmear_s));
  return stretch;
}

/// Strongest repetition in the range that a starter can turn; 0 when there is none.
double repetition_Hz(std::span<const float> load, double rate_Hz, int cylinders) {
  const double lowest = frequency_of(kSlowest_rpm, cylinders), highest = frequency_of(kFastest_rpm, cylinders);
  const std::size_t join = std::max<std::size_t>(1, static_cast<std::size_t>(rate_Hz / (6 * highest)));
  std::vector<double> values;
  for (std::size_t i = 0; i + join <= load.size() && values.size() < 16384; i += join) {
    double sum = 0;
    for (std::size_t k = 0; k < join; ++k) sum += static_cast<double>(load[i + k]);
    values.push_back(sum / static_cast<double>(join));
  }
  if (values.size() < 16) return 0;
  double mean = 0;
  for (const double value : values) mean += value / static_cast<double>(values.size());
  for (std::size_t i = 0; i < values.size(); ++i) {
    const double hann = 0.5 - 0.5 * std::cos(2 * std::numbers::pi * static_cast<double>(i) / static_cast<double>(values.size()));
    values[i] = (values[i] - mean) * hann;
  }
  values.resize(fast_size(4 * values.size()), 0.0);
  const std::vector<std::complex<double>> lines = spectrum(values);
  const double step_Hz = rate_Hz / static_cast<double>(join) / static_cast<double>(values.size());
  const auto strongest = [&](double from_Hz, double to_Hz) {
    std::size_t best = 0;
    for (std::size_t k = static_cast<std::size_t>(from_Hz / step_Hz); k < lines.size() && static_cast<double>(k) * step_Hz <= to_Hz; ++k)
      if (best == 0 || std::abs(lines[k]) > std::abs(lines[best])) best = k;
    return best;
  };
  const std::size_t first = strongest(lowest, highest);
  const double at = static_cast<double>(first) * step_Hz;
  if (2.1 * at > highest) return at;
  const std::size_t octave = strongest(1.9 * at, 2.1 * at);  // every second compression weak makes half the frequency stand out
  constexpr double kStrongOctave = 0.6;
  return std::abs(lines[octave]) > kStrongOctave * std::abs(lines[first]) ? static_cast<double>(octave) * step_Hz : at;
}

class EventFinder {
 public:
  EventFinder(const Signal& load, double frequency_Hz) : load_(load), period_(load.rate_Hz / frequency_Hz) {}

  std::vector<CompressionEvent> find() {
    find_tops();
    insert_missing();
    std::vector<CompressionEvent> events;
    for (std::size_t i = 1; i + 1 < tops_.size(); ++i) events.push_back(event(i));
    return events;
  }

 private:
  [[nodiscard]] float at(std::size_t i) const { return load_.values[i]; }

  /// A top is the greatest value within 0.45 of a period on both sides.
  void find_tops() {
    const std::size_t half = std::max<std::size_t>(1, static_cast<std::size_t>(0.45 * period_));
    for (std::size_t i = 1; i + 1 < load_.values.size(); ++i) {
      if (!(at(i) > at(i - 1) && at(i) >= at(i + 1))) continue;
      const std::size_t from = i > half ? i - half : 0, to = std::min(load_.values.size(), i + half + 1);
      const auto begin = load_.values.begin();
      if (*std::max_element(begin + static_cast<std::ptrdiff_t>(from), begin + static_cast<std::ptrdiff_t>(to)) > at(i)) continue;
      tops_.push_back({i, false});
      i += half;
    }
  }

  void insert_missing() {
    if (tops_.size() < 3) return;
    std::vector<float> steps;
    for (std::size_t i = 1; i < tops_.size(); ++i) steps.push_back(static_cast<float>(tops_[i].sample - tops_[i - 1].sample));
    const double usual = static_cast<double>(median_of(steps));
    std::vector<Top> all{tops_.front()};
    for (std::size_t i = 1; i < tops_.size(); ++i) {
      const double step = static_cast<double>(tops_[i].sample - tops_[i - 1].sample);
      const auto parts = static_cast<std::size_t>(std::lround(step / usual));
      constexpr std::size_t kMostMissing = 3;
      for (std::size_t k = 1; k < parts && parts <= kMostMissing; ++k)
        all.push_back({tops_[i - 1].sample + static_cast<std::size_t>(step * static_cast<double>(k) / static_cast<double>(parts)), true});
      all.push_back(tops_[i]);
    }
    tops_ = std::move(all);
  }

  [[nodiscard]] std::size_t lowest_between(std::size_t from, std::size_t to) const {
    const auto begin = load_.values.begin();
    return static_cast<std::size_t>(std::min_element(begin + static_cast<std::ptrdiff_t>(from), begin + static_cast<std::ptrdiff_t>(to)) -
                                    begin);
  }

  [[nodiscard]] CompressionEvent event(std::size_t i) const {
    const std::size_t top = tops_[i].sample, before = lowest_between(tops_[i - 1].sample, top),
                      after = lowest_between(top, tops_[i + 1].sample);
    CompressionEvent event;
    event.time_s = load_.time_s(static_cast<double>(top));
    event.peak = static_cast<double>(at(top));
    event.trough = static_cast<double>(at(before));
    event.rise = event.peak - event.trough;
    const double share = after > before ? static_cast<double>(top - before) / static_cast<double>(after - before) : 0;
    event.height = event.peak - std::lerp(event.trough, static_cast<double>(at(after)), share);
    event.is_inserted = tops_[i].is_inserted;
    return event;
  }

  struct Top {
    std::size_t sample;
    bool is_inserted;
  };
  const Signal& load_;
  double period_;
  std::vector<Top> tops_;
};

/// Compressions come evenly: nine of ten steps within a third of the usual one. Noise does not.
bool are_even(const std::vector<CompressionEvent>& events) {
  std::vector<float> steps;
  for (std::size_t i = 1; i < events.size(); ++i) steps.push_back(static_cast<float>(events[i].time_s - events[i - 1].time_s));
  const float usual = median_of(steps);
  const auto even = std::count_if(steps.begin(), steps.end(), [&](float step) { return std::abs(step - usual) < usual / 3; });
  const auto inserted = std::count_if(events.begin(), events.end(), [](const CompressionEvent& event) { return event.is_inserted; });
  return static_cast<double>(even) >= 0.9 * static_cast<double>(steps.size()) &&
         static_cast<double>(inserted) < 0.35 * static_cast<double>(events.size());
}

/// Three and more humps of exactly the same height, flat for several samples: the instrument cut them off.
bool are_cut_off(std::span<const float> unsmoothed) {
  const float most = *std::max_element(unsmoothed.begin(), unsmoothed.end()),
              least = *std::min_element(unsmoothed.begin(), unsmoothed.end());
  for (const float limit : {most, least}) {
    std::size_t flats = 0, run = 0;
    for (const float value : unsmoothed) {
      run = value == limit ? run + 1 : 0;
      flats += run == 4;
    }
    if (flats >= 3) return true;
  }
  return false;
}

/// With the probe the wrong way round the strongest departure from rest, the inrush, points downwards; without rest before it, nothing
/// tells.
bool is_upside_down(const Blocks& blocks, const Stretch& stretch, CrankingKind kind) {
  if (kind == CrankingKind::kCrankSpeed || !stretch.starts_from_rest || blocks.mean.empty()) return false;
  const double rest = blocks.mean.front();
  double most = 0;
  for (std::size_t b = 0; b * blocks.samples < stretch.to && b < blocks.mean.size(); ++b)
    if (std::abs(blocks.mean[b] - rest) > std::abs(most)) most = blocks.mean[b] - rest;
  return most < 0;
}

}  // namespace

CrankingEvents find_compressions(const Signal& trace, CrankingKind kind, int cylinders) {
  require(cylinders >= 2 && cylinders <= 16, "2 to 16 cylinders can be compared");
  CrankingEvents found;
  found.needed_rate_Hz = 10 * frequency_of(kFastest_rpm, cylinders);
  found.status = Status::kNoCranking;
  if (trace.values.size() < 16) return found;
  std::vector<float> load = as_load(trace.values, kind);
  const Blocks blocks = blocks_of(load, trace.rate_Hz);
  if (blocks.ripple.empty() || !(*std::max_element(blocks.ripple.begin(), blocks.ripple.end()) > 0)) return found;
  const Stretch stretch = cranking_stretch(blocks, load.size(), trace.rate_Hz);
  if (stretch.to <= stretch.from + 8) return found;
  found.was_inverted = is_upside_down(blocks, stretch, kind);
  std::vector<float> part(load.begin() + static_cast<std::ptrdiff_t>(stretch.from), load.begin() + static_cast<std::ptrdiff_t>(stretch.to));
  std::vector<float>().swap(load);
  if (found.was_inverted)
    for (float& value : part) value = -value;
  found.from_s = trace.time_s(static_cast<double>(stretch.from));
  found.to_s = trace.time_s(static_cast<double>(stretch.to));
  found.frequency_Hz = repetition_Hz(part, trace.rate_Hz, cylinders);
  if (!(found.frequency_Hz > 0)) return found;
  found.needed_rate_Hz = 10 * found.frequency_Hz;
  if (trace.rate_Hz < found.needed_rate_Hz) {
    found.status = Status::kTooSlowlySampled;
    return found;
  }
  const bool cut_off = kind != CrankingKind::kCrankSpeed && are_cut_off(part);  // equal speeds are counted teeth, no limit of an instrument
  found.spikes = remove_spikes(part);
  found.load = {found.from_s, trace.rate_Hz, low_pass(part, trace.rate_Hz, 5 * found.frequency_Hz)};
  found.events = EventFinder(found.load, found.frequency_Hz).find();
  if (found.events.size() < 3 || !are_even(found.events))
    found.status = found.events.size() < 3 && found.to_s - found.from_s < 1 ? Status::kTooFew : Status::kNoCranking;
  else if (cut_off)
    found.status = Status::kClipped;
  else
    found.status = found.events.size() < 2 * static_cast<std::size_t>(cylinders) ? Status::kTooFew : Status::kFound;
  return found;
}

}  // namespace headjoint::traces
