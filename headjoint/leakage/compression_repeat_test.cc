#include "headjoint/leakage/compression_repeat.h"

#include <gmock/gmock.h>

#include <cmath>
#include <limits>

#include "headjoint/base/error.h"
#include "headjoint/leakage/compression.h"
#include "headjoint/leakage/sensitivity.h"

namespace headjoint::leakage {
namespace {

using testing::HasSubstr;

Area square_mm(double value) { return Area::from_si(value * 1e-6); }
Cranking known_engine() {
  return {.displacement = Volume::from_si(402.124e-6),
          .compression_ratio = 10,
          .intake_closing = Angle::from_degrees(50),
          .rod = Length::from_si(0.14)};
}

/// What a perfect gauge shows by the cycle.
GaugePressure reads(HeatLoss law, double mm2, double rpm, double closing = 50, double oil_cm3 = 0) {
  CrankingEngine engine = known_engine().engine();
  engine.intake_closing = Angle::from_degrees(closing);
  CrankingConditions conditions = known_engine().conditions(law);
  conditions.speed = Speed::from_rpm(rpm);
  const auto run = simulate_cylinder(engine, conditions, {.rings = square_mm(mm2), .liquid = Volume::from_si(oil_cm3 * 1e-6)});
  return GaugePressure::from_pascal(run->peak.pascal() - 101325);
}
SpeedFinding two_speeds(HeatLoss law, double mm2, double closing, double step_bar = 0.05) {
  return compare_speeds(known_engine(), {Speed::from_rpm(150), Speed::from_rpm(300), reads(law, mm2, 150, closing),
                                         reads(law, mm2, 300, closing), GaugePressure::from_pascal(step_bar * 1e5)});
}

TEST(TwoSpeeds, FindTheLeakWhateverTheClosing) {
  for (HeatLoss law : {HeatLoss::kWoschni, HeatLoss::kHohenberg}) {
    for (double closing : {40.0, 50.0, 70.0}) {
      const SpeedFinding found = two_speeds(law, 4, closing);
      EXPECT_EQ(found.kind, SpeedFinding::Kind::kLeak) << closing;
      EXPECT_LE(found.leak.low.si() * 1e6, 4 * 1.02) << closing;
      EXPECT_GE(found.leak.high->si() * 1e6, 4 * 0.98) << closing;
    }
  }
}

TEST(TwoSpeeds, LateClosingIsNotTakenForALeak) {
  const SpeedFinding late = two_speeds(HeatLoss::kWoschni, 0.3, 85);
  EXPECT_EQ(late.kind, SpeedFinding::Kind::kLowByShape);
  EXPECT_NEAR(late.later_closing->degrees(), 35, 12);
  EXPECT_THAT(late.note, HasSubstr("timing"));
  EXPECT_EQ(two_speeds(HeatLoss::kWoschni, 0.3, 50).kind, SpeedFinding::Kind::kSound);
}

TEST(TwoSpeeds, SaysWhenReadingsContradictOrDoNotDecide) {
  const TwoSpeeds upside_down{Speed::from_rpm(150), Speed::from_rpm(300), GaugePressure::from_pascal(13e5),
                              GaugePressure::from_pascal(11e5)};
  EXPECT_EQ(compare_speeds(known_engine(), upside_down).kind, SpeedFinding::Kind::kDisagrees);
  EXPECT_EQ(two_speeds(HeatLoss::kWoschni, 1.6, 60, 1.5).kind, SpeedFinding::Kind::kUndecided);
}

TEST(TwoSpeeds, RefuseSpeedsTooCloseAndNonsense) {
  TwoSpeeds readings{Speed::from_rpm(250), Speed::from_rpm(260), GaugePressure::from_pascal(1e6), GaugePressure::from_pascal(1e6)};
  EXPECT_THROW((void)compare_speeds(known_engine(), readings), InputError);
  readings.fast = Speed::from_rpm(400);
  readings.slow_reading = GaugePressure::from_pascal(0);
  EXPECT_THROW((void)compare_speeds(known_engine(), readings), InputError);
  readings.slow_reading = GaugePressure::from_pascal(std::numeric_limits<double>::quiet_NaN());
  EXPECT_THROW((void)compare_speeds(known_engine(), readings), InputError);
}

// Computed independently: 10 cm3 of oil alone raise 15.81 to 20.60 bar absolute at 1 mm2; with the leak down to 0.3 mm2 25.07.
TEST(WetTest, VolumeOfTheOilIsTakenOut) {
  const GaugePressure dry = GaugePressure::from_pascal((15.8047 - 1.01325) * 1e5);
  const WetFinding volume = judge_wet_test(known_engine(), {dry, GaugePressure::from_pascal((20.597 - 1.01325) * 1e5)});
  EXPECT_EQ(volume.kind, WetFinding::Kind::kVolumeOnly);
  EXPECT_NEAR(volume.rise_by_volume, (20.597 - 1.01325) / (15.8047 - 1.01325) - 1, 0.02);  // Hohenberg's half of the mean differs a little
  const WetFinding rings = judge_wet_test(known_engine(), {dry, GaugePressure::from_pascal((25.07 - 1.01325) * 1e5)});
  EXPECT_EQ(rings.kind, WetFinding::Kind::kRings);
  EXPECT_LE(rings.sealed.low.si() * 1e6, 0.7);
  EXPECT_GE(rings.sealed.high->si() * 1e6, 0.7);
  const WetFinding none = judge_wet_test(known_engine(), {dry, dry});
  EXPECT_EQ(none.kind, WetFinding::Kind::kNoRise);
  EXPECT_THAT(none.note, HasSubstr("gasket"));
  EXPECT_GT(volume.all_sealed, volume.volume_alone);
}

TEST(WetTest, RefusesOilThatFillsTheChamber) {
  const GaugePressure dry = GaugePressure::from_pascal(1e6);
  EXPECT_THROW((void)judge_wet_test(known_engine(), {dry, dry, Volume::from_si(40e-6)}), InputError);
  EXPECT_THROW((void)judge_wet_test(known_engine(), {dry, dry, Volume::from_si(0)}), InputError);
}

/// Readings by the coupled cycle of a pair that shares a breach.
struct PairReadings {
  double first, second, healthy;
};
PairReadings pair_reads(double breach_mm2, double apart) {
  CrankingEngine engine = known_engine().engine();
  engine.firing = {Angle{}, Angle::from_degrees(apart)};
  const CylinderLeaks base{.rings = square_mm(1)};
  const CrankingRun run =
      simulate_cranking(engine, known_engine().conditions(HeatLoss::kWoschni), {base, base}, {{0, 1, square_mm(breach_mm2)}});
  const auto bar = [](AbsolutePressure pressure) { return pressure.bar() - 1.01325; };
  return {bar(run.cylinders[0].peak), bar(run.cylinders[1].peak), reads(HeatLoss::kWoschni, 1, 250).bar()};
}

TEST(PairBreach, CoupledReadingsGiveTheBreachBack) {
  for (double apart : {180.0, 360.0, 540.0}) {
    for (double mm2 : {0.5, 1.0, 3.0}) {
      const PairReadings seen = pair_reads(mm2, apart);
      const CompressionModel model(known_engine(), GaugePressure::from_pascal(seen.healthy * 1e5));
      const PairBreach found =
          pair_breach(model, Plugs::kIn, Angle::from_degrees(apart), seen.first / seen.healthy, seen.second / seen.healthy, 0.015);
      EXPECT_TRUE(found.is_equal) << apart << " " << mm2;
      EXPECT_NEAR(found.breach.area.si() * 1e6, mm2, 0.08 * mm2) << apart << " " << mm2;  // half Hohenberg, the readings are Woschni
      EXPECT_LE(found.breach.low.si() * 1e6, mm2);
      EXPECT_GE(found.breach.high->si() * 1e6, mm2);
      EXPECT_NEAR(found.expected_difference, found.difference, 0.01) << apart << " " << mm2;
    }
  }
}

TEST(PairBreach, UnequalNeighboursAreTwoCauses) {
  const CompressionModel model(known_engine(), GaugePressure::from_pascal(12e5));
  EXPECT_FALSE(pair_breach(model, Plugs::kOut, Angle{}, 0.8, 0.6, 0.015).is_equal);
  EXPECT_TRUE(pair_breach(model, Plugs::kOut, Angle{}, 0.74, 0.75, 0.015).is_equal);
}

CompressionTest four_readings(const std::vector<double>& bar) {
  CompressionTest test;
  for (double value : bar) test.readings.push_back({GaugePressure::from_pascal(value * 1e5)});
  for (std::size_t i = 0; i + 1 < bar.size(); ++i) test.neighbours.emplace_back(i, i + 1);
  test.cranking = known_engine();
  return test;
}

TEST(CompressionLevel, AllLowAndAlikePointsAtTimingNotAtTheGasket) {
  const CompressionComparison low = compare_compression(four_readings({8.1, 8.2, 8.0, 8.1}));
  EXPECT_EQ(low.level.kind, LevelFinding::Kind::kLow);
  EXPECT_TRUE(low.level.are_alike);
  ASSERT_TRUE(low.level.closing_shift.has_value());
  EXPECT_GT(low.level.closing_shift->degrees(), 10);
  EXPECT_THAT(low.note, HasSubstr("timing"));
  EXPECT_EQ(compare_compression(four_readings({12.6, 12.5, 12.4, 12.5})).level.kind, LevelFinding::Kind::kUsual);
}

TEST(CompressionLevel, MakersFigureGoesBeforeTheModel) {
  CompressionTest test = four_readings({12.1, 12.0, 12.2, 12.1});
  test.maker_level = GaugePressure::from_pascal(15e5);
  const LevelFinding level = compare_compression(test).level;
  EXPECT_EQ(level.kind, LevelFinding::Kind::kLow);
  EXPECT_TRUE(level.is_from_maker);
  // Computed independently: closing at 70 instead of 50 deg makes 13.23 of 15.81 bar absolute, 17 % less on the gauge.
  EXPECT_NEAR(level.closing_shift->degrees(), 20, 5);
  test.maker_level = GaugePressure::from_pascal(10e5);
  EXPECT_EQ(compare_compression(test).level.kind, LevelFinding::Kind::kHigh);
}

TEST(CompressionLevel, AltitudeLowersWhatIsExpected) {
  const auto expected = [](double metres) {
    CompressionTest test = four_readings({9, 9, 9, 9});
    test.ambient = standard_atmosphere_pressure(Length::from_si(metres));
    return compare_compression(test).level;
  };
  // US Standard Atmosphere 1976: 79495 / 101325 at 2000 m.
  EXPECT_NEAR(expected(2000).usual_high.bar() / expected(0).usual_high.bar(), 0.7846, 0.004);
}

TEST(Compression, KnownEngineWithPlugsInUsesTheCoupledCycle) {
  CompressionTest test = four_readings({12.4, 12.3, 9.5, 9.4});
  test.plugs = Plugs::kIn;
  test.firing = CrankingEngine::evenly_firing({1, 3, 4, 2});
  const CompressionComparison found = compare_compression(test);
  ASSERT_EQ(found.pairs.size(), 1u);
  EXPECT_TRUE(found.pairs[0].is_equal);
  EXPECT_LT(std::abs(found.pairs[0].expected_difference), 0.03);  // equal within 3 % by the coupled cycle
  EXPECT_GT(found.pairs[0].breach.area.si() * 1e6, 0.8);
}

TestedEngine tested_engine() {
  const GaugePressure supply = GaugePressure::from_pascal(80 * 6894.757);
  return {.cranking = known_engine(), .leak_down = {.supply = supply, .orifice = TesterOrifice::drilled(Length::from_si(1.016e-3))}};
}
double smallest_mm2(LeakTest test) { return sensitivity(test, tested_engine()).smallest.si() * 1e6; }

// Worked out beforehand for 400 cm3, 250 rpm, a 0.040 in tester at 80 psi: 0.20 and 1.2 mm2 by compression, 0.033 mm2 by one step of
// 1 psi, 0.0007 mm2 by 0.05 L/min of bubbles.
TEST(Sensitivity, OrdersTheTestsByThreeOrdersOfMagnitude) {
  EXPECT_NEAR(smallest_mm2(LeakTest::kCompression), 0.20, 0.02);
  EXPECT_NEAR(smallest_mm2(LeakTest::kCompressionRule), 1.2, 0.06);
  EXPECT_NEAR(smallest_mm2(LeakTest::kLeakDown), 0.033, 0.003);
  EXPECT_NEAR(smallest_mm2(LeakTest::kLeakDownBubbles), 0.0007, 0.00005);
  // 25 % is 0.687 mm2 in all (AC 43.13-1B), of which a sound cylinder's 6 % are about 0.31.
  EXPECT_NEAR(smallest_mm2(LeakTest::kLeakDownRule), 0.687 - 0.31, 0.01);
}

TEST(Sensitivity, CoarserGaugeOrBiggerEngineSeesLess) {
  TestedEngine coarse = tested_engine(), big = tested_engine();
  coarse.healthy_compression = big.healthy_compression = GaugePressure::from_pascal(12e5);
  coarse.compression_step = GaugePressure::from_pascal(1.2e5);
  big.cranking.displacement = 3 * big.cranking.displacement;
  TestedEngine plain = tested_engine();
  plain.healthy_compression = GaugePressure::from_pascal(12e5);
  const double usual = sensitivity(LeakTest::kCompression, plain).smallest.si();
  EXPECT_GT(sensitivity(LeakTest::kCompression, coarse).smallest.si(), 1.5 * usual);
  EXPECT_GT(sensitivity(LeakTest::kCompression, big).smallest.si(), 2.5 * usual);
  EXPECT_THAT(sensitivity(LeakTest::kCompression, coarse).shown_by, HasSubstr("10 %"));
}

}  // namespace
}  // namespace headjoint::leakage
