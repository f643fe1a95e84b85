#include "headjoint/traces/envelope.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>

namespace headjoint::traces {
namespace {

std::vector<float> noise(std::size_t count) {
  std::mt19937 random(7);
  std::normal_distribution<float> normal;
  std::vector<float> values(count);
  for (float& value : values) value = normal(random);
  return values;
}

Window plain(const std::vector<float>& values, std::size_t first, std::size_t last) {
  const auto [least, most] =
      std::minmax_element(values.begin() + static_cast<std::ptrdiff_t>(first), values.begin() + static_cast<std::ptrdiff_t>(last));
  return {*least, *most};
}

TEST(Envelope, EveryWindowHoldsExactlyTheExtremesOfItsSamples) {
  const std::vector<float> values = noise(10'000);
  Envelope envelope(16'384);
  for (std::size_t at = 0; at < values.size(); at += 777)
    envelope.add({values.data() + at, std::min<std::size_t>(777, values.size() - at)});
  EXPECT_EQ(envelope.grain(), 1);
  for (const auto& [first, last, columns] : {std::tuple{0U, 10'000U, 100U}, {13U, 9'999U, 7U}, {63U, 130U, 3U}, {100U, 105U, 50U}}) {
    const auto windows = envelope.windows(first, last, columns);
    const std::size_t count = std::min<std::size_t>(columns, last - first);
    ASSERT_EQ(windows.size(), count);
    for (std::size_t i = 0; i < count; ++i)
      EXPECT_EQ(windows[i], plain(values, first + (last - first) * i / count, first + (last - first) * (i + 1) / count));
  }
}

TEST(Envelope, OfATraceTooLongToKeepNeverHidesAPeak) {
  std::vector<float> values = noise(300'000);
  values[123'456] = 50;
  Envelope envelope(4096);
  envelope.add(values);
  EXPECT_GT(envelope.grain(), 64);
  EXPECT_EQ(envelope.windows(0, 300'000, 1)[0], plain(values, 0, 300'000));
  const auto windows = envelope.windows(0, 300'000, 100);
  EXPECT_EQ(windows[123'456 / 3000].most, 50);
}

TEST(Envelope, LeavesOutWhatIsNoNumber) {
  Envelope envelope;
  envelope.add(std::vector<float>{1, NAN, 3, NAN, NAN});
  EXPECT_EQ(envelope.windows(0, 3, 1)[0], (Window{1, 3}));
  EXPECT_TRUE(std::isnan(envelope.windows(3, 5, 1)[0].least));
  EXPECT_TRUE(envelope.windows(9, 12, 4).empty());
}

}  // namespace
}  // namespace headjoint::traces
