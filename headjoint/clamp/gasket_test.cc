#include "headjoint/clamp/gasket.h"

#include <gtest/gtest.h>

#include <cmath>

#include "headjoint/base/error.h"

namespace headjoint::clamp {
namespace {

constexpr double kMicrometre = 1e-3;
constexpr double kPsi = 0.00689476;  // MPa
constexpr double kTableTolerance = 1e-3;

std::vector<CurvePoint> table(std::initializer_list<CurvePoint> thousandths_and_psi) {
  std::vector<CurvePoint> points;
  for (const CurvePoint& p : thousandths_and_psi) points.push_back({p.closure_mm * 25.4 * kMicrometre, p.pressure_MPa * kPsi});
  return points;
}

/// A public gasket table (thousandths of an inch and psi) with three unloading curves, here from the closure without pressure on.
PressureCurve public_table() {
  const auto loading = table({{0, 0},
                              {.020, 540},
                              {.040, 1515},
                              {.060, 2490},
                              {.078, 3000},
                              {.120, 3720},
                              {.190, 4740},
                              {.286, 5850},
                              {.358, 6735},
                              {.432, 7800},
                              {.505, 8955}});
  const auto a = table({{0, 0}, {.0541, 15}, {.0631, 82.5}, {.0669, 247.5}, {.078, 3000}});
  const auto b = table({{0, 0}, {.256, 15}, {.261, 90}, {.264, 223.5}, {.286, 5850}});
  const auto c = table({{0, 0}, {.468, 15}, {.475, 135}, {.478, 339}, {.505, 8955}});
  return PressureCurve::from_tables(loading, {a, b, c}).value();
}

TEST(Gasket, LoadingFollowsThePublicTable) {
  const PressureCurve curve = public_table();
  EXPECT_NEAR(curve.at(1.9812 * kMicrometre).pressure_MPa, 20.684, 20.684 * kTableTolerance);
  EXPECT_NEAR(curve.at(3.0 * kMicrometre).pressure_MPa, 25.42, 25.42 * kTableTolerance);
}

TEST(Gasket, UnloadingRemembersTheGreatestClosure) {
  const PressureCurve curve = public_table();
  const double greatest = 12.827 * kMicrometre;
  EXPECT_NEAR(curve.at(12.1412 * kMicrometre, greatest).pressure_MPa, 2.337, 2.337 * kTableTolerance);
  EXPECT_NEAR(curve.at(greatest, greatest).pressure_MPa, 61.74, 61.74 * kTableTolerance);
  EXPECT_GT(curve.at(12.1412 * kMicrometre).pressure_MPa, 50);  // without memory
}

TEST(Gasket, BelowTheFirstUnloadingCurveItIsElastic) {
  const PressureCurve curve = public_table();
  for (const double closure : {0.3, 0.9, 1.4})
    EXPECT_DOUBLE_EQ(curve.at(closure * kMicrometre, 1.5 * kMicrometre).pressure_MPa, curve.at(closure * kMicrometre).pressure_MPa);
}

TEST(Gasket, PressureRisesWithClosureWhateverTheMemory) {
  const PressureCurve curve = public_table();
  for (const double greatest : {0.0, 1.0, 2.5, 5.0, 8.0, 12.0, 14.0}) {
    double before = 0;
    for (double closure = -1; closure < 15; closure += 0.05) {
      const auto answer = curve.at(closure * kMicrometre, greatest * kMicrometre);
      EXPECT_GE(answer.pressure_MPa, before - 1e-9) << greatest << " um, " << closure << " um";
      EXPECT_GE(answer.slope_MPa_per_mm, 0);
      before = answer.pressure_MPa;
    }
  }
}

TEST(Gasket, PressureHasNoJumpWhereUnloadingBegins) {
  const PressureCurve curve = public_table();
  for (const double greatest : {2.5, 5.0, 8.0, 12.0, 14.0}) {
    const double mm = greatest * kMicrometre;
    EXPECT_NEAR(curve.at(mm * (1 - 1e-9), mm).pressure_MPa, curve.at(mm).pressure_MPa, 1e-3);
  }
}

TEST(Gasket, NoClosureNoPressure) {
  const PressureCurve spring = PressureCurve::linear(FoundationStiffness::from_si(300e9));
  EXPECT_EQ(spring.at(-0.1).pressure_MPa, 0);
  EXPECT_EQ(spring.at(-0.1).slope_MPa_per_mm, 0);
  EXPECT_DOUBLE_EQ(spring.at(0.1).pressure_MPa, 30);
}

TEST(Gasket, TablesThatDoNotRiseAreRefusedInWords) {
  EXPECT_THROW((void)PressureCurve::linear(FoundationStiffness::from_si(0)), InputError);
  EXPECT_THROW((void)PressureCurve::linear(FoundationStiffness::from_si(std::nan(""))), InputError);
  EXPECT_FALSE(PressureCurve::from_tables({{0, 0}}).has_value());
  EXPECT_FALSE(PressureCurve::from_tables({{0, 0}, {0.1, 10}, {0.2, 9}}).has_value());
  EXPECT_FALSE(PressureCurve::from_tables({{0, 0}, {0.1, std::nan("")}}).has_value());
  const auto off = PressureCurve::from_tables({{0, 0}, {0.2, 20}}, {{{0.1, 0}, {0.2, 15}}});
  ASSERT_FALSE(off.has_value());
  EXPECT_NE(off.problems().front().what.find("20 MPa"), std::string::npos);
}

// ASME VIII-1 appendix 2 form: G 88 mm, b 2 mm, 10 MPa, soft copper m 4.75, y 90 MPa.
TEST(Gasket, FlangeCodeLoads) {
  const SeatingLoads loads =
      seating_loads(Length::from_si(0.088), Length::from_si(0.002), 4.75, Stress::from_si(90e6), GaugePressure::from_pascal(10e6));
  EXPECT_NEAR(loads.operating.si(), 113.35e3, 12);
  EXPECT_NEAR(loads.ratio_to_gas, 1.8636, 1e-4);
  EXPECT_NEAR(loads.seating.si(), 49.76e3, 5);
}

TEST(Gasket, GasOnABoreOf86) { EXPECT_NEAR(gas_force(Length::from_si(0.086), GaugePressure::from_pascal(10e6)).si(), 58.09e3, 5); }

}  // namespace
}  // namespace headjoint::clamp
