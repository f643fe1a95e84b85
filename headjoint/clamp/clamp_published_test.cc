#include <gtest/gtest.h>

#include <cmath>

#include "headjoint/clamp/internal/joint_kernel.h"
#include "headjoint/clamp/test_joints.h"

/// Plates and beams on a foundation against closed forms: Hertz 1884, Hetenyi 1946, Timoshenko & Woinowsky-Krieger ch. 8, Weitsman 1970
/// (from memory, evaluated independently).
namespace headjoint::clamp {
namespace {

using namespace testing;
constexpr double kOnePercent = 0.01;
constexpr double kHalfPercent = 0.005;

ClampOptions grid_of(double millimetres) { return {.grid = length(millimetres)}; }

TEST(ClampPublished, InfinitePlateUnderAPointLoad) {
  constexpr double kL = 47.8377, kP = 10e3;
  const ClampModel model = slab(box(640, 640), thin_modulus(70e3, 20), 0.33, 2, 10, {{320, 320}, {320 + kL, 320}, {320 + 2 * kL, 320}});
  const std::vector<double> c = bolt_influence_mm_per_N(model, grid_of(8));
  EXPECT_NEAR(c[0] * kP, 0.0546223, kOnePercent * 0.0546223);
  EXPECT_NEAR(c[3] * kP, 0.0344255, kOnePercent * 0.0344255);
  EXPECT_NEAR(c[6] * kP, 0.0140764, kOnePercent * 0.0140764);
}

/// A strip one cell wide: a beam with the stiffness of 140 x 60 mm per width, on 1000 N/mm2 over 140 mm.
constexpr double kStripWidth = 10, kBeamWidth = 140;
ClampModel beam_strip(double beam_length, std::vector<PlanPoint> bolts) {
  return slab(box(beam_length, kStripWidth), thin_modulus(70e3, 60), 0, 2, 1000 / kBeamWidth, std::move(bolts));
}

TEST(ClampPublished, InfiniteBeamUnderAPointLoad) {
  const double load = 50e3 * kStripWidth / kBeamWidth;
  const ClampModel model = beam_strip(2000, {{1000, 5}});
  ClampedJoint joint(model, grid_of(10));
  ContactSolver& solver = *joint.kernel().solver;
  std::vector<double> u(joint.kernel().grid.unknown_count(), 0.0);
  solver.washer(0).add(load, u);
  solver.solve_closed(u);
  EXPECT_NEAR(solver.bolt_movement(0, u), 0.153391, kHalfPercent * 0.153391);
  const auto moment = [&](int cells_away) {
    const PlanGrid& grid = joint.kernel().grid;
    return joint.kernel().plate->moments(grid.cell(100 + cells_away, 0), u)[0] * kBeamWidth;
  };
  EXPECT_NEAR(1.875 * moment(0) - 1.25 * moment(1) + 0.375 * moment(2), 2.037275e6, kHalfPercent * 2.037275e6);
}

TEST(ClampPublished, FiniteFreeBeam) {
  struct Row {
    double length, centre, end;
  };
  constexpr double kB = 0.00613565;
  for (const Row& r : {Row{1, 2.024812, 1.962808}, Row{2, 1.178541, 0.735186}, Row{M_PI, 1.090331, 0}, Row{4, 1.079956, -0.236026},
                       Row{5, 1.044363, -0.268299}, Row{8, 1.000580, -0.047872}}) {
    const double l = r.length / kB, unit = kB / 2 / 1000 * kBeamWidth / kStripWidth;
    const std::vector<double> c = bolt_influence_mm_per_N(beam_strip(l, {{l / 2, 5}, {l - 0.5, 5}}), grid_of(5));
    EXPECT_NEAR(c[0] / unit, r.centre, kHalfPercent * r.centre) << r.length;
    EXPECT_NEAR(c[2] / unit, r.end, kHalfPercent * std::max(1.0, std::abs(r.end))) << r.length;
  }
}

TEST(ClampPublished, BeamOnATensionlessFoundation) {
  constexpr double kB = 0.00613565;
  const double l = 8 / kB, unit = kB / 2 / 1000 * kBeamWidth / kStripWidth, load = 1000;
  ClampModel model = beam_strip(l, {{l / 2, 5}});
  model.outline = box(l, 2);  // cells of 2 mm
  model.bolts.at[0].y_mm = 1;
  ClampLoads loads;
  loads.bolt_forces_N = {load * 2 / kStripWidth};
  const ClampResult r = clamp(model, loads, grid_of(2));
  ASSERT_EQ(r.summary.status, ClampStatus::kConverged);
  EXPECT_NEAR(r.bolts[0].movement.si() * 1e3 / (load * unit), 1.090331, kHalfPercent * 1.090331);
  EXPECT_NEAR((1 - r.summary.open_area_fraction) * 8, M_PI, kHalfPercent * M_PI);
}

/// Round plate with a free edge, radius 8 l, on a tensionless foundation; l = 20 mm.
ClampResult round_plate(double load) {
  std::vector<PlanPoint> edge;
  for (int i = 0; i < 180; ++i) edge.push_back({160 * std::cos(i * M_PI / 90), 160 * std::sin(i * M_PI / 90)});
  constexpr double kModulus = 200e3, kPoisson = 0.3, kThickness = 1;
  const double d = kModulus / 12 / (1 - kPoisson * kPoisson);
  ClampLoads loads;
  loads.bolt_forces_N = {load};
  return clamp(slab(edge, kModulus, kPoisson, kThickness, d / std::pow(20, 4), {{0, 0}}), loads, grid_of(2.5));
}

TEST(ClampPublished, RoundPlateOnATensionlessFoundation) {
  constexpr double kTwoPercent = 0.02;
  const double d = 200e3 / 12 / 0.91, load = 10;
  const ClampResult r = round_plate(load);
  ASSERT_EQ(r.summary.status, ClampStatus::kConverged);
  EXPECT_NEAR(r.bolts[0].movement.si() * 1e3, 0.131981 * load * 400 / d, kOnePercent * 0.131981 * load * 400 / d);
  const double touching = r.summary.contact_area_mm2 - r.summary.open_area_mm2;
  EXPECT_NEAR(std::sqrt(touching / M_PI) / 20, 2.81734, kTwoPercent * 2.81734);
  EXPECT_NEAR(r.summary.reaction_N, load, 1e-6 * load);
}

TEST(ClampPublished, TwiceTheLoadLeavesTheContactAsItIs) {
  const ClampResult one = round_plate(10), two = round_plate(20);
  EXPECT_DOUBLE_EQ(one.summary.open_area_mm2, two.summary.open_area_mm2);
  EXPECT_NEAR(two.bolts[0].movement / one.bolts[0].movement, 2, 1e-9);
}

TEST(ClampPublished, RowOfBoltsOnABeam) {
  struct Row {
    double x, at_bolt, between;
  };
  for (const Row& r : {Row{1, 1.005542, .995152}, Row{1.5, 1.027790, .975723}, Row{2, 1.085636, .925449}, Row{2.5, 1.198662, .828308},
                       Row{3, 1.378094, .677486}, Row{3.5, 1.618326, .483611}, Row{4, 1.897806, .273465}, Row{4.730041, 2.323638, 0}}) {
    constexpr double kSpacing = 100, kForce = 1000, kModulus = 1e6;
    constexpr int kBolts = 13;
    std::vector<PlanPoint> bolts;
    for (int i = 0; i < kBolts; ++i) bolts.push_back({kSpacing * (i + 0.5), 1});
    const double beta = r.x / kSpacing, foundation = 4 * kModulus * 8 / 12 * std::pow(beta, 4);  // per width, 2 mm thick
    const ClampModel model = slab(box(kSpacing * kBolts, 2), kModulus, 0, 2, foundation, bolts, 0.5);
    ClampLoads loads;
    loads.bolt_forces_N.assign(kBolts, kForce);
    const ClampResult result = clamp(model, loads, grid_of(2));
    ASSERT_EQ(result.summary.status, ClampStatus::kConverged) << result.summary.message;
    const auto pressure_at = [&](double x) {  // on the line between two cells
      const auto cell = static_cast<std::size_t>(std::lround(x / 2));
      return (result.field.pressure_MPa[cell] + result.field.pressure_MPa[cell - 1]) / 2;
    };
    const double mean = kForce / kSpacing / 2, middle = kSpacing * (kBolts / 2 + 0.5);
    EXPECT_NEAR(pressure_at(middle) / mean, r.at_bolt, kHalfPercent * r.at_bolt) << r.x;
    EXPECT_NEAR(pressure_at(middle + kSpacing / 2) / mean, r.between, kHalfPercent * std::max(r.between, 0.5)) << r.x;
  }
}

TEST(ClampPublished, MovementConvergesWithTheMesh) {
  constexpr double kP = 10e3, kExact = 0.0344255;  // at l from the load, away from its singular shear
  double error[3];
  for (int i = 0; i < 3; ++i) {
    const ClampModel model = slab(box(640, 640), thin_modulus(70e3, 20), 0.33, 2, 10, {{320, 320}, {320 + 47.8377, 320}});
    error[i] = std::abs(bolt_influence_mm_per_N(model, grid_of(32.0 / (1 << i)))[2] * kP - kExact);
  }
  EXPECT_LT(error[1], error[0] / 2.5);
  EXPECT_LT(error[2], error[1] / 2.5);
}

}  // namespace
}  // namespace headjoint::clamp
