#include "headjoint/leakage/cylinder_cycle.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>

#include "headjoint/base/error.h"
#include "headjoint/leakage/internal/closed_cycle.h"

namespace headjoint::leakage {
namespace {

constexpr double kTight = 1e-10;
constexpr double kSame = 1e-9;
constexpr double kNotANumber = std::numeric_limits<double>::quiet_NaN();

Area square_mm(double value) { return Area::from_si(value * 1e-6); }

CrankingEngine square_engine(std::vector<Angle> firing = {Angle{}}) {
  return {.bore = Length::from_si(0.08), .stroke = Length::from_si(0.08), .rod = Length::from_si(0.14), .firing = std::move(firing)};
}
CrankingEngine inline_four() { return square_engine(CrankingEngine::evenly_firing({1, 3, 4, 2})); }
CylinderLeaks rings(double mm2) { return {.rings = square_mm(mm2)}; }
CrankingConditions with(HeatLoss heat_loss, double rpm = 250) { return {.speed = Speed::from_rpm(rpm), .heat_loss = heat_loss}; }
double peak_bar(const CrankingEngine& engine, const CrankingConditions& conditions, const CylinderLeaks& leaks, double tolerance = kTight) {
  return simulate_cylinder(engine, conditions, leaks, {.tolerance = tolerance})->peak.bar();
}

TEST(CylinderCycle, TightWithoutHeatLossMeetsTheClosedForm) {
  for (double ratio : {7.0, 10.0, 16.0, 22.0}) {
    CrankingEngine engine = square_engine();
    engine.compression_ratio = ratio;
    const double expected = tight_adiabatic_peak(engine, with(HeatLoss::kNone)).bar();
    EXPECT_NEAR(peak_bar(engine, with(HeatLoss::kNone), {}, 1e-6), expected, 1e-10 * expected);
    EXPECT_NEAR(simulate_cylinder(engine, with(HeatLoss::kNone), {})->peak_angle.degrees(), 0, 1e-3);
  }
}

// The leak number Pi is the only thing that counts without heat loss.
TEST(CylinderCycle, AreaSpeedAndSizeScaleExactlyWithoutHeatLoss) {
  const double expected = peak_bar(square_engine(), with(HeatLoss::kNone), rings(1));
  EXPECT_NEAR(peak_bar(square_engine(), with(HeatLoss::kNone, 500), rings(2)), expected, kSame);
  EXPECT_NEAR(peak_bar(square_engine(), with(HeatLoss::kNone, 125), rings(0.5)), expected, kSame);
  CrankingEngine twice = square_engine();
  for (Length* length : {&twice.bore, &twice.stroke, &twice.rod}) *length = 2 * *length;
  EXPECT_NEAR(peak_bar(twice, with(HeatLoss::kNone), rings(8)), expected, kSame);
  CrankingConditions thin = with(HeatLoss::kNone);
  thin.ambient.pressure = AbsolutePressure::from_pascal(101325 / 2.0);
  EXPECT_NEAR(2 * peak_bar(square_engine(), thin, rings(1)), expected, kSame);
}

TEST(CylinderCycle, GasThatGoesAcrossIsLostAndGainedByTheSameAmount) {
  const double pi = std::numbers::pi, closing = -130 * pi / 180, area = pi / 4 * 0.08 * 0.08;
  CycleAir air{.turning = 26,
               .ambient = 101325,
               .intake = 101325,
               .coolant = 101325,
               .ambient_temperature = 293.15,
               .charge_temperature = 293.15,
               .wall_temperature = 293.15,
               .gas_constant = 287.05,
               .heat_ratio = 1.4,
               .closing = closing,
               .opening = -closing};
  CycleCylinder cylinder;
  cylinder.geometry = {0.04, 0.14, area, 0.08, 44.68e-6, 44.68e-6 / area};
  ClosedCycle pair(air, {cylinder, cylinder}, {{0, 1, 2e-6}}, {});
  pair.close(0, 0);
  pair.close(1, pi);  // half a turn later: joined from the second's closing on
  const auto rates = [&](double x, const ClosedCycle::State& y, ClosedCycle::State& dy) { pair.rates(x, y, dy); };
  ClosedCycle::March march(4);
  ClosedCycle::State y = pair.state_at_closing();
  y[1] = 3;  // the first is at three times the pressure
  march.start(pi + closing, y, rates);
  const double before = pair.mass(0, y) + pair.mass(1, y);
  double moved = 0;
  while (march.x() < -closing) {
    march.attempt(0.01, rates);
    march.accept();
    EXPECT_NEAR((pair.mass(0, march.y()) + pair.mass(1, march.y())) / before, 1, 1e-10);
    moved = std::max(moved, std::abs(march.y()[0] - 1));
  }
  EXPECT_GT(moved, 0.05);
}

/// Errors of a march with fixed steps from intake closing to top dead centre, against a far finer one.
double error_of_steps(int steps) {
  const double pi = std::numbers::pi, closing = -130 * pi / 180, area = pi / 4 * 0.08 * 0.08;
  const CycleAir air{.turning = 26,
                     .ambient = 101325,
                     .intake = 101325,
                     .coolant = 101325,
                     .ambient_temperature = 293.15,
                     .charge_temperature = 293.15,
                     .wall_temperature = 293.15,
                     .gas_constant = 287.05,
                     .heat_ratio = 1.4,
                     .heat_loss = HeatLoss::kHohenberg,
                     .heat_factor = 130 * std::pow(2.1 / 1e5, 0.8),
                     .closing = closing,
                     .opening = -closing};
  CycleCylinder cylinder;
  cylinder.geometry = {0.04, 0.14, area, 0.08, 44.68e-6, 44.68e-6 / area};
  const auto final_state = [&](int count) {
    ClosedCycle cycle(air, {cylinder}, {}, {});
    cycle.close(0, 0);
    const auto rates = [&](double x, const ClosedCycle::State& y, ClosedCycle::State& dy) { cycle.rates(x, y, dy); };
    ClosedCycle::March march(2);
    march.start(closing, cycle.state_at_closing(), rates);
    for (int i = 0; i < count; ++i) {
      march.attempt(-closing / count, rates);
      march.accept();
    }
    return march.y()[1];
  };
  return std::abs(final_state(steps) - final_state(2048));
}

TEST(CylinderCycle, MarchConvergesWithTheFifthOrder) {
  for (int steps : {16, 32, 64}) {
    const double order = std::log2(error_of_steps(steps) / error_of_steps(2 * steps));
    EXPECT_NEAR(order, 5, 0.4) << steps;
  }
}

TEST(DormandPrince, InterpolantConvergesWithTheFourthOrderOrBetter) {
  const auto worst = [](double h) {
    DormandPrince<2> march(2);
    const auto rates = [](double x, const std::array<double, 2>& y, std::array<double, 2>& dy) { dy = {y[1], -y[0] + 0 * x}; };
    march.start(0, {0, 1}, rates);
    double error = 0;
    for (double x = 0; x < 3; x += h) {
      march.attempt(h, rates);
      for (double share : {0.25, 0.5, 0.75}) error = std::max(error, std::abs(march.between(share)[0] - std::sin(x + share * h)));
      march.accept();
    }
    return error;
  };
  EXPECT_GT(std::log2(worst(0.2) / worst(0.1)), 3.8);
  EXPECT_GT(std::log2(worst(0.1) / worst(0.05)), 3.8);
}

// What the header promises for the peak: 1e-4 at the default tolerance, a tenth of it for every two decades more.
TEST(CylinderCycle, ErrorFollowsTheToleranceAsked) {
  const double promised[][2] = {{1e-6, 1e-4}, {1e-8, 1e-5}, {1e-10, 1e-6}};
  for (HeatLoss law : {HeatLoss::kNone, HeatLoss::kWoschni, HeatLoss::kHohenberg}) {
    for (double mm2 : {0.0, 0.02, 0.2, 0.7, 1.0, 3.0, 6.0, 10.0}) {
      const double exact = peak_bar(square_engine(), with(law), rings(mm2), 1e-12);
      for (const auto& [tolerance, error] : promised)
        EXPECT_NEAR(peak_bar(square_engine(), with(law), rings(mm2), tolerance) / exact, 1, error) << mm2 << " mm2, " << tolerance;
    }
  }
}

TEST(CylinderCycle, MoreLeakMeansALowerAndEarlierPeakAndLessGas) {
  for (HeatLoss law : {HeatLoss::kNone, HeatLoss::kWoschni, HeatLoss::kHohenberg}) {
    CylinderRun before = *simulate_cylinder(square_engine(), with(law), {}, {.tolerance = 1e-9});
    for (double mm2 = 0.05; mm2 < 20; mm2 *= 1.3) {
      const CylinderRun after = *simulate_cylinder(square_engine(), with(law), rings(mm2), {.tolerance = 1e-9});
      EXPECT_LT(after.peak, before.peak) << mm2;
      EXPECT_LT(after.peak_angle, before.peak_angle) << mm2;
      EXPECT_LT(after.mass_left, before.mass_left) << mm2;
      before = after;
    }
  }
}

TEST(CylinderCycle, FasterCrankingHigherRatioAndEarlierClosingRaiseThePeak) {
  double before = 0;
  for (double rpm = 50; rpm <= 800; rpm *= 1.5) {
    const double peak = peak_bar(square_engine(), with(HeatLoss::kWoschni, rpm), rings(1));
    EXPECT_GT(peak, before) << rpm;
    before = peak;
  }
  before = 0;
  for (double ratio = 6; ratio <= 24; ratio += 2) {
    CrankingEngine engine = square_engine();
    engine.compression_ratio = ratio;
    const double peak = peak_bar(engine, with(HeatLoss::kHohenberg), rings(1));
    EXPECT_GT(peak, before) << ratio;
    before = peak;
  }
  before = 1e9;
  for (double closing = 10; closing <= 100; closing += 10) {
    CrankingEngine engine = square_engine();
    engine.intake_closing = Angle::from_degrees(closing);
    const double peak = peak_bar(engine, with(HeatLoss::kWoschni), rings(1));
    EXPECT_LT(peak, before) << closing;
    before = peak;
  }
}

TEST(CylinderCycle, EndlessLeakEndsAtAmbientAndColdWallsTakeMore) {
  EXPECT_NEAR(peak_bar(square_engine(), with(HeatLoss::kWoschni), rings(1000), 1e-6), 1.01325, 2e-3);
  CrankingConditions more = with(HeatLoss::kWoschni), none = with(HeatLoss::kWoschni);
  more.heat_multiplier = 4;
  none.heat_multiplier = 0;
  const double plain = peak_bar(square_engine(), with(HeatLoss::kWoschni), {});
  EXPECT_LT(peak_bar(square_engine(), more, {}), plain);
  EXPECT_NEAR(peak_bar(square_engine(), none, {}), peak_bar(square_engine(), with(HeatLoss::kNone), {}), kSame);
}

TEST(CylinderCycle, WaysOutThatEndAtTheSamePressureAddUp) {
  const double together = peak_bar(square_engine(), with(HeatLoss::kWoschni), rings(1));
  const CylinderLeaks split{
      .rings = square_mm(0.2), .intake_valve = square_mm(0.3), .exhaust_valve = square_mm(0.4), .outside = square_mm(0.1)};
  EXPECT_NEAR(peak_bar(square_engine(), with(HeatLoss::kWoschni), split), together, kSame);
  // Gas that has gone to the coolant does not come back: no difference before the peak.
  const CylinderLeaks coolant{.rings = square_mm(0.4), .coolant = square_mm(0.6)};
  EXPECT_NEAR(peak_bar(square_engine(), with(HeatLoss::kWoschni), coolant), together, kSame);
  CrankingConditions pumped = with(HeatLoss::kWoschni);
  pumped.coolant = AbsolutePressure::from_pascal(2.5e5);
  EXPECT_GT(peak_bar(square_engine(), pumped, coolant), together);
}

TEST(CoupledCylinders, LabelsMeanNothing) {
  const CrankingEngine there = square_engine({Angle::from_degrees(0.0), Angle::from_degrees(180)});
  const CrankingEngine back = square_engine({Angle::from_degrees(180), Angle::from_degrees(0.0)});
  const CrankingEngine later = square_engine({Angle::from_degrees(540), Angle::from_degrees(0.0)});
  const CrankingEngine later_back = square_engine({Angle::from_degrees(0.0), Angle::from_degrees(540)});
  const auto run = [](const CrankingEngine& engine) {
    return simulate_cranking(engine, {}, {rings(0.2), rings(0.3)}, {{0, 1, square_mm(1)}});
  };
  const auto swapped = [](const CrankingEngine& engine) {
    return simulate_cranking(engine, {}, {rings(0.3), rings(0.2)}, {{1, 0, square_mm(1)}});
  };
  EXPECT_NEAR(run(there).cylinders[0].peak.bar(), swapped(back).cylinders[1].peak.bar(), kSame);
  EXPECT_NEAR(run(there).cylinders[1].peak.bar(), swapped(back).cylinders[0].peak.bar(), kSame);
  EXPECT_NEAR(run(later).cylinders[0].peak.bar(), swapped(later_back).cylinders[1].peak.bar(), kSame);
}

TEST(CoupledCylinders, MirroredEngineGivesMirroredPeaks) {
  const CrankingEngine four = inline_four(), mirrored = square_engine(CrankingEngine::evenly_firing({4, 2, 1, 3}));
  const std::vector<CylinderLeaks> leaks{rings(0.2), rings(0.5), rings(0.3), rings(0.9)}, back(leaks.rbegin(), leaks.rend());
  const CrankingRun there = simulate_cranking(four, {}, leaks, {{0, 1, square_mm(1)}, {1, 2, square_mm(0.5)}}, {}, {.tolerance = 1e-9});
  const CrankingRun mirror = simulate_cranking(mirrored, {}, back, {{3, 2, square_mm(1)}, {2, 1, square_mm(0.5)}}, {}, {.tolerance = 1e-9});
  for (std::size_t i = 0; i < 4; ++i) EXPECT_NEAR(there.cylinders[i].peak.bar(), mirror.cylinders[3 - i].peak.bar(), 1e-6) << i;
}

TEST(CoupledCylinders, NoBreachMeansNoInfluence) {
  const std::vector<CylinderLeaks> leaks{rings(0.2), rings(0.5), rings(3), rings(0.9)};
  const CrankingRun alone = simulate_cranking(inline_four(), {}, leaks);
  const CrankingRun zero = simulate_cranking(inline_four(), {}, leaks, {{0, 1, Area{}}, {1, 2, Area{}}});
  const CrankingRun hair = simulate_cranking(inline_four(), {}, leaks, {{0, 1, square_mm(1e-9)}});
  for (std::size_t i = 0; i < 4; ++i) {
    EXPECT_EQ(alone.cylinders[i].peak, zero.cylinders[i].peak);
    EXPECT_NEAR(alone.cylinders[i].peak.bar(), hair.cylinders[i].peak.bar(), 1e-3);
    EXPECT_NEAR(alone.cylinders[i].peak.bar(), peak_bar(square_engine(), {}, leaks[i], 1e-6), kSame);
  }
}

TEST(CoupledCylinders, OpenPlugHoleMakesABreachALeakToTheAir) {
  std::vector<CylinderLeaks> leaks(4, rings(0.2));
  leaks[1].is_plug_out = true;
  const CrankingRun run = simulate_cranking(inline_four(), {}, leaks, {{0, 1, square_mm(1)}}, {}, {.tolerance = 1e-9});
  EXPECT_NEAR(run.cylinders[0].peak.bar(), peak_bar(square_engine(), {}, rings(1.2)), 1e-5);
  EXPECT_EQ(run.cylinders[1].peak.pascal(), 101325);
}

TEST(CoupledCylinders, AnotherCycleChangesNothing) {
  // Turning all dead centres on by any angle starts the march elsewhere; what is reported must not depend on it.
  CrankingEngine turned = inline_four();
  for (Angle& angle : turned.firing) angle = Angle::from_degrees(angle.degrees() + 437);
  const std::vector<CylinderLeaks> leaks(4, rings(0.2));
  const std::vector<BridgeLeak> bridges{{0, 1, square_mm(2)}, {1, 2, square_mm(1)}, {2, 3, square_mm(3)}};
  const CrankingRun there = simulate_cranking(inline_four(), {}, leaks, bridges, {}, {.tolerance = 1e-9});
  const CrankingRun here = simulate_cranking(turned, {}, leaks, bridges, {}, {.tolerance = 1e-9});
  for (std::size_t i = 0; i < 4; ++i) EXPECT_NEAR(there.cylinders[i].peak.bar(), here.cylinders[i].peak.bar(), 1e-5) << i;
}

TEST(CylinderCycle, TraceHoldsThePeakAndTheOpenEnds) {
  const CrankingRun run =
      simulate_cranking(square_engine(), {}, {rings(1)}, {}, {}, {.tolerance = 1e-8, .trace_step = Angle::from_degrees(1)});
  const auto& trace = run.cylinders[0].trace;
  ASSERT_EQ(trace.size(), 721u);
  EXPECT_EQ(trace.front().pascal(), 101325);
  EXPECT_EQ(trace.back().pascal(), 101325);
  const auto highest = std::max_element(trace.begin(), trace.end());
  EXPECT_NEAR(highest->bar(), run.cylinders[0].peak.bar(), 0.01);
  EXPECT_NEAR(static_cast<double>(highest - trace.begin()) - 360, run.cylinders[0].peak_angle.degrees(), 1);
  EXPECT_EQ(trace[229].pascal(), 101325);  // the intake closes at -130 deg
  EXPECT_GT(trace[235].pascal(), 101325);
}

TEST(CompressionGauge, FillsStrokeByStrokeAndNeverPassesThePeak) {
  for (double hose : {0.0, 5e-6}) {
    const CrankingRun run =
        simulate_cranking(square_engine(), {}, {rings(0.2)}, {}, FittedGauge{.hose = Volume::from_si(hose), .strokes = 8});
    ASSERT_EQ(run.gauge_readings.size(), 8u);
    for (std::size_t i = 1; i < 8; ++i) EXPECT_GE(run.gauge_readings[i].pascal(), run.gauge_readings[i - 1].pascal() * (1 - 1e-9));
    EXPECT_LT(run.gauge_readings.back().pascal(), run.cylinders[0].peak.pascal() - 101325 + 2e3);
    EXPECT_GT(run.gauge_readings.back().pascal(), 0.97 * (run.cylinders[0].peak.pascal() - 101325));
  }
}

TEST(CompressionGauge, WorksOnACylinderThatABreachJoins) {
  const std::vector<CylinderLeaks> leaks(4, rings(0.2));
  const std::vector<BridgeLeak> breach{{0, 1, square_mm(1)}};
  const CrankingRun free = simulate_cranking(inline_four(), {}, leaks, breach);
  const CrankingRun gauged =
      simulate_cranking(inline_four(), {}, leaks, breach, FittedGauge{.cylinder = 1, .beyond_valve = Volume::from_si(2e-6)});
  EXPECT_NEAR(gauged.gauge_readings.back().bar(), free.cylinders[1].peak.bar() - 1.01325, 0.03);
}

TEST(Throttle, ShutMeansLowIntakeAndLowReadings) {
  const AbsolutePressure shut = intake_behind_throttle(inline_four(), {}),
                         open = intake_behind_throttle(inline_four(), {}, square_mm(1000));
  EXPECT_LT(shut.bar(), 0.75);
  EXPECT_GT(shut.bar(), 0.3);
  EXPECT_GT(open.bar(), 0.99 * 1.01325);
  CrankingConditions conditions;
  const double before = peak_bar(square_engine(), conditions, rings(0.5));
  conditions.intake = shut;
  const double after = peak_bar(square_engine(), conditions, rings(0.5));
  EXPECT_LT(after, before * shut.bar() / 1.01325 * 1.05);
}

TEST(CylinderCycle, RefusesImpossibleEnginesAndConditions) {
  const auto refuses = [](const CrankingEngine& engine, const CrankingConditions& conditions, const CylinderLeaks& leaks,
                          const char* argument) {
    try {
      (void)simulate_cylinder(engine, conditions, leaks);
      ADD_FAILURE() << argument << " was accepted";
    } catch (const InputError& error) {
      EXPECT_EQ(error.argument(), argument);
    }
  };
  CrankingEngine engine = square_engine();
  engine.intake_closing = Angle::from_degrees(230);
  refuses(engine, {}, {}, "intake closing");
  engine = square_engine();
  engine.rod = Length::from_si(0.04);
  refuses(engine, {}, {}, "rod length");
  engine = square_engine();
  engine.compression_ratio = 1;
  refuses(engine, {}, {}, "compression ratio");
  engine = square_engine();
  engine.bore = Length::from_si(kNotANumber);
  refuses(engine, {}, {}, "bore");
  CrankingConditions conditions;
  conditions.speed = Speed::from_rpm(0);
  refuses(square_engine(), conditions, {}, "cranking speed");
  conditions = {};
  conditions.ambient.pressure = AbsolutePressure::from_pascal(0);
  refuses(square_engine(), conditions, {}, "ambient pressure");
  refuses(square_engine(), {}, rings(-1), "ring leak of cylinder 1");
  refuses(square_engine(), {}, rings(kNotANumber), "ring leak of cylinder 1");
  refuses(square_engine(), {}, {.liquid = Volume::from_si(44e-6)}, "liquid of cylinder 1");
  EXPECT_THROW((void)simulate_cranking(square_engine(), {}, {}), ContractError);
  EXPECT_THROW((void)simulate_cranking(inline_four(), {}, std::vector<CylinderLeaks>(4), {{0, 4, square_mm(1)}}), ContractError);
  EXPECT_THROW((void)CrankingEngine::evenly_firing({1, 3, 3, 2}), InputError);
}

}  // namespace
}  // namespace headjoint::leakage
