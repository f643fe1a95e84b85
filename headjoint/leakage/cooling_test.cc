#include <gmock/gmock.h>

#include <limits>

#include "headjoint/base/error.h"
#include "headjoint/leakage/burnt_gas.h"
#include "headjoint/leakage/coolant_leak.h"
#include "headjoint/leakage/oil_water.h"
#include "headjoint/leakage/pressure_hold.h"
#include "headjoint/leakage/sensitivity.h"
#include "headjoint/leakage/white_vapour.h"

namespace headjoint::leakage {
namespace {

constexpr double kRoundTrip = 1e-9;
constexpr double kNotANumber = std::numeric_limits<double>::quiet_NaN();
GaugePressure bar(double value) { return GaugePressure::from_pascal(value * 1e5); }
Area square_mm(double value) { return Area::from_si(value * 1e-6); }
double in_square_mm(Area area) { return area.si() * 1e6; }
Volume litres(double value) { return Volume::from_si(value * 1e-3); }
Duration minutes(double value) { return Duration::from_si(60 * value); }
Temperature celsius(double value) { return Temperature::from_celsius(value); }

PressureHold hold_of(double start, double end, double min) {
  PressureHold hold;
  hold.start = bar(start);
  hold.end = bar(end);
  hold.time = minutes(min);
  return hold;
}

TEST(PressureHold, ASteadyNeedleHoldsAndSaysWhatItCouldNotSee) {
  const HoldResult result = judge_pressure_hold(hold_of(1.0, 1.0, 10));
  EXPECT_EQ(result.verdict, HoldVerdict::kHolds);
  EXPECT_EQ(result.liquid_opening.status, LeakArea::Status::kBelowLimit);
  EXPECT_GE(*result.liquid_opening.high, result.smallest_liquid);
  EXPECT_GT(result.smallest_liquid.si(), 0);
}

TEST(PressureHold, MoreDropIsALargerOpening) {
  double before = 0;
  for (double end = 0.95; end > 0.1; end -= 0.05) {
    const HoldResult result = judge_pressure_hold(hold_of(1.0, end, 5));
    EXPECT_GT(result.liquid_opening.area.si(), before);
    EXPECT_LE(result.liquid_opening.low, result.liquid_opening.area);
    EXPECT_GE(*result.liquid_opening.high, result.liquid_opening.area);
    EXPECT_GE(result.gas_area.area, result.gas_area.low);
    before = result.liquid_opening.area.si();
  }
}

TEST(PressureHold, TwiceTheTimeIsHalfTheOpening) {
  EXPECT_NEAR(judge_pressure_hold(hold_of(1, 0.8, 5)).liquid_opening.area / judge_pressure_hold(hold_of(1, 0.8, 10)).liquid_opening.area, 2,
              kRoundTrip);
}

TEST(PressureHold, LessAirAndMoreTimeShowSmallerLeaks) {
  PressureHold little = hold_of(1, 1, 10), much = little;
  little.gas_space = litres(0.1);
  much.gas_space = litres(2);
  EXPECT_LT(judge_pressure_hold(little).smallest_liquid, judge_pressure_hold(much).smallest_liquid);
  EXPECT_LT(judge_pressure_hold(hold_of(1, 1, 10)).smallest_gas, judge_pressure_hold(hold_of(1, 1, 2)).smallest_gas);
}

TEST(PressureHold, RulesDecideAtTheirLimits) {
  EXPECT_EQ(judge_pressure_hold(hold_of(1.0, 0.85, 2)).verdict, HoldVerdict::kLeaks);         // 2.2 psi in 2 min
  EXPECT_EQ(judge_pressure_hold(hold_of(1.0, 0.88, 10)).verdict, HoldVerdict::kLeaks);        // 0.12 bar in 10 min
  EXPECT_EQ(judge_pressure_hold(hold_of(1.0, 0.92, 10)).verdict, HoldVerdict::kFallsSlowly);  // 0.08 bar in 10 min
  EXPECT_EQ(judge_pressure_hold(hold_of(1.0, 1.1, 10)).verdict, HoldVerdict::kRose);
  EXPECT_EQ(judge_pressure_hold(hold_of(1.0, 1.1, 10)).gas_area.status, LeakArea::Status::kNotRun);
}

TEST(PressureHold, AFallStaysAFallHoweverLongItWasHeld) {
  EXPECT_EQ(judge_pressure_hold(hold_of(1.0, 0.1, 20)).verdict, HoldVerdict::kLeaks);
  EXPECT_EQ(judge_pressure_hold(hold_of(1.0, 0.9, 60)).verdict, HoldVerdict::kFallsSlowly);
  const HoldResult empty = judge_pressure_hold(hold_of(1.0, 0.0, 30));
  EXPECT_EQ(empty.verdict, HoldVerdict::kLeaks);
  EXPECT_FALSE(empty.liquid_opening.high.has_value()) << "nobody saw when the needle came to zero";
}

TEST(PressureHold, CoolingIsNotBlamedOnALeak) {
  PressureHold cooled = hold_of(1.0, 0.93, 10);
  EXPECT_EQ(judge_pressure_hold(cooled).verdict, HoldVerdict::kFallsSlowly);
  cooled.warming = TemperatureDifference::from_si(-6);
  EXPECT_NE(judge_pressure_hold(cooled).verdict, HoldVerdict::kFallsSlowly);
}

TEST(PressureHold, SlipsAreRefusedByName) {
  const auto argument = [](const PressureHold& hold) -> std::string {
    try {
      (void)judge_pressure_hold(hold);
    } catch (const InputError& error) {
      return error.argument();
    }
    return "accepted";
  };
  EXPECT_EQ(argument(hold_of(15, 13, 2)), "start");
  EXPECT_EQ(argument(hold_of(0, 0, 2)), "start");
  EXPECT_EQ(argument(hold_of(0.5, 1.5, 2)), "end");
  EXPECT_EQ(argument(hold_of(1, -0.5, 2)), "end");
  EXPECT_EQ(argument(hold_of(1, 0.9, 0)), "time");
  EXPECT_EQ(argument(hold_of(1, kNotANumber, 2)), "end");
}

TEST(CoolantLeak, FiredGasAndAreaAreInverse) {
  for (const EngineState state : {EngineState::kCranking, EngineState::kIdle, EngineState::kFastIdle, EngineState::kFullLoad})
    for (const double area : {0.001, 0.01, 0.3}) {
      const VolumeFlow flow = fired_gas_flow(square_mm(area), state);
      const LeakArea back = leak_area_from_fired_gas({flow, flow, flow}, state);
      EXPECT_NEAR(in_square_mm(back.area), area, kRoundTrip);
      EXPECT_LT(back.low, back.area);
      EXPECT_GT(*back.high, back.area);
      EXPECT_EQ(back.status, LeakArea::Status::kMeasured);
    }
}

TEST(CoolantLeak, NoBubblesIsNotNoLeak) {
  const LeakArea none = leak_area_from_bubbles(bubble_flow({.per_minute = 0}), bar(5.5));
  EXPECT_EQ(none.status, LeakArea::Status::kBelowLimit);
  EXPECT_GT(none.high->si(), 0);
  const LeakArea one = leak_area_from_bubbles(bubble_flow({.per_minute = 1}), bar(5.5));
  EXPECT_EQ(*none.high, *one.high);
  EXPECT_EQ(one.status, LeakArea::Status::kMeasured);
}

TEST(CoolantLeak, BubblesAndFlowAgreeWithTheLeakDownSensitivity) {
  const VolumeFlow at_ambient = VolumeFlow::from_si(0.05e-3 / 60), normal = normal_flow(at_ambient, {});
  EXPECT_NEAR(leak_area_from_bubbles({normal, normal, normal}, bar(5.5)).area / smallest_leak_by_bubbles(bar(5.5), at_ambient), 1, 1e-6);
}

TEST(CoolantLeak, TheBoreFillsFasterThroughALargerHole) {
  const auto time = [](double area) { return shortest_lock_time(square_mm(area), Volume::from_si(45e-6), bar(1)).si(); };
  EXPECT_NEAR(time(0.01) / time(0.1), 10, kRoundTrip);
  EXPECT_THROW((void)time(0), InputError);
}

TEST(CoolantLeak, NonsenseIsRefused) {
  EXPECT_THROW((void)fired_gas_flow(square_mm(-1), EngineState::kIdle), InputError);
  EXPECT_THROW((void)liquid_flow(square_mm(kNotANumber), bar(1), 1000), InputError);
  EXPECT_THROW((void)bubble_flow({.per_minute = kNotANumber}), InputError);
  EXPECT_THROW((void)bubble_flow({.per_minute = 1e6}), InputError);
  EXPECT_FALSE(time_to_gather(litres(1), VolumeFlow::from_si(0)));
}

TEST(GasTest, DyeAndGasAreInverse) {
  for (const double mM : {0.2, 1.0, 5.0})
    for (const double co2 : {0.0004, 0.01, 0.15}) EXPECT_NEAR(co2_for_ph(mM, dye_ph(mM, co2)), co2, 1e-9);
}

TEST(GasTest, MoreGasTurnsTheDyeFurther) {
  double before = 14;
  for (double co2 = 0; co2 <= 0.2; co2 += 0.005) {
    const double now = dye_ph(1, co2);
    EXPECT_LT(now, before);
    before = now;
  }
}

TEST(GasTest, ADieselAtIdleTurnsGreenButNeverYellow) {
  ColourTest test;
  test.fuel = Fuel::kDiesel;
  const ColourResult idle = judge_colour_test(test);
  EXPECT_TRUE(idle.can_turn_green);
  EXPECT_FALSE(idle.can_turn_yellow);
  test.state = EngineState::kFullLoad;
  EXPECT_TRUE(judge_colour_test(test).can_turn_yellow);
}

TEST(GasTest, BlueIsEvidenceOnlyAgainstLeaksItCouldHaveShown) {
  ColourTest test;
  const ColourResult blue = judge_colour_test(test);
  EXPECT_EQ(blue.area.status, LeakArea::Status::kBelowLimit);
  EXPECT_GT(*blue.area.high, blue.smallest);
  EXPECT_GT(blue.smallest_if_absorbed, blue.smallest);
  test.coolant_reserve_mM = 0;
  EXPECT_LT(*judge_colour_test(test).area.high, *blue.area.high);
}

TEST(GasTest, GreenAndYellowAreBoundsThatFollowEachOther) {
  ColourTest test;
  test.seen = DyeColour::kGreen;
  const ColourResult green = judge_colour_test(test);
  EXPECT_EQ(green.area.status, LeakArea::Status::kMeasured);
  ASSERT_TRUE(green.area.high);
  test.seen = DyeColour::kYellow;
  const ColourResult yellow = judge_colour_test(test);
  EXPECT_EQ(yellow.area.status, LeakArea::Status::kMeasured);
  EXPECT_FALSE(yellow.area.high);
  EXPECT_GT(yellow.area.low, green.area.low);
}

TEST(GasTest, YellowFromAGasThatCannotDoItIsDoubted) {
  ColourTest test;
  test.fuel = Fuel::kDiesel;
  test.seen = DyeColour::kYellow;
  test.dye = {.alkalinity_mM = 2, .alkalinity_low_mM = 1, .alkalinity_high_mM = 4};
  const ColourResult result = judge_colour_test(test);
  EXPECT_TRUE(result.yellow_is_doubtful);
  EXPECT_EQ(result.area.status, LeakArea::Status::kNotRun);
}

TEST(GasTest, WhileCrankingThereIsNothingToTurnTheDye) {
  ColourTest test;
  test.state = EngineState::kCranking;
  const ColourResult blue = judge_colour_test(test);
  EXPECT_FALSE(blue.can_turn_green);
  EXPECT_EQ(blue.area.status, LeakArea::Status::kNotRun);
}

TEST(GasTest, HydrocarbonsAloneAreNotProof) {
  EXPECT_EQ(judge_analyser({.co2_percent = 2, .hc_ppm = 300}), AnalyserVerdict::kBurntGas);
  EXPECT_EQ(judge_analyser({.co2_percent = 0.02, .hc_ppm = 300}), AnalyserVerdict::kFuelOrSolvent);
  EXPECT_EQ(judge_analyser({.co2_percent = 0.2, .hc_ppm = 0}), AnalyserVerdict::kDoubtful);
  EXPECT_EQ(judge_analyser({.co2_percent = 0.02, .hc_ppm = 20}), AnalyserVerdict::kNothing);
  EXPECT_THROW((void)judge_analyser({.co2_percent = 60}), InputError);
}

TEST(GasTest, NonsenseIsRefused) {
  EXPECT_THROW((void)dye_ph(0, 0.01), InputError);
  EXPECT_THROW((void)dye_ph(1, 13), InputError);
  EXPECT_THROW((void)exhaust_gas(Fuel::kPetrol, 0.5), InputError);
  ColourTest test;
  test.time = Duration::from_si(kNotANumber);
  EXPECT_THROW((void)judge_colour_test(test), InputError);
}

TEST(Oil, WaterAndItsShareAreInverse) {
  const Sump sump{litres(7), 860};
  for (const double ppm : {50.0, 1000.0, 20000.0}) EXPECT_NEAR(water_mg_per_kg(water_in(ppm, sump), sump), ppm, 1e-6);
}

TEST(Oil, ShortTripsExplainTheWaterTheyBring) {
  OilEvidence evidence;
  evidence.water_mg_per_kg = 3000;  // 13 mL
  evidence.cold_fuel = Mass::from_si(4);
  EXPECT_EQ(judge_oil(evidence).verdict, OilVerdict::kShortTrips);
  evidence.water_mg_per_kg = 60000;
  EXPECT_EQ(judge_oil(evidence).verdict, OilVerdict::kWaterUnexplained);
  evidence.water_mg_per_kg = 3000;
  evidence.cold_fuel = {};
  EXPECT_EQ(judge_oil(evidence).verdict, OilVerdict::kWaterUnexplained);
  EXPECT_TRUE(judge_oil(evidence).water_over_limit);
}

TEST(Oil, CreamUnderTheCapAloneIsCondensation) {
  OilEvidence evidence;
  evidence.cream_under_cap_only = true;
  EXPECT_EQ(judge_oil(evidence).verdict, OilVerdict::kShortTrips);
  evidence.coolant_level_falls = true;
  EXPECT_EQ(judge_oil(evidence).verdict, OilVerdict::kNotTold);
}

TEST(Oil, GlycolOrMetalsAreCoolant) {
  OilEvidence evidence;
  evidence.glycol_mg_per_kg = 200;
  EXPECT_EQ(judge_oil(evidence).verdict, OilVerdict::kCoolant);
  evidence.glycol_mg_per_kg = 0;
  evidence.metals = Metals{.sample_mg_per_kg = 150};
  const OilResult result = judge_oil(evidence);
  EXPECT_EQ(result.verdict, OilVerdict::kCoolant);
  EXPECT_LT(result.coolant.low, result.coolant.value);
  EXPECT_GT(result.coolant.high, result.coolant.value);
}

TEST(Oil, TheGlycolTestGoesBlindOnAHotEngineAndMetalsDoNot) {
  const Sump sump;
  const auto smallest = [&](double hours) {
    return smallest_coolant_by_glycol(GlycolTest::kTablet, sump, 0.53, Duration::from_si(3600 * hours));
  };
  EXPECT_NEAR(smallest(8) / smallest(0), 10, 1e-9);
  EXPECT_GT(smallest(24), smallest_coolant_by_metals({}, sump));
}

TEST(Oil, NothingLookedForTellsNothing) {
  EXPECT_EQ(judge_oil({}).verdict, OilVerdict::kNotTold);
  OilEvidence evidence;
  evidence.glycol_mg_per_kg = 0;
  EXPECT_EQ(judge_oil(evidence).verdict, OilVerdict::kNoCoolantFound);
  evidence.crackles = false;
  EXPECT_EQ(judge_oil(evidence).verdict, OilVerdict::kNoWaterFound);
}

TEST(Oil, NonsenseIsRefused) {
  OilEvidence evidence;
  evidence.water_mg_per_kg = kNotANumber;
  EXPECT_THROW((void)judge_oil(evidence), InputError);
  evidence = {};
  evidence.sump.oil = litres(0);
  evidence.crackles = true;
  EXPECT_THROW((void)judge_oil(evidence), InputError);
  EXPECT_THROW((void)glycol_left(Duration::from_si(-1)), InputError);
}

TEST(WhiteVapour, ColdMorningsAreNormalAndWarmNoonsAreNot) {
  const Tailpipe pipe;
  const MassFlow idle = MassFlow::from_si(0.6 / 3600);
  EXPECT_EQ(judge_white_vapour(pipe, celsius(-5), idle, 0.5).status, VapourResult::Status::kNormalHere);
  const VapourResult noon = judge_white_vapour(pipe, celsius(25), idle, 0.5);
  EXPECT_EQ(noon.status, VapourResult::Status::kWouldBeASign);
  ASSERT_TRUE(noon.smallest_loss);
  EXPECT_LT(noon.smallest_loss->low, noon.smallest_loss->high);
}

TEST(WhiteVapour, TheExtraWaterThatJustShowsPutsThePlumeAtTheOutsideTemperature) {
  Tailpipe pipe;
  pipe.water = 0.1336;
  const VapourResult result = judge_white_vapour(pipe, celsius(20), MassFlow::from_si(0.6 / 3600), 0.5);
  pipe.extra_water = result.extra_water_to_show.value();
  EXPECT_NEAR(warmest_plume(pipe).value().celsius(), 20, 1e-6);
}

TEST(WhiteVapour, HotterPipeAndDrierAirShowLess) {
  Tailpipe pipe;
  const double base = warmest_plume(pipe)->celsius();
  pipe.gas = celsius(200);
  EXPECT_LT(warmest_plume(pipe)->celsius(), base);
  pipe.gas = celsius(100);
  pipe.humidity = 0.2;
  EXPECT_LT(warmest_plume(pipe)->celsius(), base);
}

TEST(WhiteVapour, NonsenseIsRefused) {
  Tailpipe pipe;
  pipe.humidity = 70;
  EXPECT_THROW((void)warmest_plume(pipe), InputError);
  EXPECT_THROW((void)judge_white_vapour({}, celsius(kNotANumber), MassFlow::from_si(1e-4), 0.5), InputError);
  EXPECT_THROW((void)judge_white_vapour({}, celsius(20), MassFlow::from_si(0), 0.5), InputError);
  EXPECT_THROW((void)dew_point(0, AbsolutePressure::from_pascal(1e5)), InputError);
}

}  // namespace
}  // namespace headjoint::leakage
