#include "headjoint/traces/pressure_pulses.h"

#include <gtest/gtest.h>

#include "headjoint/base/error.h"
#include "headjoint/traces/testing/pressure_examples.h"

namespace headjoint::traces {
namespace {

using Status = PulseFinding::Status;
using testing::MadePressure;

PulseFinding finding_of(const MadePressure& made, PulseQuestion question = {}) {
  const Signal pressure = testing::made_pressure(made, question);
  return find_pulses(pressure, question);
}

double deviation(const std::vector<double>& values) {
  double sum = 0, squares = 0;
  for (const double value : values) sum += value, squares += value * value;
  const double n = static_cast<double>(values.size());
  return std::sqrt(squares / n - sum * sum / (n * n));
}

TEST(SynchronousAverage, NoiseFallsWithTheRootOfTheCycles) {
  // theory of averaging: the mean of M independent values scatters with sigma / sqrt(M); 100 cycles leave a tenth
  constexpr double kOfTheScatter = 0.05;
  MadePressure made;
  made.cylinder = 0;
  made.firing = made.pump = 0;
  made.noise = 1;
  made.from_rpm = made.to_rpm = 1200;
  made.seconds = 10.05;
  const PulseFinding finding = finding_of(made);
  ASSERT_EQ(finding.bands.size(), 1);
  EXPECT_NEAR(finding.cycles, 100, 1);
  // the samples lie 3.6 degrees apart; a straight line between two of them scatters by sqrt(2/3)
  EXPECT_NEAR(deviation(finding.bands[0].average), std::sqrt(2.0 / 3) / 10, kOfTheScatter * 0.1);
}

TEST(Pulses, PeakMovesSixTimesSpeedTimesDelay) {
  // degrees turned in tau seconds at N rpm: 6 N tau; 800 rpm and 1 ms give 4.8 degrees
  MadePressure made;
  made.cylinder = 1;
  made.noise = made.firing = made.pump = 0;
  made.from_rpm = made.to_rpm = 800;
  made.delay_s = 0;
  const double at_once = finding_of(made).bands.at(0).peak_deg;
  made.delay_s = 0.001;
  const double later = finding_of(made).bands.at(0).peak_deg;
  EXPECT_NEAR(later - at_once, 4.8, 0.3);
}

TEST(Pulses, NamesTheCylinderAtEverySpeedAndDelay) {
  for (int cylinder = 1; cylinder <= 4; ++cylinder)
    for (const double delay : {0.0005, 0.003, 0.008}) {
      MadePressure made;
      made.cylinder = cylinder;
      made.delay_s = delay;
      made.seconds = 60;
      made.seed = static_cast<unsigned>(cylinder);
      const PulseFinding finding = finding_of(made);
      ASSERT_EQ(finding.status, Status::kFound) << cylinder << " " << delay;
      EXPECT_EQ(finding.suspects[0].cylinder, cylinder) << delay;
      EXPECT_GT(finding.suspects[0].confidence, 0.8) << cylinder << " " << delay;
      EXPECT_NEAR(finding.suspects[0].delay.si(), delay, 0.0015);
    }
}

TEST(Pulses, OneSpeedAloneLeavesDoubtAndSaysWhatWouldHelp) {
  MadePressure made;
  made.from_rpm = made.to_rpm = 3600;
  made.delay_s = 0.0095;  // 205 degrees: the cylinder before fires 180 degrees later
  const PulseFinding finding = finding_of(made);
  ASSERT_EQ(finding.status, Status::kFound);
  EXPECT_LT(finding.suspects[0].confidence, 0.9);
  EXPECT_NE(finding.notes.front().find("two more speeds"), std::string::npos);
}

TEST(Pulses, PumpFanAndFiringOrderAreNoPulseOfOneCylinder) {
  int alarms = 0;
  for (unsigned seed = 1; seed <= 40; ++seed) {
    MadePressure made;
    made.cylinder = 0;
    made.seed = seed;
    made.seconds = 20;
    alarms += finding_of(made).status != Status::kNone;
  }
  EXPECT_LE(alarms, 1);
}

TEST(Pulses, OrderLinesShowFiringAndTheOneCylinder) {
  MadePressure made;
  made.from_rpm = made.to_rpm = 1500;
  const PulseFinding finding = finding_of(made);
  ASSERT_GE(finding.orders.size(), 4);
  EXPECT_EQ(finding.orders[0].order, 0.5);
  EXPECT_GT(finding.orders[0].amplitude, 3 * finding.orders[0].noise);
  EXPECT_NEAR(finding.orders[3].amplitude, 0.3, 0.06);  // order 2: four cylinders' firing, put in with 0.3
}

TEST(Pulses, SaysWhatIsMissing) {
  PulseQuestion question;
  Signal pressure = testing::made_pressure({}, question);
  question.sync.values.assign(question.sync.values.size(), 0);
  EXPECT_EQ(find_pulses(pressure, question).status, Status::kNoSync);
  MadePressure made;
  made.seconds = 1;
  made.from_rpm = made.to_rpm = 800;
  EXPECT_EQ(finding_of(made).status, Status::kTooFew);
  question.firing_order = {1, 2, 2};
  EXPECT_THROW((void)find_pulses(pressure, question), InputError);
}

}  // namespace
}  // namespace headjoint::traces
