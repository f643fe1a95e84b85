#include "headjoint/coolant/coolant_log.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>

#include "headjoint/base/csv.h"
#include "headjoint/base/error.h"
#include "headjoint/base/file.h"
#include "headjoint/base/text.h"

namespace headjoint::coolant {
namespace {

TEST(Cusum, GivesThePrintedColumns) {
  // Montgomery & Runger, Applied Statistics and Probability for Engineers, Example 16-6: target 99, K = 1, H = 10
  const std::string path = std::string(HEADJOINT_SHARED_DIR) + "/data/coolant/cusum_example.csv";
  if (!std::filesystem::exists(path)) GTEST_SKIP() << "skipped: no shared data";
  constexpr double kPrinted = 0.05;
  const auto table = read_csv(read_file(path), path);
  ASSERT_TRUE(table);
  std::vector<double> values;
  for (const auto& row : table->rows) values.push_back(*parse_number(row[1]));
  const Cusum sums = cumulative_sums(values, 99, 1, 10);
  for (std::size_t i = 0; i < values.size(); ++i) {
    EXPECT_NEAR(sums.upper[i], *parse_number(table->rows[i][2]), kPrinted) << i;
    EXPECT_NEAR(sums.lower[i], *parse_number(table->rows[i][3]), kPrinted) << i;
  }
  EXPECT_TRUE(sums.alarms.empty());
}

TEST(Cusum, IsZeroOnConstantsAndFindsALastingShift) {
  EXPECT_EQ(cumulative_sums(std::vector<double>(50, 7), 7, 0.5, 4).upper.back(), 0);
  std::vector<double> values(20, 0);
  values.resize(40, 1.5);
  const Cusum sums = cumulative_sums(values, 0, 0.5, 4);
  ASSERT_FALSE(sums.alarms.empty());
  EXPECT_EQ(sums.alarms.front(), 24);  // five steps of 1 above the slack exceed 4
}

// closed forms of C dT/dt = Q - UA (T - Ta): T = Ta + Q/UA (1 - exp(-t UA/C))
TEST(LumpedEngine, WarmsUpAsTheClosedFormSays) {
  constexpr double kStepOfSecond_K = 0.05;
  LumpedEngine engine;
  const auto at = [&](double seconds) { return warmed(engine, engine.air, Duration::from_si(seconds)).celsius(); };
  const auto closed = [&](double loss, double seconds) { return 20 + 10000 / loss * (1 - std::exp(-seconds * loss / 70000)); };
  EXPECT_NEAR(at(299), closed(30, 299), kStepOfSecond_K);
  EXPECT_NEAR(at(20000), 85.95, kStepOfSecond_K);  // 10000 W = (30 + 400 f)(T - 20), f = (T - 82)/13, solved by hand
  engine.thermostat = LumpedEngine::Thermostat::kStuckOpen;
  EXPECT_NEAR(at(20000), 20 + 10000.0 / 430, kStepOfSecond_K);
  EXPECT_NEAR(at(162.8), closed(430, 162.8), kStepOfSecond_K);
  engine.thermostat = LumpedEngine::Thermostat::kStuckShut;
  EXPECT_NEAR(at(734.3), 110, kStepOfSecond_K);  // 20 + 333.3 (1 - exp(-734.3/2333))
}

TEST(LumpedEngine, CoolsDownAsTheClosedFormSays) {
  LumpedEngine off;
  off.heat_kW = 0;
  off.block_W_per_K = 15;
  off.radiator_W_per_K = 0;
  // 95 to 60 degC over 20 degC: 70000/15 ln(75/40) s = 48.9 min
  EXPECT_NEAR(warmed(off, Temperature::from_celsius(95), Duration::from_si(48.9 * 60)).celsius(), 60, 0.05);
}

/// A drive, one sample a second.
CoolantLog drive(const LumpedEngine& engine, double seconds, double start_C = 20) {
  CoolantLog log;
  Temperature now = Temperature::from_celsius(start_C);
  for (double t = 0; t < seconds; ++t) {
    log.time_s.push_back(t);
    log.temperature_C.push_back(std::floor(now.celsius()));  // whole degrees, as the diagnostic plug gives them
    now = warmed(engine, now, Duration::from_si(1));
  }
  return log;
}

bool has(const LogFinding& finding, LogSign sign) {
  return std::any_of(finding.signatures.begin(), finding.signatures.end(), [&](const LogSignature& one) { return one.sign == sign; });
}

TEST(CoolantLog, OfAHealthyDriveShowsNothing) {
  const LogFinding finding = judge_log(drive(LumpedEngine{}, 3600), {});
  EXPECT_EQ(finding.status, LogFinding::Status::kJudged);
  EXPECT_TRUE(finding.signatures.empty());
  EXPECT_TRUE(finding.episodes.empty());
  EXPECT_EQ(finding.dose_K_min, 0);
}

TEST(CoolantLog, TellsAStuckThermostat) {
  LumpedEngine engine;
  engine.thermostat = LumpedEngine::Thermostat::kStuckOpen;
  EXPECT_TRUE(has(judge_log(drive(engine, 1800), {}), LogSign::kStuckOpen));
  engine.thermostat = LumpedEngine::Thermostat::kStuckShut;
  const LogFinding shut = judge_log(drive(engine, 800), {});
  EXPECT_TRUE(has(shut, LogSign::kStuckShut));
  EXPECT_FALSE(has(shut, LogSign::kStuckOpen));
}

TEST(CoolantLog, DoseIsTheAreaAboveTheLimit) {
  CoolantLog log;
  for (const auto& [t, temperature] :
       {std::pair{0.0, 105.0}, {60.0, 115.0}, {120.0, 125.0}, {180.0, 125.0}, {240.0, 115.0}, {300.0, 105.0}}) {
    log.time_s.push_back(t);
    log.temperature_C.push_back(temperature);
  }
  const LogFinding finding = judge_log(log, {});
  EXPECT_DOUBLE_EQ(finding.dose_K_min, 5 + 10 + 5);  // two triangles and a rectangle of one minute each, 10 K high
  EXPECT_DOUBLE_EQ(finding.above_min, 3);
  ASSERT_EQ(finding.episodes.size(), 1);
  EXPECT_EQ(finding.episodes[0].peak_C, 125);
  EXPECT_TRUE(finding.episodes[0].boils_no_cap);
}

TEST(CoolantLog, ASensorThatFallsDryMakesThePeakALowerBound) {
  LumpedEngine engine;
  engine.thermostat = LumpedEngine::Thermostat::kStuckShut;
  CoolantLog log = drive(engine, 850);
  for (int t = 850; t < 950; ++t) log.time_s.push_back(t), log.temperature_C.push_back(70);
  const LogFinding finding = judge_log(log, {});
  EXPECT_TRUE(has(finding, LogSign::kSensorDry));
  EXPECT_TRUE(finding.peak_is_lower_bound);
  ASSERT_EQ(finding.episodes.size(), 1);
  EXPECT_GE(finding.episodes[0].dry_from_s, 840);
  log.load_percent.assign(log.time_s.size(), 5);  // rolling downhill: a cold slug from the radiator may do it
  EXPECT_FALSE(judge_log(log, {}).peak_is_lower_bound);
}

TEST(CoolantLog, AFanThatWorksIsNoFault) {
  CoolantLog log;
  for (int t = 0; t < 3000; ++t) {
    log.time_s.push_back(t);
    const int phase = t % 240;
    log.temperature_C.push_back(std::round(90 + (phase < 160 ? 7.0 * phase / 160 : 7.0 * (240 - phase) / 80)));
  }
  const LogFinding finding = judge_log(log, {});
  EXPECT_TRUE(has(finding, LogSign::kFanCycle));
  EXPECT_EQ(finding.signatures.size(), 1);
}

TEST(CoolantLog, SensorConstantsAreABrokenWireAndNoTemperature) {
  CoolantLog log = drive(LumpedEngine{}, 1200);
  for (std::size_t i = 600; i < 620; ++i) log.temperature_C[i] = -40;
  log.temperature_C[900] = 215;
  const LogFinding finding = judge_log(log, {});
  EXPECT_TRUE(has(finding, LogSign::kSensorOpen));
  EXPECT_TRUE(has(finding, LogSign::kSensorShort));
  EXPECT_LT(finding.peak_C, 100);
  EXPECT_FALSE(has(finding, LogSign::kStepTooFast));
  CoolantLog dead = log;
  std::fill(dead.temperature_C.begin(), dead.temperature_C.end(), -40);
  EXPECT_EQ(judge_log(dead, {}).status, LogFinding::Status::kNoSensor);
}

TEST(CoolantLog, PressureBeyondWarmingAndLeftOverNightAreSeen) {
  CoolantLog log;
  for (int minute = 0; minute <= 60; ++minute) {
    log.time_s.push_back(60 * minute);
    log.temperature_C.push_back(minute < 30 ? 20 + 2 * minute : 80 - 2 * (minute - 30));
    log.gauge_pressure_bar.push_back(minute < 5 ? 0.2 * minute : 1.0 - 0.01 * minute);
  }
  LogQuestion question;
  question.highest_normal_bar = [](double, double to_C, double) { return std::max(0.05, (to_C - 20) / 60); };
  const LogFinding finding = judge_log(log, question);
  EXPECT_TRUE(has(finding, LogSign::kPressureTooHigh));
  EXPECT_TRUE(has(finding, LogSign::kPressureLeft));
}

TEST(CoolantLog, RefusesAClockThatGoesBack) {
  EXPECT_THROW((void)judge_log({{0, 1, 0.5}, {20, 21, 22}, {}, {}, {}}, {}), InputError);
  EXPECT_EQ(judge_log({}, {}).status, LogFinding::Status::kNoSamples);
}

}  // namespace
}  // namespace headjoint::coolant
