#include "headjoint/traces/internal/channel_collector.h"

#include <algorithm>
#include <cmath>
#include <iterator>

namespace headjoint::traces {
namespace {

constexpr float kMissing = std::numeric_limits<float>::quiet_NaN();

struct Sums {
  float sum = 0, least = std::numeric_limits<float>::infinity(), most = -std::numeric_limits<float>::infinity();
};

/// Eight lanes, so that the compiler may use vector registers without changing the order of additions.
Sums sums_of(const float* samples, std::size_t count) {
  float sum[8] = {}, least[8], most[8];
  std::fill_n(least, 8, std::numeric_limits<float>::infinity());
  std::fill_n(most, 8, -std::numeric_limits<float>::infinity());
  std::size_t i = 0;
  for (; i + 8 <= count; i += 8)
    for (std::size_t lane = 0; lane < 8; ++lane) {
      const float value = samples[i + lane];
      sum[lane] += value;
      least[lane] = value < least[lane] ? value : least[lane];
      most[lane] = value > most[lane] ? value : most[lane];
    }
  Sums all;
  for (; i < count; ++i) {
    all.sum += samples[i];
    all.least = samples[i] < all.least ? samples[i] : all.least;
    all.most = samples[i] > all.most ? samples[i] : all.most;
  }
  for (std::size_t lane = 0; lane < 8; ++lane) {
    all.sum += sum[lane];
    all.least = std::min(all.least, least[lane]);
    all.most = std::max(all.most, most[lane]);
  }
  return all;
}

/// A straight line over every stretch of missing values; the nearest value at the ends.
void bridge(std::vector<float>& values) {
  std::size_t last = values.size();
  for (std::size_t i = 0; i < values.size(); ++i) {
    if (std::isnan(values[i])) continue;
    if (last == values.size()) {
      std::fill_n(values.begin(), i, values[i]);
    } else if (i > last + 1) {
      for (std::size_t k = last + 1; k < i; ++k)
        values[k] = std::lerp(values[last], values[i], static_cast<float>(k - last) / static_cast<float>(i - last));
    }
    last = i;
  }
  if (last < values.size()) std::fill(values.begin() + static_cast<std::ptrdiff_t>(last), values.end(), values[last]);
}

}  // namespace

ChannelCollector::ChannelCollector(const ReadingWishes& wishes, bool is_pulse, double rate_Hz)
    : most_values_(std::max<std::size_t>(wishes.most_values, 2)),
      is_pulse_(is_pulse),
      rate_Hz_(rate_Hz),
      joins_(std::max<std::uint64_t>(1, static_cast<std::uint64_t>(std::ceil(rate_Hz / wishes.working_rate_Hz - 1e-9)))) {
  values_.reserve(most_values_);  // pages that are never touched cost no memory
}

void ChannelCollector::add(std::span<const float> samples) {
  while (!samples.empty()) {
    const std::size_t count = static_cast<std::size_t>(std::min<std::uint64_t>(samples.size(), joins_ - in_bin_));
    take_joined(samples.first(count));
    samples = samples.subspan(count);
  }
}

void ChannelCollector::add_missing(std::uint64_t count) {
  missing_ += count;
  while (count > 0) {
    const std::uint64_t now = std::min(count, joins_ - in_bin_);
    in_bin_ += now;
    count -= now;
    if (in_bin_ == joins_) close_bin();
  }
}

void ChannelCollector::take_joined(std::span<const float> samples) {
  Sums sums = sums_of(samples.data(), samples.size());
  std::uint64_t numbers = samples.size();
  if (std::isnan(sums.sum) || std::isinf(sums.sum)) {
    std::vector<float> finite;
    std::copy_if(samples.begin(), samples.end(), std::back_inserter(finite), [](float value) { return std::isfinite(value); });
    sums = sums_of(finite.data(), finite.size());
    numbers = finite.size();
    missing_ += samples.size() - numbers;
  }
  sum_ += static_cast<double>(sums.sum);
  numbers_ += numbers;
  in_bin_ += samples.size();
  greatest_ = std::max(greatest_, sums.most);
  least_seen_ = std::min(least_seen_, sums.least);
  most_seen_ = std::max(most_seen_, sums.most);
  if (in_bin_ == joins_) close_bin();
}

void ChannelCollector::close_bin() {
  values_.push_back(numbers_ == 0 ? kMissing : is_pulse_ ? greatest_ : static_cast<float>(sum_ / static_cast<double>(numbers_)));
  sum_ = 0;
  greatest_ = -std::numeric_limits<float>::infinity();
  in_bin_ = numbers_ = 0;
  if (values_.size() >= most_values_) join_pairs();
}

float ChannelCollector::joined(float a, float b) const {
  if (std::isnan(a)) return b;
  if (std::isnan(b)) return a;
  return is_pulse_ ? std::max(a, b) : (a + b) / 2;
}

/// An odd value at the end is dropped: one working sample in millions.
void ChannelCollector::join_pairs() {
  const std::size_t pairs = values_.size() / 2;
  for (std::size_t i = 0; i < pairs; ++i) values_[i] = joined(values_[2 * i], values_[2 * i + 1]);
  values_.resize(pairs);
  joins_ *= 2;
}

Channel ChannelCollector::finish() {
  if (in_bin_ > 0 && in_bin_ * 2 >= joins_) close_bin();
  Channel channel;
  bridge(values_);
  channel.signal.rate_Hz = rate_Hz_ / static_cast<double>(joins_);
  channel.signal.start_s = 0.5 * static_cast<double>(joins_ - 1) / rate_Hz_;
  channel.signal.values = std::move(values_);
  channel.least = static_cast<double>(least_seen_);
  channel.most = static_cast<double>(most_seen_);
  channel.missing = missing_;
  return channel;
}

}  // namespace headjoint::traces
