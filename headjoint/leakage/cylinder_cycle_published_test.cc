#include <gtest/gtest.h>

#include "headjoint/leakage/cylinder_cycle.h"

/// The cranking cycle against figures computed beforehand with other means: a Runge-Kutta pair of a public numerics library at a
/// relative tolerance of 1e-10 for single cylinders, a first-order march at 0.01 deg for joined ones. Engine of the case: 80 x 80 mm,
/// rod 140 mm, ratio 10, intake closing 50 deg after and exhaust opening 50 deg before bottom dead centre, 250 rpm, 101325 Pa,
/// 293.15 K everywhere.
namespace headjoint::leakage {
namespace {

constexpr double kMarchOfTheTable = 1e-3;  // first-order march behind the coupled figures

Area square_mm(double value) { return Area::from_si(value * 1e-6); }
CrankingEngine case_engine(std::vector<Angle> firing = {Angle{}}) {
  return {.bore = Length::from_si(0.08), .stroke = Length::from_si(0.08), .rod = Length::from_si(0.14), .firing = std::move(firing)};
}
CylinderLeaks rings(double mm2) { return {.rings = square_mm(mm2)}; }
CylinderRun run(HeatLoss law, double mm2, double rpm = 250, const CrankingEngine& engine = case_engine()) {
  return *simulate_cylinder(engine, {.speed = Speed::from_rpm(rpm), .heat_loss = law}, rings(mm2));
}

TEST(PublishedCylinderCycle, Geometry) {
  constexpr double kCubicCentimetre = 1e-6, kPrinted = 1e-3;
  EXPECT_NEAR(case_engine().displacement().si() / kCubicCentimetre, 402.124, kPrinted);
  EXPECT_NEAR(case_engine().dead_volume().si() / kCubicCentimetre, 44.680, kPrinted);
  EXPECT_NEAR(effective_compression_ratio(case_engine()), 8.7744, 1e-4);
  EXPECT_NEAR(effective_compression_ratio(case_engine()) * case_engine().dead_volume().si() / kCubicCentimetre, 392.045, 2e-3);
}

// Closed form p (V/V)^g.
TEST(PublishedCylinderCycle, TightWithoutHeatLoss) {
  EXPECT_NEAR(tight_adiabatic_peak(case_engine(), {}).bar(), 21.1945, 1e-4 * 21.1945);
  EXPECT_NEAR(run(HeatLoss::kNone, 0).peak.bar(), 21.1945, 1e-4 * 21.1945);
}

TEST(PublishedCylinderCycle, PeaksByAreaAndHeatLoss) {
  constexpr double kOfThePeak = 5e-4, kDegrees = 0.02, kMass = 1e-4;
  struct Row {
    double area;
    double none, none_at, woschni, woschni_at, hohenberg, hohenberg_at, left;
  };
  const Row rows[] = {
      {0, 21.1945, 0.00, 20.1052, -0.51, 17.9347, -1.65, 1.0000},    {0.1, 20.6519, -0.26, 19.6063, -0.76, 17.5210, -1.88, 0.9822},
      {0.2, 20.1285, -0.52, 19.1244, -1.01, 17.1204, -2.11, 0.9649}, {0.5, 18.6650, -1.27, 17.7743, -1.74, 15.9924, -2.80, 0.9165},
      {1, 16.5387, -2.51, 15.8047, -2.94, 14.3314, -3.92, 0.8455},   {2, 13.2024, -4.86, 12.6933, -5.24, 11.6668, -6.08, 0.7326},
      {3, 10.7476, -7.10, 10.3856, -7.43, 9.6539, -8.16, 0.6481},    {5, 7.4805, -11.31, 7.2859, -11.56, 6.8922, -12.14, 0.5335},
      {10, 3.7361, -21.01, 3.6830, -21.18, 3.5770, -21.53, 0.4034}};
  for (const Row& row : rows) {
    const CylinderRun none = run(HeatLoss::kNone, row.area), woschni = run(HeatLoss::kWoschni, row.area),
                      hohenberg = run(HeatLoss::kHohenberg, row.area);
    EXPECT_NEAR(none.peak.bar(), row.none, kOfThePeak * row.none) << row.area;
    EXPECT_NEAR(woschni.peak.bar(), row.woschni, kOfThePeak * row.woschni) << row.area;
    EXPECT_NEAR(hohenberg.peak.bar(), row.hohenberg, kOfThePeak * row.hohenberg) << row.area;
    EXPECT_NEAR(none.peak_angle.degrees(), row.none_at, kDegrees) << row.area;
    EXPECT_NEAR(woschni.peak_angle.degrees(), row.woschni_at, kDegrees) << row.area;
    EXPECT_NEAR(hohenberg.peak_angle.degrees(), row.hohenberg_at, kDegrees) << row.area;
    EXPECT_NEAR(woschni.mass_left, row.left, kMass) << row.area;
  }
}

TEST(PublishedCylinderCycle, ScalingGroup) {
  constexpr double kOfThePeak = 1e-5;
  const double expected = 16.53865;
  EXPECT_NEAR(run(HeatLoss::kNone, 1).peak.bar(), expected, kOfThePeak * expected);
  EXPECT_NEAR(run(HeatLoss::kNone, 2, 500).peak.bar(), expected, kOfThePeak * expected);
  EXPECT_NEAR(run(HeatLoss::kNone, 0.5, 125).peak.bar(), expected, kOfThePeak * expected);
}

TEST(PublishedCylinderCycle, CrankingSpeed) {
  const double rows[][6] = {{100, 19.91, 14.82, 11.38, 7.25, 2.84},
                            {150, 20.00, 16.35, 13.58, 9.72, 4.50},
                            {200, 20.07, 17.22, 14.91, 11.45, 5.99},
                            {300, 20.15, 18.17, 16.46, 13.65, 8.40},
                            {400, 20.20, 18.69, 17.33, 15.00, 10.18}};
  const double areas[] = {0, 0.5, 1, 2, 5};
  constexpr double kTwoDecimals = 0.005;
  for (const auto& row : rows)
    for (int i = 0; i < 5; ++i)
      EXPECT_NEAR(run(HeatLoss::kWoschni, areas[i], row[0]).peak.bar(), row[i + 1], kTwoDecimals + 2e-3 * row[i + 1])
          << row[0] << " " << areas[i];
  EXPECT_NEAR(run(HeatLoss::kWoschni, 0, 100).peak.bar(), 19.909, 1e-3 * 19.909);
  EXPECT_NEAR(run(HeatLoss::kWoschni, 0, 400).peak.bar(), 20.204, 1e-3 * 20.204);
  EXPECT_NEAR(run(HeatLoss::kWoschni, 2, 100).peak.bar(), 7.253, 2e-3 * 7.253);
  EXPECT_NEAR(run(HeatLoss::kWoschni, 2, 400).peak.bar(), 14.997, 2e-3 * 14.997);
}

TEST(PublishedCylinderCycle, IntakeClosing) {
  const double rows[][3] = {{20, 23.39, 18.13}, {30, 22.60, 17.58}, {40, 21.50, 16.81},
                            {60, 18.46, 14.61}, {70, 16.58, 13.23}, {80, 14.53, 11.70}};
  for (const auto& [degrees, tight, leaky] : rows) {
    CrankingEngine engine = case_engine();
    engine.intake_closing = Angle::from_degrees(degrees);
    EXPECT_NEAR(run(HeatLoss::kWoschni, 0, 250, engine).peak.bar(), tight, 1e-3 * tight) << degrees;
    EXPECT_NEAR(run(HeatLoss::kWoschni, 1, 250, engine).peak.bar(), leaky, 1e-3 * leaky) << degrees;
  }
}

TEST(PublishedCylinderCycle, CompressionRatio) {
  const double rows[][4] = {{8, 13.9, 13.3, 12.0},  {9, 16.5, 15.7, 14.0},  {11, 21.9, 20.6, 18.2}, {12, 24.7, 23.2, 20.3},
                            {14, 30.5, 28.6, 24.7}, {16, 36.7, 34.2, 29.1}, {18, 43.1, 39.9, 33.6}, {22, 56.5, 51.9, 42.7}};
  constexpr double kOneDecimal = 0.051;
  for (const auto& row : rows) {
    CrankingEngine engine = case_engine();
    engine.compression_ratio = row[0];
    EXPECT_NEAR(run(HeatLoss::kNone, 0.2, 250, engine).peak.bar() - 1.01325, row[1], kOneDecimal) << row[0];
    EXPECT_NEAR(run(HeatLoss::kWoschni, 0.2, 250, engine).peak.bar() - 1.01325, row[2], kOneDecimal) << row[0];
    EXPECT_NEAR(run(HeatLoss::kHohenberg, 0.2, 250, engine).peak.bar() - 1.01325, row[3], kOneDecimal) << row[0];
  }
}

// Air pressure after the US Standard Atmosphere 1976, 15 degC everywhere.
TEST(PublishedCylinderCycle, Altitude) {
  const double rows[][2] = {{500, 0.9416}, {1000, 0.8859}, {1500, 0.8330}, {2000, 0.7827}, {3000, 0.6894}};
  const auto gauge = [](double metres) {
    const Ambient air{standard_atmosphere_pressure(Length::from_si(metres)), Temperature::from_kelvin(288.15)};
    return simulate_cylinder(case_engine(), {.ambient = air}, rings(0.5))->peak.pascal() - air.pressure.pascal();
  };
  for (const auto& [metres, ratio] : rows) EXPECT_NEAR(gauge(metres) / gauge(0), ratio, 2e-3) << metres;
}

TEST(PublishedCylinderCycle, JoinedNeighbours) {
  struct Row {
    double area, first, second, apart;
  };
  const Row rows[] = {{0, 19.1258, 19.1258, 19.1258}, {0.1, 18.666, 18.756, 18.666},  {0.5, 16.9487, 17.2460, 16.9487},
                      {1, 15.1036, 15.4461, 15.1036}, {2, 12.1782, 12.3374, 12.1782}, {3, 10.003, 9.933, 10.003},
                      {5, 7.0542, 6.8577, 7.0542},    {10, 3.601, 3.381, 3.601},      {20, 1.660, 1.475, 1.660}};
  for (const Row& row : rows) {
    for (double apart : {180.0, 360.0}) {
      const CrankingEngine engine = case_engine({Angle{}, Angle::from_degrees(apart)});
      const CrankingRun found = simulate_cranking(engine, {}, {rings(0.2), rings(0.2)}, {{0, 1, square_mm(row.area)}});
      ASSERT_EQ(found.status, CrankingRun::Status::kDone);
      const double second = apart == 180 ? row.second : row.apart;
      EXPECT_NEAR(found.cylinders[0].peak.bar(), row.first, kMarchOfTheTable * row.first) << row.area << " " << apart;
      EXPECT_NEAR(found.cylinders[1].peak.bar(), second, kMarchOfTheTable * second) << row.area << " " << apart;
    }
    CylinderLeaks open = rings(0.2);
    open.is_plug_out = true;
    const CrankingRun out =
        simulate_cranking(case_engine({Angle{}, Angle::from_degrees(180)}), {}, {rings(0.2), open}, {{0, 1, square_mm(row.area)}});
    EXPECT_NEAR(out.cylinders[0].peak.bar(), row.first, kMarchOfTheTable * row.first) << row.area;
  }
  EXPECT_NEAR(run(HeatLoss::kWoschni, 1.2).peak.bar(), 15.1036, kMarchOfTheTable * 15.1036);
}

TEST(PublishedCylinderCycle, OilOnThePiston) {
  const auto wet = [](double mm2, double cubic_centimetres) {
    return simulate_cylinder(case_engine(), {}, {.rings = square_mm(mm2), .liquid = Volume::from_si(cubic_centimetres * 1e-6)})->peak.bar();
  };
  EXPECT_NEAR(wet(1, 10), 20.597, 1e-3 * 20.597);
  EXPECT_NEAR(wet(1, 5), 17.90, 1e-3 * 17.90);
  EXPECT_NEAR(wet(0.3, 5), 21.42, 1e-3 * 21.42);
  EXPECT_NEAR(wet(0.3, 10), 25.07, 1e-3 * 25.07);
}

TEST(PublishedCylinderCycle, GaugePumpUp) {
  const double rows[][7] = {{2, 15.98, 17.86, 18.09, 18.11, 18.12, 18.12},
                            {5, 13.64, 16.97, 17.82, 18.04, 18.10, 18.11},
                            {10, 10.67, 14.92, 16.73, 17.51, 17.86, 18.00},
                            {20, 6.86, 11.03, 13.64, 15.29, 16.33, 16.98}};
  for (const auto& row : rows) {
    const CrankingRun found =
        simulate_cranking(case_engine(), {}, {rings(0.2)}, {}, FittedGauge{.beyond_valve = Volume::from_si(row[0] * 1e-6)});
    ASSERT_EQ(found.gauge_readings.size(), 6u);
    for (std::size_t stroke = 0; stroke < 6; ++stroke)
      EXPECT_NEAR(found.gauge_readings[stroke].bar(), row[stroke + 1], 0.01 * row[stroke + 1]) << row[0] << " cm3, stroke " << stroke + 1;
  }
}

TEST(PublishedCylinderCycle, HoseBeforeTheCheckValve) {
  const double rows[][2] = {{0, 19.13}, {2, 18.18}, {5, 16.91}, {10, 15.13}, {15, 13.69}};
  for (const auto& [cubic_centimetres, bar] : rows) {
    const FittedGauge gauge{.hose = Volume::from_si(cubic_centimetres * 1e-6), .beyond_valve = Volume::from_si(0.1e-6), .strokes = 3};
    const CrankingRun found = simulate_cranking(case_engine(), {}, {rings(0.2)}, {}, gauge);
    EXPECT_NEAR(found.cylinders[0].peak.bar(), bar, 2e-3 * bar) << cubic_centimetres;
  }
}

}  // namespace
}  // namespace headjoint::leakage
