#include "headjoint/traces/envelope.h"

#include <algorithm>
#include <limits>

#include "headjoint/base/error.h"

namespace headjoint::traces {
namespace {

constexpr float kInfinity = std::numeric_limits<float>::infinity();
constexpr Window kNothing{kInfinity, -kInfinity};

/// Comparisons that are false for NaN keep it out.
void take(Window& window, float value) {
  window.least = value < window.least ? value : window.least;
  window.most = value > window.most ? value : window.most;
}
void take(Window& window, const Window& other) {
  window.least = std::min(window.least, other.least);
  window.most = std::max(window.most, other.most);
}
Window shown(const Window& window) {
  constexpr float kNone = std::numeric_limits<float>::quiet_NaN();
  return window.least <= window.most ? window : Window{kNone, kNone};
}

Window extremes(const float* begin, const float* end) {
  Window window = kNothing;
  for (const float* value = begin; value != end; ++value) take(window, *value);
  return window;
}

}  // namespace

Envelope::Envelope(std::size_t capacity) : capacity_(capacity), open_(kNothing) {
  require(capacity >= 1024, "an envelope keeps at least 1024 samples");
  samples_.reserve(capacity);  // pages that are never touched cost no memory
  buckets_.reserve(capacity / 8);
}

void Envelope::add(std::span<const float> samples) {
  size_ += samples.size();
  if (is_exact_ && samples_.size() + samples.size() <= capacity_) {
    samples_.insert(samples_.end(), samples.begin(), samples.end());
  } else if (is_exact_) {
    is_exact_ = false;
    std::vector<float>().swap(samples_);
  }
  while (!samples.empty()) {
    const std::size_t count = static_cast<std::size_t>(std::min<std::uint64_t>(samples.size(), bucket_ - in_open_));
    take(open_, extremes(samples.data(), samples.data() + count));
    in_open_ += count;
    samples = samples.subspan(count);
    if (in_open_ == bucket_) close_bucket();
  }
}

void Envelope::close_bucket() {
  buckets_.push_back(open_);
  open_ = kNothing;
  in_open_ = 0;
  if (buckets_.size() >= capacity_ / 8) join_buckets();
}

void Envelope::join_buckets() {
  const std::size_t pairs = buckets_.size() / 2;
  for (std::size_t i = 0; i < pairs; ++i) {
    Window joined = buckets_[2 * i];
    take(joined, buckets_[2 * i + 1]);
    buckets_[i] = joined;
  }
  if (buckets_.size() % 2 == 1) {
    open_ = buckets_.back();
    in_open_ = bucket_;
  }
  buckets_.resize(pairs);
  bucket_ *= 2;
}

Window Envelope::window(std::uint64_t first, std::uint64_t last) const {
  const std::uint64_t first_whole = (first + bucket_ - 1) / bucket_, last_whole = std::min<std::uint64_t>(last / bucket_, buckets_.size());
  Window result = kNothing;
  if (is_exact_ && first_whole >= last_whole) return extremes(samples_.data() + first, samples_.data() + last);
  const std::uint64_t from = is_exact_ ? first_whole : first / bucket_;
  const std::uint64_t to = is_exact_ ? last_whole : std::min<std::uint64_t>((last + bucket_ - 1) / bucket_, buckets_.size());
  for (std::uint64_t i = from; i < to; ++i) take(result, buckets_[i]);
  if (is_exact_) {
    take(result, extremes(samples_.data() + first, samples_.data() + first_whole * bucket_));
    take(result, extremes(samples_.data() + last_whole * bucket_, samples_.data() + last));
  } else if (last > buckets_.size() * bucket_) {
    take(result, open_);
  }
  return result;
}

std::vector<Window> Envelope::windows(std::uint64_t first, std::uint64_t last, std::size_t columns) const {
  last = std::min(last, size_);
  if (first >= last || columns == 0) return {};
  const std::uint64_t count = std::min<std::uint64_t>(columns, last - first);
  std::vector<Window> result;
  result.reserve(count);
  for (std::uint64_t i = 0; i < count; ++i) {
    const auto edge = [&](std::uint64_t column) { return first + (last - first) * column / count; };
    result.push_back(shown(window(edge(i), edge(i + 1))));
  }
  return result;
}

}  // namespace headjoint::traces
