#include "headjoint/traces/recording.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <fstream>
#include <sstream>

#include "headjoint/base/file.h"
#include "headjoint/traces/digest.h"
#include "headjoint/traces/testing/wav_bytes.h"

namespace headjoint::traces {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::SizeIs;

const std::string kPublished = std::string(HEADJOINT_SOURCE_DIR) + "/tests/published/traces/";

Result<Recording> read(const std::string& bytes, const ReadingWishes& wishes = {}) {
  const auto source = byte_source_of(bytes);
  return read_recording(*source, "trace", wishes);
}

ReadingWishes in_amperes() {
  ReadingWishes wishes;
  wishes.channels = {ChannelWish{.unit = "A"}};
  return wishes;
}

std::string first_problem(const Result<Recording>& result) { return result ? "no problem" : to_string(result.problems()); }

TEST(Digest, OfTheStandardsExamples) {
  // FIPS 180-4 examples (NIST "SHA256.pdf", one and two block messages), from memory
  Digest one, two;
  one.add(std::string("abc"));
  EXPECT_EQ(one.hex(), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  two.add(std::string("abcdbcdecdefdefgefghfghighijhijk"));
  two.add(std::string("ijkljklmklmnlmnomnopnopq"));
  EXPECT_EQ(two.hex(), "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
}

/// Files written by sox 14.4.2 (make_sox_files.sh); the .dat beside each holds what sox itself reads from it, 11 digits.
class SoxFile : public ::testing::TestWithParam<const char*> {};

TEST_P(SoxFile, IsReadBackExactly) {
  constexpr double kDigitsOfTheText = 1e-10;
  const std::string name = kPublished + GetParam();
  ReadingWishes wishes;
  wishes.channels = {ChannelWish{.column = "1"}, ChannelWish{.column = "2"}};
  wishes.working_rate_Hz = 8000;
  const auto recording = read(read_file(name + ".wav"), wishes);
  ASSERT_TRUE(recording) << first_problem(recording);
  EXPECT_EQ(recording->samples, 100);
  EXPECT_EQ(recording->rate_Hz, 8000);
  std::istringstream text(read_file(name + ".dat"));
  std::string line;
  for (std::size_t i = 0; i < 100 && std::getline(text, line);) {
    if (line.starts_with(';')) continue;
    double time, left, right;
    std::istringstream(line) >> time >> left >> right;
    const float rounded_left = static_cast<float>(left), rounded_right = static_cast<float>(right);
    EXPECT_NEAR(static_cast<double>(recording->channels[0].signal.values[i]), static_cast<double>(rounded_left), 6e-8 + kDigitsOfTheText)
        << i;
    EXPECT_NEAR(static_cast<double>(recording->channels[1].signal.values[i]), static_cast<double>(rounded_right), 6e-8 + kDigitsOfTheText)
        << i;
    EXPECT_NEAR(recording->channels[0].signal.time_s(static_cast<double>(i)), time, 1e-9);
    ++i;
  }
}
INSTANTIATE_TEST_SUITE_P(EveryEncoding, SoxFile, ::testing::Values("sox_u8", "sox_s16", "sox_s24", "sox_s32", "sox_f32", "sox_f64"));

TEST(WavFile, CutOffIsReadToItsLastWholeSample) {
  std::string bytes = testing::wav_bytes({1, 2, 3, 4}, 1000);
  bytes.pop_back();
  const auto recording = read(bytes);
  ASSERT_TRUE(recording);
  EXPECT_TRUE(recording->is_truncated);
  EXPECT_EQ(recording->samples, 3);
  EXPECT_THAT(recording->notes.front(), HasSubstr("last whole sample, 3 of 4"));
}

TEST(WavFile, FullScaleAndProbeTurnSamplesIntoAmperes) {
  ReadingWishes wishes = in_amperes();
  wishes.channels[0].full_scale = "2 V";
  wishes.channels[0].scale = "10 mV/A";
  const auto recording = read(testing::wav_bytes({16384, -16384}, 1000), wishes);
  ASSERT_TRUE(recording) << first_problem(recording);
  EXPECT_EQ(recording->channels[0].unit, "A");
  EXPECT_THAT(recording->channels[0].signal.values, ElementsAre(100.0F, -100.0F));
}

TEST(WavFile, OtherEncodingsAreRefusedInWords) {
  std::string bytes = testing::wav_bytes({1, 2}, 1000);
  bytes[20] = 7;
  EXPECT_THAT(first_problem(read(bytes)), HasSubstr("encoding 7"));
}

TEST(WavFile, TakesTheChannelAskedFor) {
  ReadingWishes wishes;
  wishes.channels = {ChannelWish{.column = "2"}};
  const auto recording = read(testing::wav_bytes({1, 16384, 1, 16384}, 1000, 2), wishes);
  ASSERT_TRUE(recording);
  EXPECT_THAT(recording->channels[0].signal.values, ElementsAre(0.5F, 0.5F));
  wishes.channels[0].column = "3";
  EXPECT_THAT(first_problem(read(testing::wav_bytes({1, 2}, 1000, 2), wishes)), HasSubstr("channel \"3\""));
}

TEST(Table, IsTheSameHoweverItIsWritten) {
  const char* const kWays[] = {
      "time (s),current (A)\n0.000,1.5\n0.001,2.5\n0.002,-3.5\n",
      "\xEF\xBB\xBF"
      "time_s;current_A\r\n0,000;1,5\r\n0,001;2,5\r\n0,002;-3,5\r\n",
      "# taken with a clamp\nTime\tCurrent\n(ms)\t(mA)\n0\t1500\n1\t2500\n2\t-3500\n",
      "Recorder,unknown\nPoints,3\n\ntime [us],I [A]\n0,1.5\n1000,2.5\n2000,-3.5",
      "time/s   current/A\n0.000  1.5\n0.001  2.5\n0.002  -3.5\n",
      "\"time (s)\",\"current (A)\"\n\"0,000\",\"1,5\"\n\"0,001\",\"2,5\"\n\"0,002\",\"-3,5\"\n",
      "time (s)|current (A)|\n0.000|1.5|\n0.001|2.5|\n0.002|-3.5e0|\n",
  };
  for (const char* text : kWays) {
    const auto recording = read(text, in_amperes());
    ASSERT_TRUE(recording) << text << first_problem(recording);
    EXPECT_NEAR(recording->rate_Hz, 1000, 1e-6) << text;
    EXPECT_EQ(recording->channels[0].unit, "A") << text;
    EXPECT_THAT(recording->channels[0].signal.values, ElementsAre(1.5F, 2.5F, -3.5F)) << text;
  }
}

TEST(Table, OfOneColumnNeedsTheRate) {
  const std::string text = "current (A)\n1,5\n2,5\n";
  EXPECT_THAT(first_problem(read(text, in_amperes())), HasSubstr("--rate"));
  ReadingWishes wishes = in_amperes();
  wishes.rate_Hz = 500;
  const auto recording = read(text, wishes);
  ASSERT_TRUE(recording) << first_problem(recording);
  EXPECT_THAT(recording->channels[0].signal.values, ElementsAre(1.5F, 2.5F));
}

TEST(Table, AsksForTheUnitOfTimeWhenItsHeaderIsSilent) {
  const std::string text = "time,current (A)\n0,1\n1,2\n2,3\n";
  EXPECT_THAT(first_problem(read(text, in_amperes())), HasSubstr("--time-unit"));
  ReadingWishes wishes = in_amperes();
  wishes.time_unit = "ms";
  const auto recording = read(text, wishes);
  ASSERT_TRUE(recording);
  EXPECT_NEAR(recording->rate_Hz, 1000, 1e-9);
}

TEST(Table, WithoutAUnitStillGivesRatiosAndSaysSo) {
  const auto recording = read("time_s,level\n0,1\n0.001,2\n0.002,3\n", in_amperes());
  ASSERT_TRUE(recording);
  EXPECT_EQ(recording->channels[0].unit, "");
  EXPECT_THAT(recording->notes.front(), HasSubstr("only ratios"));
}

TEST(Table, BridgesAGapByAStraightLineAndTellsIt) {
  std::string text = "time_s,current_A\n";
  for (int i = 0; i < 40; ++i)
    if (i <= 10 || i >= 20) text += std::to_string(i) + "e-3," + std::to_string(i) + "\n";
  const auto recording = read(text, in_amperes());
  ASSERT_TRUE(recording) << first_problem(recording);
  ASSERT_THAT(recording->gaps, SizeIs(1));
  EXPECT_NEAR(recording->gaps[0].start_s, 0.011, 1e-9);
  EXPECT_NEAR(recording->gaps[0].length_s, 0.009, 1e-9);
  for (std::size_t i = 0; i < 40; ++i) EXPECT_NEAR(recording->channels[0].signal.values[i], static_cast<double>(i), 1e-5) << i;
}

TEST(Table, SaysWhereTheClockGoesBack) {
  const std::string message = first_problem(read("time_s,current_A\n0,1\n1,2\n2,2\n1.5,3\n", in_amperes()));
  EXPECT_THAT(message, HasSubstr("trace:5"));
  EXPECT_THAT(message, HasSubstr("clock goes back"));
}

TEST(Table, ReadsClockTimesOverMidnight) {
  const auto recording = read("time,current_A\n23:59:59.0,1\n23:59:59.5,2\n00:00:00.0,3\n", in_amperes());
  ASSERT_TRUE(recording) << first_problem(recording);
  EXPECT_NEAR(recording->rate_Hz, 2, 1e-9);
}

TEST(Table, TimesTooCoarseToTellSamplesApartAreCounted) {
  std::string text = "time_s,current_A\n";
  for (int i = 0; i < 4000; ++i) text += std::to_string(i / 10) + "e-3," + std::to_string(i) + "\n";
  ReadingWishes wishes = in_amperes();
  wishes.working_rate_Hz = 10000;
  const auto recording = read(text, wishes);
  ASSERT_TRUE(recording) << first_problem(recording);
  EXPECT_NEAR(recording->rate_Hz, 10000, 30);
  EXPECT_EQ(recording->samples, 4000);
  EXPECT_THAT(recording->notes.back(), HasSubstr("coarsely"));
}

TEST(Table, MissingNumbersAreBridgedAndCounted) {
  const auto recording = read("time_s,current_A\n0,1\n0.001,nan\n0.002,\n0.003,---\n0.004,5\n", in_amperes());
  ASSERT_TRUE(recording) << first_problem(recording);
  EXPECT_EQ(recording->channels[0].missing, 3);
  EXPECT_THAT(recording->channels[0].signal.values, ElementsAre(1, 2, 3, 4, 5));
}

TEST(Table, AllCellsThatAreNoNumbersAreNamed) {
  const std::string message = first_problem(read("time_s,current_A\n0,1\n0.001,2\n0.002,12q\n0.003,4\n0.004,1.5.2\n", in_amperes()));
  EXPECT_THAT(message, HasSubstr("trace:4:2"));
  EXPECT_THAT(message, HasSubstr("trace:6:2"));
}

TEST(Table, OfMegabytesWithoutALineEndIsRefused) {
  EXPECT_THAT(first_problem(read(std::string(3U << 20U, '1'))), HasSubstr("no line end"));
  const std::string late = "time_s,current_A\n0,1\n0.1,2\n" + std::string(3U << 20U, '1');
  EXPECT_THAT(first_problem(read(late, in_amperes())), HasSubstr("no line end"));
}

TEST(Table, BinaryAndEmptyFilesAreRefusedInWords) {
  EXPECT_THAT(first_problem(read("")), HasSubstr("empty"));
  EXPECT_THAT(first_problem(read(std::string("\0\1\2", 3))), HasSubstr("plain text"));
  EXPECT_THAT(first_problem(read("hello\nworld\n")), HasSubstr("row of numbers"));
}

TEST(Table, CutInsideItsLastRowIsReadToTheRowBefore) {
  const auto recording = read("time_s,current_A\n0.000,1\n0.001,2\n0.00", in_amperes());
  ASSERT_TRUE(recording) << first_problem(recording);
  EXPECT_TRUE(recording->is_truncated);
  EXPECT_EQ(recording->samples, 2);
}

TEST(Recording, JoinsSamplesToTheWorkingRateByTheirMean) {
  ReadingWishes wishes;
  wishes.working_rate_Hz = 250;
  const auto recording = read(testing::wav_bytes({0, 8192, 16384, 8192, -8192, -8192, -8192, -8192}, 1000), wishes);
  ASSERT_TRUE(recording);
  const Signal& signal = recording->channels[0].signal;
  EXPECT_EQ(signal.rate_Hz, 250);
  EXPECT_DOUBLE_EQ(signal.start_s, 0.0015);
  EXPECT_THAT(signal.values, ElementsAre(0.25F, -0.25F));
}

TEST(Recording, PulsesSurviveJoining) {
  ReadingWishes wishes;
  wishes.working_rate_Hz = 250;
  wishes.channels[0].is_pulse = true;
  const auto recording = read(testing::wav_bytes({0, 0, 16384, 0, 0, 0, 0, 0}, 1000), wishes);
  EXPECT_THAT(recording->channels[0].signal.values, ElementsAre(0.5F, 0.0F));
}

TEST(Recording, StaysWithinItsValuesHoweverLong) {
  ReadingWishes wishes;
  wishes.most_values = 1000;
  wishes.most_drawn = 1024;
  const auto recording = read(testing::wav_bytes(std::vector<std::int16_t>(100'000, 100), 2000), wishes);
  EXPECT_LE(recording->channels[0].signal.values.size(), 1000);
  EXPECT_NEAR(recording->channels[0].signal.duration_s(), 50, 0.5);
}

TEST(Recording, CanBeStopped) {
  ReadingWishes wishes;
  wishes.progress = [](double) { return false; };
  EXPECT_THAT(first_problem(read(testing::wav_bytes(std::vector<std::int16_t>(1'000'000, 100), 2000), wishes)), HasSubstr("stopped"));
}

}  // namespace
}  // namespace headjoint::traces
