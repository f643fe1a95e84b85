#include "headjoint/traces/relative_compression.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "headjoint/traces/starter_fit.h"
#include "headjoint/traces/testing/cranked_examples.h"

namespace headjoint::traces {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Pair;
using ::testing::UnorderedElementsAre;
using Status = CrankingEvents::Status;
using testing::four_with_bridge;
using testing::four_with_leak;
using testing::question_of_four;
using testing::sync_of;

CrankingTrace cranked(const CrankedEngine& engine, double start_deg = 200) {
  TraceLength length;
  length.start_deg = start_deg;
  return crank_engine(engine, length);
}

const Signal& signal_of(const CrankingTrace& trace, CrankingKind kind) {
  return kind == CrankingKind::kStarterCurrent   ? trace.current_A
         : kind == CrankingKind::kBatteryVoltage ? trace.voltage_V
                                                 : trace.speed_rpm;
}

std::vector<int> weak_cylinders(const RelativeCompression& result) {
  std::vector<int> weak;
  for (const RelativeValue& value : result.values)
    if (value.is_weak) weak.push_back(value.cylinder);
  return weak;
}

class EveryKind : public ::testing::TestWithParam<CrankingKind> {
 protected:
  RelativeCompression compare(const CrankedEngine& engine, bool with_sync = true) {
    const CrankingTrace trace = cranked(engine);
    CrankingQuestion question = question_of_four();
    question.kind = GetParam();
    if (with_sync) question.sync = sync_of(trace);
    return compare_cylinders(signal_of(trace, GetParam()), question);
  }
};

TEST_P(EveryKind, NamesTheLeakingCylinderAndNotTheNextOne) {
  for (int cylinder = 1; cylinder <= 4; ++cylinder) {
    const RelativeCompression result = compare(four_with_leak(cylinder, 1));
    ASSERT_EQ(result.found.status, Status::kFound);
    EXPECT_THAT(result.order, ElementsAre(1, 3, 4, 2));
    EXPECT_THAT(weak_cylinders(result), ElementsAre(cylinder));
    EXPECT_EQ(result.pattern, WeakPattern::kOne);
  }
}

TEST_P(EveryKind, FindsNothingInASoundEngine) {
  const RelativeCompression result = compare(four_with_leak(0, 0));
  ASSERT_EQ(result.found.status, Status::kFound);
  EXPECT_THAT(weak_cylinders(result), IsEmpty());
  EXPECT_NEAR(result.mean_rpm, 282, 3);  // the worked example of the starter model
  EXPECT_THAT(result.notes.front(), HasSubstr("all cylinders share"));
}

TEST_P(EveryKind, TellsBreachesByTheirPattern) {
  const RelativeCompression neighbours = compare(four_with_bridge(1, 2, 3));
  EXPECT_EQ(neighbours.pattern, WeakPattern::kNeighbours);
  EXPECT_THAT(neighbours.pairs, ElementsAre(Pair(1, 2)));
  const RelativeCompression rising_together = compare(four_with_bridge(2, 3, 3));
  EXPECT_EQ(rising_together.pattern, WeakPattern::kEveryTurn);
  EXPECT_THAT(rising_together.pairs, ElementsAre(Pair(2, 3)));
}

TEST_P(EveryKind, WithoutSyncGivesThePlaceAndThePairsThatMayBe) {
  const RelativeCompression one = compare(four_with_leak(3, 1), false);
  EXPECT_FALSE(one.is_synchronised);
  EXPECT_THAT(one.order, IsEmpty());
  EXPECT_THAT(weak_cylinders(one), ElementsAre(0));
  EXPECT_THAT(one.notes.back(), HasSubstr("Without a sync channel"));
  const RelativeCompression two = compare(four_with_bridge(3, 4, 3), false);
  EXPECT_EQ(two.pattern, WeakPattern::kNeighbours);
  EXPECT_THAT(two.pairs, UnorderedElementsAre(Pair(1, 2), Pair(3, 4)));
}

TEST_P(EveryKind, FitsTheLeakThatWasPutIn) {
  constexpr double kOfTheArea = 0.1;
  const CrankedEngine engine = four_with_leak(4, 2);
  const StarterFit fit = fit_leaks(compare(engine), CrankedEngine{}, GetParam());
  ASSERT_EQ(fit.status, StarterFit::Status::kFitted);
  for (const FittedLeak& leak : fit.leaks) {
    EXPECT_NEAR(leak.extra.si() * 1e6, leak.cylinder == 4 ? 2 : 0, kOfTheArea);
    EXPECT_LE(leak.low.si(), leak.extra.si());
    EXPECT_GE(leak.high.si(), leak.extra.si());
  }
  EXPECT_GT(fit.smallest.si() * 1e6, 0.2);
  EXPECT_LT(fit.smallest.si() * 1e6, 0.6);
}

INSTANTIATE_TEST_SUITE_P(Kinds, EveryKind,
                         ::testing::Values(CrankingKind::kStarterCurrent, CrankingKind::kBatteryVoltage, CrankingKind::kCrankSpeed));

TEST(RelativeCompression, DoesNotChangeWithScaleOffsetAndNoise) {
  CrankingTrace trace = cranked(four_with_leak(3, 1));
  CrankingQuestion question = question_of_four();
  question.sync = sync_of(trace);
  const RelativeCompression plain = compare_cylinders(trace.current_A, question);
  testing::add_noise(trace.current_A, 8, 5);
  for (float& value : trace.current_A.values) value = 0.01F * value - 0.4F;
  const RelativeCompression other = compare_cylinders(trace.current_A, question);
  ASSERT_EQ(other.values.size(), plain.values.size());
  for (std::size_t i = 0; i < plain.values.size(); ++i) EXPECT_NEAR(other.values[i].value, plain.values[i].value, 0.02);
}

TEST(RelativeCompression, SeesAProbeTheWrongWayRound) {
  CrankingTrace trace = cranked(four_with_leak(2, 1));
  CrankingQuestion question = question_of_four();
  question.sync = sync_of(trace);
  for (float& value : trace.current_A.values) value = -value;
  const RelativeCompression result = compare_cylinders(trace.current_A, question);
  EXPECT_TRUE(result.found.was_inverted);
  EXPECT_THAT(weak_cylinders(result), ElementsAre(2));
}

TEST(RelativeCompression, APulseEveryTurnLeavesTwoCylindersInDoubt) {
  const CrankingTrace trace = cranked(four_with_leak(2, 1));
  CrankingQuestion question = question_of_four();
  question.sync = sync_of(trace);
  for (std::size_t i = 1; i < trace.first_cylinder_s.size(); ++i) {
    const double middle = (trace.first_cylinder_s[i - 1] + trace.first_cylinder_s[i]) / 2;
    question.sync->values[static_cast<std::size_t>(middle * question.sync->rate_Hz)] = 5;
  }
  const RelativeCompression result = compare_cylinders(trace.current_A, question);
  EXPECT_TRUE(result.is_half_synchronised);
  EXPECT_FALSE(result.is_synchronised);
  EXPECT_THAT(result.order, IsEmpty());
}

TEST(RelativeCompression, SyncThatComesEarlyOrLateStillNamesTheCylinder) {
  const CrankingTrace trace = cranked(four_with_leak(4, 1));
  CrankingQuestion question = question_of_four();
  question.sync = sync_of(trace);
  question.sync_cylinder = 3;
  question.sync_deg = -180;  // cylinder 1 fires 180 degrees before cylinder 3
  EXPECT_THAT(weak_cylinders(compare_cylinders(trace.current_A, question)), ElementsAre(4));
}

Status status_of(const Signal& signal) { return compare_cylinders(signal, question_of_four()).found.status; }

TEST(RelativeCompression, SaysWhenThereIsNoCranking) {
  Signal quiet;
  quiet.rate_Hz = 2000;
  quiet.values.assign(10000, 12.6F);
  EXPECT_EQ(status_of(quiet), Status::kNoCranking);
  testing::add_noise(quiet, 0.1, 1);
  EXPECT_EQ(status_of(quiet), Status::kNoCranking);
  EXPECT_EQ(status_of({}), Status::kNoCranking);
}

TEST(RelativeCompression, SaysWhenThereAreTooFewEvents) {
  TraceLength length;
  length.cranking_s = 1.2;
  const Status status = status_of(crank_engine(CrankedEngine{}, length).current_A);
  EXPECT_TRUE(status == Status::kTooFew || status == Status::kNoCranking);
}

TEST(RelativeCompression, SaysWhatRateIsNeeded) {
  TraceLength length;
  length.rate_Hz = 40;
  const RelativeCompression result = compare_cylinders(crank_engine(CrankedEngine{}, length).current_A, question_of_four());
  EXPECT_EQ(result.found.status, Status::kTooSlowlySampled);
  EXPECT_NEAR(result.found.needed_rate_Hz, 94, 5);  // ten samples for each of 282 rpm * 2 / 60 = 9.4 compressions a second
}

TEST(RelativeCompression, SaysWhenTheInstrumentCutTheTopsOff) {
  CrankingTrace trace = cranked(CrankedEngine{});
  for (float& value : trace.current_A.values) value = std::min(value, 180.0F);
  EXPECT_EQ(status_of(trace.current_A), Status::kClipped);
}

TEST(RelativeCompression, AnAverageCycleHasAsManyTopsAsCylinders) {
  const CrankingTrace trace = cranked(CrankedEngine{});
  const RelativeCompression result = compare_cylinders(trace.current_A, question_of_four());
  int tops = 0;
  const auto& mean = result.average.mean;
  for (std::size_t i = 0; i < mean.size(); ++i) {
    const double before = mean[(i + mean.size() - 1) % mean.size()], after = mean[(i + 1) % mean.size()];
    tops += mean[i] > before && mean[i] >= after;
  }
  EXPECT_EQ(tops, 4);
}

}  // namespace
}  // namespace headjoint::traces
