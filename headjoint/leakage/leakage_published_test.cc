// Checks against figures from outside the project. Where no public document prints a figure, it was computed beforehand by an
// independent script from the published formula; those are marked "computed independently".
#include <gtest/gtest.h>

#include <cmath>

#include "headjoint/leakage/compression.h"
#include "headjoint/leakage/leak_down.h"
#include "headjoint/leakage/orifice_flow.h"
#include "headjoint/leakage/sensitivity.h"
#include "headjoint/leakage/slit_flow.h"
#include "headjoint/units/quantity_text.h"

namespace headjoint::leakage {
namespace {

constexpr double kPrintedFourDigits = 0.5e-4;   // half a unit of the last digit printed
constexpr double kPrintedSixDigits = 0.5e-6;    // likewise
constexpr double kPrintedTwoDecimals = 0.5e-2;  // likewise
constexpr double kRatio = 1e-4;                 // of k, printed with four decimals
constexpr double kRelativeFlow = 1e-5;
constexpr double kPascalPerPsi = 6894.757;

GaugePressure psi(double value) { return GaugePressure::from_pascal(value * kPascalPerPsi); }
GaugePressure bar(double value) { return GaugePressure::from_pascal(value * 1e5); }
Area square_mm(double value) { return Area::from_si(value * 1e-6); }
double in_square_mm(Area area) { return area.si() * 1e6; }
double in_litres_per_minute(VolumeFlow flow) { return flow.si() * 60e3; }
GasState air_at(double pascal) { return {AbsolutePressure::from_pascal(pascal), kStandardTemperature}; }
constexpr double kAtmosphere = 101325;

// NACA Report 1135 (1953): 0.5283 for 1.4. The other heat ratios: computed independently from the closed form.
TEST(PublishedOrifice, CriticalRatioAndChokedFlow) {
  EXPECT_NEAR(critical_pressure_ratio(1.4), 0.52828, 1e-5);
  EXPECT_NEAR(critical_pressure_ratio(1.3), 0.54573, 1e-5);
  EXPECT_NEAR(critical_pressure_ratio(4.0 / 3), 0.53978, 1e-5);
  EXPECT_NEAR(choked_flow_function(1.4), 0.684731, 1e-6);
  EXPECT_NEAR(choked_flow_function(4.0 / 3), 0.673218, 1e-6);
  EXPECT_NEAR(choked_flow_function(1.3), 0.667262, 1e-6);
}

// NACA Report 1135 (1953), isentropic table for 1.4: p/p0 and A/A* against Mach number. A*/A is psi/psi*. The printed p/p0 has
// four decimals; its rounding moves psi/psi* by less than 1e-4 for M >= 0.5 and by up to 7e-4 at M = 0.1, so the exact pressure
// ratio (1 + 0.2 M^2)^-3.5 is used and compared with the print first.
TEST(PublishedOrifice, IsentropicTable) {
  const double rows[][3] = {{0.1, 0.9930, 5.8218}, {0.2, 0.9725, 2.9635}, {0.3, 0.9395, 2.0351},
                            {0.5, 0.8430, 1.3398}, {0.8, 0.6560, 1.0382}, {1.0, 0.5283, 1.0000}};
  for (const auto& [mach, printed_ratio, printed_area] : rows) {
    const double ratio = std::pow(1 + 0.2 * mach * mach, -3.5);
    EXPECT_NEAR(ratio, printed_ratio, kPrintedFourDigits) << mach;
    EXPECT_NEAR(choked_flow_function(1.4) / flow_function(ratio, 1.4), printed_area, 1e-4) << mach;
  }
  EXPECT_NEAR(flow_function(std::pow(1.05, -3.5), 1.4) / choked_flow_function(1.4), 0.7464, 1e-4);
}

// Computed independently from the closed form.
TEST(PublishedOrifice, FlowFunctionByPressureRatio) {
  const double rows[][2] = {{0.99, 0.14066}, {0.98, 0.19785}, {0.95, 0.30764}, {0.90, 0.42258},
                            {0.85, 0.50180}, {0.80, 0.56066}, {0.70, 0.63832}, {0.60, 0.67692}};
  for (const auto& [ratio, expected] : rows) EXPECT_NEAR(flow_function(ratio, 1.4), expected, 0.5e-5) << ratio;
}

// Computed independently; the choked figure also follows from the constant 0.0404 of textbooks (SI form of 0.532).
TEST(PublishedOrifice, MassFlowOfAirForwardAndBack) {
  const double choked = mass_flow(square_mm(1), air_at(7e5), air_at(kAtmosphere)).si();
  EXPECT_NEAR(choked, 1.652322e-3, kRelativeFlow * 1.652322e-3);
  EXPECT_NEAR(mass_flow(square_mm(1), air_at(1.2e5), air_at(kAtmosphere)).si(), 2.106776e-4, kRelativeFlow * 2.106776e-4);
  EXPECT_EQ(mass_flow(square_mm(1), air_at(kAtmosphere), air_at(7e5)).si(), -choked);
  EXPECT_EQ(mass_flow(square_mm(1), air_at(kAtmosphere), air_at(kAtmosphere)).si(), 0);
  EXPECT_NEAR(choked, 0.0404149e-6 * 7e5 / std::sqrt(293.15), 2e-6 * choked);
}

// ISO 6358-1:2013 with the reference air of ISO 8778; figures computed independently from the formulas.
TEST(PublishedOrifice, ConductanceOfIso6358) {
  EXPECT_NEAR(sonic_conductance(square_mm(1)).si() * 1e8, 0.199195, 1e-4 * 0.199195);  // dm3/(s bar)
  EXPECT_NEAR(in_square_mm(effective_area(SonicConductance::from_si(1e-8))), 5.020, 1e-3);
  EXPECT_NEAR(iso_flow_share(0.8, 0.5283), 0.81745, 1e-5);
  EXPECT_NEAR(flow_function(0.8, 1.4) / choked_flow_function(1.4), 0.81880, 1e-5);
}

// Polynomial quoted from Perry in the documentation of modelling libraries; values computed independently from it.
TEST(PublishedOrifice, DischargeOfSharpEdge) {
  const double rows[][2] = {{0, 0.8414}, {0.4, 0.7869}, {0.528, 0.7375}, {0.7, 0.6676}, {0.9, 0.6142}, {1, 0.6001}};
  for (const auto& [ratio, expected] : rows) EXPECT_NEAR(sharp_edge_discharge(ratio), expected, 1e-4) << ratio;
}

Slit scratch(double gap_um) { return {Length::from_si(10e-3), Length::from_si(gap_um * 1e-6), Length::from_si(8e-3)}; }

// Plane Poiseuille flow, computed independently: 10 mm wide, 8 mm long, air at 20 degC, 80 psi to atmosphere.
TEST(PublishedSlit, LaminarFlowThroughAScratch) {
  const GasState inside = air_at(psi(80).pascal() + kAtmosphere), outside = air_at(kAtmosphere);
  const MassFlow ten = laminar_slit_flow(scratch(10), inside, outside);
  EXPECT_NEAR(ten.si(), 1.423e-5, 0.01 * 1.423e-5);
  EXPECT_NEAR(laminar_slit_flow(scratch(20), inside, outside).si() / ten.si(), 8.000, 1e-6);
  const double rows[][2] = {{5, 0.0012}, {10, 0.0092}, {20, 0.0738}, {30, 0.249}};  // printed to the last digit given
  for (const auto& [gap, expected] : rows) {
    const Area area = effective_area_of_flow(laminar_slit_flow(scratch(gap), inside, outside), inside, outside.pressure);
    EXPECT_NEAR(in_square_mm(area), expected, std::max(0.01 * expected, kPrintedFourDigits)) << gap;
  }
  EXPECT_NEAR(in_square_mm(slit_effective_area(scratch(10), inside, outside.pressure)), 0.0092, 0.01 * 0.0092);
}

// Drill sizes: FAA AC 43.13-1B ch. 8. Areas: pi/4 d^2.
TEST(PublishedLeakDown, OrificeAreas) {
  const auto geometric = [](const char* drill) { return in_square_mm(TesterOrifice::drilled(*parse<Length>(drill), 1, 0).effective_area); };
  EXPECT_NEAR(geometric("0.040 in"), 0.810732, kPrintedSixDigits);
  EXPECT_NEAR(geometric("0.060 in"), 1.824147, kPrintedSixDigits);
  EXPECT_NEAR(geometric("1.0 mm"), 0.785398, kPrintedSixDigits);
}

// FAA AC 43.13-1B Change 1 (2001): 0.040 in below 5.00 in bore, 0.060 in from there on.
TEST(PublishedLeakDown, OrificeByBore) {
  EXPECT_DOUBLE_EQ(standard_tester_orifice(*parse<Length>("4.99 in")).si(), 0.040 * 0.0254);
  EXPECT_DOUBLE_EQ(standard_tester_orifice(*parse<Length>("5.00 in")).si(), 0.060 * 0.0254);
  EXPECT_DOUBLE_EQ(standard_tester_orifice(*parse<Length>("127 mm")).si(), 0.060 * 0.0254);
}

// FAA AC 43.13-1B para 8-14: suspect when the loss exceeds 25 % of the input; 60/80 exactly does not.
TEST(PublishedLeakDown, QuarterRule) {
  EXPECT_FALSE(exceeds_loss_rule(loss_fraction(psi(80), psi(60))));
  EXPECT_FALSE(exceeds_loss_rule(loss_fraction(bar(5.516), bar(4.137))));
  EXPECT_TRUE(exceeds_loss_rule(loss_fraction(psi(80), psi(59.9))));
}

// Two orifices in series, computed independently. k, effective area with 0.8 x 0.040 in and 0.8 x 0.060 in, litres per minute.
TEST(PublishedLeakDown, TableAtEightyPsi) {
  const double rows[][5] = {{79, 0.2133, 0.138, 0.311, 10.5}, {78, 0.3031, 0.197, 0.442, 14.8}, {76, 0.4331, 0.281, 0.632, 20.7},
                            {75, 0.4867, 0.316, 0.710, 23.0}, {72, 0.6253, 0.406, 0.913, 28.5}, {70, 0.7067, 0.458, 1.031, 31.5},
                            {65, 0.8900, 0.577, 1.299, 37.3}, {60, 1.0586, 0.687, 1.545, 41.6}, {50, 1.3836, 0.897, 2.019, 47.1},
                            {40, 1.7220, 1.117, 2.513, 49.5}, {30, 2.1187, 1.374, 3.092, 49.8}, {20, 2.7293, 1.770, 3.983, 49.8}};
  const LeakDownTest small{.supply = psi(80), .orifice = TesterOrifice::drilled(*parse<Length>("0.040 in"))};
  const LeakDownTest large{.supply = psi(80), .orifice = TesterOrifice::drilled(*parse<Length>("0.060 in"))};
  for (const auto& [reading, ratio, small_area, large_area, flow] : rows) {
    const LeakDown result = leak_area_from_leak_down(small, psi(reading));
    EXPECT_NEAR(result.area_ratio, ratio, kRatio) << reading;
    EXPECT_NEAR(in_square_mm(result.leak.area), small_area, 0.6e-3) << reading;
    EXPECT_NEAR(in_square_mm(leak_area_from_leak_down(large, psi(reading)).leak.area), large_area, 0.6e-3) << reading;
    EXPECT_NEAR(in_litres_per_minute(result.flow), flow, 0.06) << reading;
  }
}

TEST(PublishedLeakDown, RatiosToFiveDigits) {
  EXPECT_NEAR(leak_area_ratio(psi(80), psi(60)), 1.05856, kRatio);
  EXPECT_NEAR(leak_area_ratio(psi(80), psi(75)), 0.48666, kRatio);
  EXPECT_NEAR(leak_area_ratio(psi(80), psi(40)), 1.72202, kRatio);
  EXPECT_NEAR(leak_area_ratio(psi(80), psi(20)), 2.7293, kRatio);
  EXPECT_NEAR(leak_area_ratio(bar(2), bar(1.6)), 0.8036, kRatio);
  const Ambient hill{AbsolutePressure::from_pascal(84560), kStandardTemperature};
  EXPECT_NEAR(leak_area_ratio(psi(80), psi(60), hill), 1.07588, kRatio);
}

TEST(PublishedLeakDown, AreaAndFlowOfSixtyOverEighty) {
  const LeakDownTest test{.supply = psi(80), .orifice = TesterOrifice::drilled(*parse<Length>("0.040 in"), 0.8)};
  const LeakDown result = leak_area_from_leak_down(test, psi(60));
  EXPECT_NEAR(in_square_mm(result.leak.area), 0.6866, 2e-3 * 0.6866);
  EXPECT_NEAR(in_litres_per_minute(result.flow), 41.6, 2e-3 * 41.6);
}

// Computed independently: k by loss and supply; the limit for a small supply is the incompressible sqrt(l / (1-l)).
TEST(PublishedLeakDown, TableByLossAndSupply) {
  const GaugePressure supplies[] = {psi(100), psi(80), bar(5), bar(2), bar(1), bar(0.3)};
  const double rows[][8] = {{0.05, 0.4402, 0.4331, 0.4295, 0.3822, 0.3293, 0.2622, 0.2294},
                            {0.10, 0.6361, 0.6253, 0.6200, 0.5493, 0.4713, 0.3784, 0.3333},
                            {0.20, 0.9420, 0.9245, 0.9159, 0.8036, 0.6846, 0.5598, 0.5000},
                            {0.30, 1.2138, 1.1889, 1.1767, 1.0207, 0.8665, 0.7227, 0.6547},
                            {0.50, 1.7678, 1.7220, 1.6997, 1.4303, 1.2290, 1.0722, 1.0000}};
  for (const auto& row : rows) {
    for (int i = 0; i < 6; ++i) {
      const GaugePressure reading = GaugePressure::from_pascal(supplies[i].pascal() * (1 - row[0]));
      EXPECT_NEAR(leak_area_ratio(supplies[i], reading), row[i + 1], kRatio) << row[0] << " of " << supplies[i].bar() << " bar";
    }
    const GaugePressure tiny = GaugePressure::from_pascal(100), reading = GaugePressure::from_pascal(100 * (1 - row[0]));
    EXPECT_NEAR(leak_area_ratio(tiny, reading), row[7], 1e-3) << row[0] << " of 100 Pa";
  }
}

// Master orifice practice: 43/80 lies in the "low to mid 40s" that aviation testers call acceptable; k computed independently.
TEST(PublishedLeakDown, MasterOrificeReading) { EXPECT_NEAR(leak_area_ratio(psi(80), psi(43)), 1.617, 1e-3); }

// Computed independently: bubbles caught from the neck at 80 psi.
TEST(PublishedLeakDown, BubblesToArea) {
  const auto area = [](double litres_per_minute) {
    return in_square_mm(leak_area_from_outlet_flow(VolumeFlow::from_si(litres_per_minute / 60e3), psi(80)));
  };
  EXPECT_NEAR(area(1), 0.01302, 1e-3 * 0.01302);
  EXPECT_NEAR(area(5), 0.0651, kPrintedFourDigits);
  EXPECT_NEAR(in_square_mm(smallest_leak_by_bubbles(psi(80))), 0.00065, 0.5e-5);
}

// Slider-crank, computed independently: 80 psi on an 80 mm bore, stroke 80 mm, rod 140 mm.
TEST(PublishedLeakDown, PushOnTheCrank) {
  const auto push = [](double bore_mm, double degrees) {
    return crank_push(psi(80), Length::from_si(bore_mm * 1e-3), Length::from_si(80e-3), Length::from_si(140e-3),
                      Angle::from_degrees(degrees));
  };
  EXPECT_NEAR(push(80, 0).piston_force.si(), 2773, 0.5);
  EXPECT_NEAR(push(100, 0).piston_force.si(), 4332, 0.5);
  const double rows[][2] = {{1, 2.5}, {2, 5.0}, {5, 12.4}, {10, 24.7}, {20, 48.2}};
  for (const auto& [degrees, torque] : rows) EXPECT_NEAR(push(80, degrees).crank_torque.si(), torque, 0.05) << degrees;
}

// US Standard Atmosphere 1976, troposphere.
TEST(PublishedAmbient, PressureByAltitude) {
  const double rows[][2] = {{0, 101325}, {500, 95461}, {1000, 89875}, {1500, 84556}, {2000, 79495}, {2500, 74683}, {3000, 70109}};
  for (const auto& [metres, pascal] : rows)
    EXPECT_NEAR(standard_atmosphere_pressure(Length::from_si(metres)).pascal(), pascal, 5) << metres;
}

CompressionTest in_psi(const std::vector<double>& readings) {
  CompressionTest test;
  for (double reading : readings) test.readings.push_back({psi(reading)});
  for (std::size_t i = 0; i + 1 < readings.size(); ++i) test.neighbours.push_back({i, i + 1});
  return test;
}

// US Army TM 5-4210-230-14&P-1 Addendum 2: lowest at least 75 % of highest; two adjacent low cylinders point at the gasket.
TEST(PublishedCompression, AdjacentPairLow) {
  const CompressionComparison result = compare_compression(in_psi({180, 178, 132, 134}));
  ASSERT_EQ(result.rules.size(), 3u);
  EXPECT_EQ(result.rules[0].verdict, Verdict::kFail);
  EXPECT_NEAR(result.rules[0].value, 0.733, 0.5e-3);
  EXPECT_EQ(result.rules[2].rule, CompressionRule::kAdjacentPair);
  EXPECT_NEAR(result.rules[2].value, 0.015, 0.5e-3);
  EXPECT_EQ(result.rules[2].cylinders, (std::vector<std::size_t>{2, 3}));
}

TEST(PublishedCompression, ThreeQuartersExactlyPasses) {
  const CompressionComparison result = compare_compression(in_psi({180, 135}));
  EXPECT_EQ(result.rules[0].verdict, Verdict::kPass);
  EXPECT_NEAR(result.rules[0].value, 0.75, 1e-12);
}

Cranking table_engine(double rpm = 250) {
  return {.displacement = Volume::from_si(402.124e-6),
          .speed = Speed::from_rpm(rpm),
          .speed_drift = Speed::from_rpm(0),
          .compression_ratio = 10,
          .intake_closing = Angle::from_degrees(50)};
}

// Computed independently; the engine of the cycle's test case, 80 x 80 mm.
TEST(PublishedCompression, LeakNumber) {
  EXPECT_NEAR(leak_number(square_mm(1), table_engine()), 0.17313, 1e-5);
  EXPECT_NEAR(leak_number(square_mm(2), table_engine(500)), 0.17313, 1e-5);
  EXPECT_NEAR(leak_number(square_mm(0.5), table_engine(125)), 0.17313, 1e-5);
}

/// Peak pressures of the cycle's test case [bar absolute], computed independently with a tight integrator:
/// area, Woschni, Hohenberg. Gauge ratios of two rows must be explained by the difference of their areas.
TEST(PublishedCompression, ExtraAreaExplainsTheCycleTable) {
  const double kHealthyLow[] = {0.2, 19.1244, 17.1204}, kHealthyHigh[] = {0.5, 17.7743, 15.9924};
  const double rows[][3] = {{1, 15.8047, 14.3314}, {2, 12.6933, 11.6668}, {3, 10.3856, 9.6539}, {5, 7.2859, 6.8922}, {10, 3.6830, 3.5770}};
  constexpr double kBar = 1.01325;
  constexpr double kBandOfTheTable = 0.10;  // the table's own statement: hardly depends on heat loss or base leak, below 10 %
  for (const double* healthy : {kHealthyLow, kHealthyHigh}) {
    for (const auto& row : rows) {
      for (int model : {1, 2}) {
        const double ratio = (row[model] - kBar) / (healthy[model] - kBar), extra = row[0] - healthy[0];
        if (ratio < kLowestRatio) continue;
        const LeakArea found = CompressionModel(table_engine()).extra_leak(ratio, ratio, ratio);
        EXPECT_NEAR(in_square_mm(found.area), extra, kBandOfTheTable * extra) << row[0] << " mm2, ratio " << ratio;
      }
    }
  }
}

/// Extra area that brings a cylinder with a base leak down to a ratio, under one heat-loss law.
double extra_mm2(HeatLoss law, double base_mm2, double ratio) {
  const CompressionCurve curve(table_engine().engine(), table_engine().conditions(law));
  const GaugePressure healthy = curve.reading(square_mm(base_mm2));
  return in_square_mm(curve.leak(GaugePressure::from_pascal(ratio * healthy.pascal()))) - base_mm2;
}

// Computed independently: ratio 0.75 with Woschni and a base of 0.2 mm2 is 1.152 mm2; over both laws and bases 1.15 to 1.26.
TEST(PublishedCompression, ThreeQuartersMeansAboveOneSquareMillimetre) {
  EXPECT_NEAR(extra_mm2(HeatLoss::kWoschni, 0.2, 0.75), 1.152, 0.01 * 1.152);
  EXPECT_NEAR(extra_mm2(HeatLoss::kHohenberg, 0.5, 0.75), 1.26, kPrintedTwoDecimals);
  const LeakArea found = CompressionModel(table_engine()).extra_leak(0.75, 0.75, 0.75);
  EXPECT_GT(in_square_mm(found.area), 1.15);
  EXPECT_LT(in_square_mm(found.area), 1.26);
  EXPECT_LE(in_square_mm(found.low), 1.15 + kPrintedTwoDecimals);
  EXPECT_GE(in_square_mm(*found.high), 1.26 - kPrintedTwoDecimals);
  EXPECT_NEAR(in_square_mm(smallest_leak_by_compression(CompressionModel(table_engine()))), 0.21, 0.01 + kPrintedTwoDecimals);
}

// The same cycle marched by another integrator (fourth-order Runge-Kutta at 0.01 deg): Woschni with 0.2 mm2 base, Hohenberg with 0.5 mm2.
TEST(PublishedCompression, CurveMeetsTheCycle) {
  constexpr double kOfTheArea = 2e-3, kThreeDecimals = 0.5e-3;
  const double rows[][3] = {{0.95, 0.198, 0.216},   {0.90, 0.410, 0.447}, {0.85, 0.638, 0.696},   {0.80, 0.885, 0.965},
                            {0.75, 1.152, 1.256},   {0.70, 1.445, 1.574}, {0.65, 1.7655, 1.9224}, {0.60, 2.121, 2.307},
                            {0.55, 2.5165, 2.7361}, {0.50, 2.962, 3.218}, {0.45, 3.4700, 3.7656}, {0.40, 4.056, 4.396},
                            {0.35, 4.7447, 5.1354}, {0.30, 5.571, 6.019}, {0.25, 6.5923, 7.1066}, {0.20, 7.904, 8.495},
                            {0.17, 8.900, 9.544}};
  for (const auto& [ratio, low, high] : rows) {
    EXPECT_NEAR(extra_mm2(HeatLoss::kWoschni, 0.2, ratio), low, kOfTheArea * low + kThreeDecimals) << ratio;
    EXPECT_NEAR(extra_mm2(HeatLoss::kHohenberg, 0.5, ratio), high, kOfTheArea * high + kThreeDecimals) << ratio;
  }
}

// The same cycle for other engines: the range over both heat-loss laws and base leaks must lie inside the stated band, when the
// engine is known and, for the usual engines, when it is not.
TEST(PublishedCompression, BandHoldsForOtherEngines) {
  struct Row {
    double compression_ratio, closing, ratio, low, high;
  };
  constexpr double kOfTheArea = 0.01;  // the fit of the intake closing
  const Row rows[] = {
      {8, 50, 0.90, 0.481, 0.518},  {8, 50, 0.75, 1.349, 1.451},  {8, 50, 0.50, 3.451, 3.698},  {8, 50, 0.30, 6.439, 6.861},
      {12, 50, 0.90, 0.361, 0.398}, {12, 50, 0.75, 1.015, 1.119}, {12, 50, 0.50, 2.617, 2.877}, {12, 50, 0.30, 4.947, 5.412},
      {18, 40, 0.90, 0.268, 0.305}, {18, 40, 0.75, 0.755, 0.859}, {18, 40, 0.50, 1.955, 2.219}, {18, 40, 0.30, 3.725, 4.212},
      {10, 30, 0.75, 1.110, 1.213}, {10, 30, 0.50, 2.851, 3.105}, {10, 70, 0.75, 1.213, 1.317}, {10, 70, 0.50, 3.120, 3.374}};
  for (const Row& row : rows) {
    Cranking known = table_engine(), unknown = table_engine();
    known.compression_ratio = row.compression_ratio;
    known.intake_closing = Angle::from_degrees(row.closing);
    unknown.compression_ratio.reset();
    unknown.intake_closing.reset();
    for (const Cranking& engine : {known, unknown}) {
      if (!engine.compression_ratio && row.compression_ratio > 12) continue;
      const LeakArea found = CompressionModel(engine).extra_leak(row.ratio, row.ratio, row.ratio);
      EXPECT_LE(in_square_mm(found.low), row.low * (1 + kOfTheArea)) << row.compression_ratio << " " << row.closing << " " << row.ratio;
      EXPECT_GE(in_square_mm(*found.high), row.high * (1 - kOfTheArea)) << row.compression_ratio << " " << row.closing << " " << row.ratio;
    }
    const LeakArea middle = CompressionModel(known).extra_leak(row.ratio, row.ratio, row.ratio);
    EXPECT_NEAR(in_square_mm(middle.area), (row.low + row.high) / 2, 0.035 * row.low) << row.compression_ratio << " " << row.ratio;
  }
}

}  // namespace
}  // namespace headjoint::leakage
