#include "headjoint/clamp/clamp.h"

#include <gtest/gtest.h>

#include <cmath>

#include "headjoint/clamp/tightening.h"

namespace headjoint::clamp {
namespace {

constexpr double kMesh = 1e-3;
constexpr double kBalance = 1e-6;

/// A plain slab of 430 x 170 mm on an even foundation, ten bolts in two rows.
ClampModel slab(double youngs_modulus) {
  ClampModel model;
  model.outline = {{0, 0}, {430, 0}, {430, 170}, {0, 170}};
  model.plate.youngs_modulus = Stress::from_si(youngs_modulus);
  model.plate.thickness = Length::from_si(25e-3);
  model.body = PressureCurve::linear(FoundationStiffness::from_si(20e9));
  for (const double y : {15.0, 155.0})
    for (const double x : {15.0, 115.0, 215.0, 315.0, 415.0}) model.bolts.at.push_back({x, y});
  model.bolts.washer_diameter = Length::from_si(20e-3);
  model.bolts.stiffness = LineLoad::from_si(250e6);
  model.preload = Force::from_si(30e3);
  return model;
}

ClampOptions grid(double metres) {
  ClampOptions options;
  options.grid = Length::from_si(metres);
  return options;
}

// A rigid slab sinks evenly: force over stiffness times area.
TEST(Clamp, ARigidSlabSinksEvenly) {
  ClampLoads loads;
  loads.action = BoltAction::kForce;
  const ClampResult result = clamp(slab(72e15), loads, grid(10e-3));
  ASSERT_EQ(result.summary.status, ClampStatus::kConverged) << result.summary.message;
  const double sunk_mm = 300e3 / (20.0 * 430 * 170);
  EXPECT_NEAR(result.deflection_max.si() * 1e3, sunk_mm, kMesh * sunk_mm);
  EXPECT_NEAR(result.deflection_min.si() * 1e3, sunk_mm, kMesh * sunk_mm);
  EXPECT_NEAR(result.summary.contact_area_mm2, 430.0 * 170, kBalance * 430 * 170);
}

TEST(Clamp, TheGasketCarriesWhatTheBoltsPress) {
  for (const double modulus : {72e9, 210e9}) {
    ClampLoads loads;
    loads.action = BoltAction::kForce;
    const ClampResult result = clamp(slab(modulus), loads, grid(10e-3));
    ASSERT_EQ(result.summary.status, ClampStatus::kConverged) << result.summary.message;
    EXPECT_NEAR(result.summary.reaction_N, 300e3, kBalance * 300e3);
    EXPECT_NEAR(result.summary.applied_N, 300e3, kBalance * 300e3);
    for (const double pressure : result.field.pressure_MPa) EXPECT_FALSE(pressure < 0);
  }
}

// All forces doubled: every movement doubles and the contact stays, on a foundation that is linear where it carries.
TEST(Clamp, TwiceTheForcesAreTwiceTheMovement) {
  ClampLoads once, twice;
  once.action = twice.action = BoltAction::kForce;
  twice.preload = Force::from_si(60e3);
  const ClampResult a = clamp(slab(72e9), once, grid(10e-3)), b = clamp(slab(72e9), twice, grid(10e-3));
  EXPECT_NEAR(b.deflection_max.si(), 2 * a.deflection_max.si(), 1e-6 * a.deflection_max.si());
  EXPECT_DOUBLE_EQ(a.summary.open_area_fraction, b.summary.open_area_fraction);
}

TEST(Clamp, TheInfluenceOfTwoBoltsIsMutual) {
  const std::vector<double> influence = bolt_influence_mm_per_N(slab(72e9), grid(10e-3));
  ASSERT_EQ(influence.size(), 100U);
  for (std::size_t i = 0; i < 10; ++i) {
    EXPECT_GT(influence[11 * i], 0);
    for (std::size_t j = 0; j < i; ++j) EXPECT_NEAR(influence[10 * i + j], influence[10 * j + i], 1e-9 * influence[11 * i]);
  }
}

}  // namespace
}  // namespace headjoint::clamp
