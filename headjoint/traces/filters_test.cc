#include "headjoint/traces/filters.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "headjoint/base/csv.h"
#include "headjoint/base/file.h"
#include "headjoint/base/text.h"

namespace headjoint::traces {
namespace {

TEST(LowPass, GivesTheNumbersOfScipy) {
  // scipy 1.10.1: butter(2, 45, fs=2000), filtfilt; written by tests/published/traces/make_filter_numbers.py
  constexpr double kSinglePrecision = 2e-5;
  const std::string path = std::string(HEADJOINT_SOURCE_DIR) + "/tests/published/traces/filter_numbers.csv";
  const auto table = read_csv(read_file(path), path);
  ASSERT_TRUE(table);
  std::vector<float> values;
  for (const auto& row : table->rows) values.push_back(static_cast<float>(*parse_number(row[0])));
  ASSERT_EQ(values.size(), 200);
  const std::vector<float> filtered = low_pass(values, 2000, 45);
  for (std::size_t i = 0; i < filtered.size(); ++i)
    EXPECT_NEAR(static_cast<double>(filtered[i]), *parse_number(table->rows[i][1]), kSinglePrecision) << i;
}

TEST(LowPass, LeavesAConstantAsItIsAndALineAwayFromItsEnds) {
  const std::vector<float> constant(300, 7.5F);
  for (const float value : low_pass(constant, 1000, 20)) EXPECT_NEAR(value, 7.5F, 1e-5F);
  std::vector<float> line;
  for (int i = 0; i < 1000; ++i) line.push_back(static_cast<float>(0.5 * i + 3));
  const std::vector<float> filtered = low_pass(line, 1000, 20);
  for (std::size_t i = 200; i < 800; ++i) EXPECT_NEAR(filtered[i], line[i], 1e-3F) << i;
}

TEST(LowPass, GivesBackWhatItCannotFilter) {
  const std::vector<float> values{1, 2, 3};
  EXPECT_EQ(low_pass(values, 10, 6), values);
  EXPECT_EQ(low_pass(values, 10, NAN), values);
  EXPECT_EQ(low_pass(std::vector<float>{1}, 10, 2), std::vector<float>{1});
}

TEST(Spikes, SingleWildValuesGoAndHumpsStay) {
  std::mt19937 random(3);
  std::normal_distribution<float> normal(0, 1);
  std::vector<float> values;
  for (int i = 0; i < 2000; ++i) values.push_back(100 * std::sin(static_cast<float>(i) * 0.03F) + normal(random));
  const std::vector<float> clean = values;
  values[500] += 400;
  values[1200] -= 300;
  EXPECT_EQ(remove_spikes(values), 2);
  EXPECT_NEAR(values[500], clean[500], 8);
  EXPECT_NEAR(values[1200], clean[1200], 8);
  for (std::size_t i = 0; i < values.size(); ++i) EXPECT_TRUE(i == 500 || i == 1200 || values[i] == clean[i]) << i;
}

}  // namespace
}  // namespace headjoint::traces
