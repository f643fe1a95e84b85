#include "headjoint/traces/filters.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace headjoint::traces {
namespace {

/// y = b0 x + b1 x' + b2 x'' - a1 y' - a2 y'', transposed direct form.
struct Biquad {
  double b0, b1, b2, a1, a2;

  static Biquad butterworth(double share_of_rate) {
    const double k = std::tan(std::numbers::pi * share_of_rate), norm = 1 / (1 + std::numbers::sqrt2 * k + k * k);
    return {k * k * norm, 2 * k * k * norm, k * k * norm, 2 * (k * k - 1) * norm, (1 - std::numbers::sqrt2 * k + k * k) * norm};
  }
  /// State that holds a constant 1 from the first value on.
  [[nodiscard]] std::pair<double, double> steady() const {
    const double second = b2 - a2;
    return {b1 - a1 + second, second};
  }
};

template <class Iterator>
void run(const Biquad& filter, Iterator begin, Iterator end) {
  if (begin == end) return;
  const auto [steady1, steady2] = filter.steady();
  double z1 = steady1 * *begin, z2 = steady2 * *begin;
  for (Iterator it = begin; it != end; ++it) {
    const double x = *it, y = filter.b0 * x + z1;
    z1 = filter.b1 * x - filter.a1 * y + z2;
    z2 = filter.b2 * x - filter.a2 * y;
    *it = y;
  }
}

float median_of_five(const float* v) {
  float a = v[0], b = v[1], c = v[2], d = v[3], e = v[4];
  const auto order = [](float& low, float& high) {
    const float least = std::min(low, high);
    high = std::max(low, high);
    low = least;
  };
  order(a, b);
  order(d, e);
  order(a, d);
  order(b, e);
  order(b, c);
  order(c, d);
  order(b, c);
  return c;
}

}  // namespace

std::vector<float> low_pass(std::span<const float> values, double rate_Hz, double cutoff_Hz) {
  if (!(cutoff_Hz > 0 && cutoff_Hz < rate_Hz / 2) || values.size() < 2) return {values.begin(), values.end()};
  constexpr std::size_t kReflected = 9;
  const std::size_t edge = std::min(kReflected, values.size() - 1), count = values.size();
  std::vector<double> padded(count + 2 * edge);
  const double first = static_cast<double>(values.front()), last = static_cast<double>(values.back());
  for (std::size_t i = 0; i < edge; ++i) {
    padded[i] = 2 * first - static_cast<double>(values[edge - i]);
    padded[edge + count + i] = 2 * last - static_cast<double>(values[count - 2 - i]);
  }
  std::copy(values.begin(), values.end(), padded.begin() + static_cast<std::ptrdiff_t>(edge));
  const Biquad filter = Biquad::butterworth(cutoff_Hz / rate_Hz);
  run(filter, padded.begin(), padded.end());
  run(filter, padded.rbegin(), padded.rend());
  std::vector<float> result(count);
  for (std::size_t i = 0; i < count; ++i) result[i] = static_cast<float>(padded[edge + i]);
  return result;
}

std::size_t remove_spikes(std::vector<float>& values, double spreads) {
  if (values.size() < 5) return 0;
  std::vector<float> median(values);
  for (std::size_t i = 2; i + 2 < values.size(); ++i) median[i] = median_of_five(&values[i - 2]);
  std::vector<float> differences;
  const std::size_t stride = values.size() / 20000 + 1;  // the usual difference needs no more than a sample of them
  for (std::size_t i = 2; i + 2 < values.size(); i += stride) differences.push_back(std::abs(values[i] - median[i]));
  const auto place = [&](double share) {
    return differences.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(differences.size() - 1));
  };
  const auto usual = place(0.9);
  std::nth_element(differences.begin(), usual, differences.end());
  const float limit = static_cast<float>(spreads / 1.645) * *usual;  // nine of ten lie within 1.645 standard deviations
  std::size_t replaced = 0;
  for (std::size_t i = 2; limit > 0 && i + 2 < values.size(); ++i)
    if (std::abs(values[i] - median[i]) > limit) values[i] = median[i], ++replaced;
  return replaced;
}

}  // namespace headjoint::traces
