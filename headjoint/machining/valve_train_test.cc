#include "headjoint/machining/valve_train.h"

#include <cmath>
#include <vector>

#include "headjoint/machining/gasket_grade.h"
#include "headjoint/machining/test_engines.h"
#include "headjoint/machining/vee_manifold.h"

namespace headjoint::machining {
namespace {

constexpr double kClosed = 1e-9;
constexpr double kSixDigits = 1e-6;

// Derived: rocker pivot and valve tip come down with the head, the pushrod stays.
TEST(ValveTrain, SolidLashFallsByTheRatioAndPreloadRisesWithoutIt) {
  EXPECT_NEAR(in_mm(solid_lash_change(mm(0.5), 1.5, deg(0))), -0.75, kClosed);
  EXPECT_NEAR(in_mm(lifter_preload_change(mm(0.5), 1.5, deg(0))), 0.5, kClosed);
  EXPECT_NEAR(in_mm(lifter_preload_change(mm(0.5), 1.5, deg(10))), 0.5 * std::cos(deg(10).radians()), kClosed);
  EXPECT_NEAR(in_mm(pushrod_shortening(mm(0.5), deg(10))), 0.5 * std::cos(deg(10).radians()), kClosed);
}

TEST(ValveTrain, SeatWorkRaisesTheTip) {
  EXPECT_NEAR(in_mm(solid_lash_change(mm(0), 1.5, deg(0), mm(0.2))), -0.2, kClosed);
  EXPECT_NEAR(in_mm(lifter_preload_change(mm(0), 1.6, deg(0), mm(0.2))), 0.125, kClosed);
}

/// The same by the rocker's geometry: the pushrod's end stands `lowered` higher against the pivot, and turns the rocker.
TEST(ValveTrain, LashChangeIsTheRockersTurn) {
  const double valve_arm = 45, push_arm = 30, lowered = 1e-3;  // mm
  const double turn = std::asin(lowered / push_arm);
  EXPECT_NEAR(in_mm(solid_lash_change(mm(lowered), valve_arm / push_arm, deg(0))), -valve_arm * std::sin(turn), 1e-9);
}

TEST(ValveTrain, RefusesARockerWithoutRatio) { EXPECT_THROW((void)solid_lash_change(mm(0.5), 0, deg(0)), InputError); }

// Derived from the plane geometry of a vee; the trade's figures for 90 and 10 degrees are 1.23 and 1.71 (from memory).
TEST(VeeManifold, OfTheUsualAngles) {
  struct Row {
    double vee, lean, face, rails;
  };
  for (const Row& row :
       {Row{90, 0, 1.000000, 1.414214}, Row{90, 5, 1.100063, 1.549804}, Row{90, 10, 1.232803, 1.716960}, Row{90, 15, 1.414214, 1.931852},
        Row{90, 20, 1.673157, 2.223502}, Row{90, 25, 2.067442, 2.649867}, Row{60, 0, 0.577350, 1.154701}, Row{60, 15, 0.707107, 1.366025},
        Row{60, 30, 1.000000, 1.732051}, Row{72, 0, 0.726543, 1.236068}, Row{0, 0, 0, 1}}) {
    const ManifoldCut cut = manifold_cut(mm(1), deg(row.vee), deg(row.lean));
    EXPECT_NEAR(in_mm(cut.intake_face), row.face, kSixDigits) << row.vee << " " << row.lean;
    EXPECT_NEAR(in_mm(cut.end_rails), row.rails, kSixDigits) << row.vee << " " << row.lean;
  }
  EXPECT_NEAR(in_mm(manifold_cut(mm(1), deg(90), deg(10)).intake_face), 1.23, 0.005);
}

/// Cut by those amounts, the manifold's face lies on the head's again and a port meets its port: checked on the plane figure.
TEST(VeeManifold, BringsFaceAndPortTogether) {
  for (const double vee : {45.0, 60.0, 72.0, 90.0, 120.0}) {
    for (const double lean : {-10.0, 0.0, 10.0, 20.0}) {
      const double half = deg(vee / 2).radians(), face = half + deg(lean).radians(), lowered = 0.4;
      const ManifoldCut cut = manifold_cut(mm(lowered), deg(vee), deg(lean));
      // The right bank's port goes by `head`; the manifold's port drops and its face is cut back towards the middle.
      const double head_x = -lowered * std::sin(half), head_y = -lowered * std::cos(half);
      const double port_x = -in_mm(cut.intake_face) * std::cos(face),
                   port_y = -in_mm(cut.end_rails) + in_mm(cut.intake_face) * std::sin(face);
      EXPECT_NEAR(head_x, port_x, 1e-9) << vee << " " << lean;
      EXPECT_NEAR(head_y, port_y, 1e-9) << vee << " " << lean;
    }
  }
}

TEST(VeeManifold, RefusesFacesThatLieFlat) {
  EXPECT_THROW((void)manifold_cut(mm(1), deg(180), deg(0)), InputError);
  EXPECT_THROW((void)manifold_cut(mm(1), deg(90), deg(50)), InputError);
  EXPECT_THROW((void)manifold_cut(mm(1), deg(-10), deg(0)), InputError);
}

joint::GasketGrade grade(const char* mark, double thickness, double least, double most) {
  return {mark, joint::assumed(mm(thickness)), joint::assumed(mm(least)), joint::assumed(mm(most))};
}

/// An example table of a trade page: A 0.758-0.813 -> 1.60, B 0.813-0.859 -> 1.65, C 0.859-0.914 -> 1.70 mm.
std::vector<joint::GasketGrade> grades() {
  return {grade("A", 1.60, 0.758, 0.813), grade("B", 1.65, 0.813, 0.859), grade("C", 1.70, 0.859, 0.914)};
}

GradeChoice choose(const std::vector<double>& protrusions) {
  std::vector<Length> lengths;
  for (const double value : protrusions) lengths.push_back(mm(value));
  return gasket_grade(grades(), lengths);
}

TEST(GasketGrade, GoesByTheLargestProtrusion) {
  const GradeChoice a = choose({0.80, 0.79, 0.81, 0.812}), b = choose({0.80, 0.82, 0.83, 0.845}), c = choose({0.86, 0.90, 0.88, 0.87});
  EXPECT_EQ(a.index, 0U);
  EXPECT_NEAR(in_mm(a.clearance_left), 0.788, kClosed);
  EXPECT_EQ(b.index, 1U);
  EXPECT_NEAR(in_mm(b.clearance_left), 0.805, kClosed);
  EXPECT_EQ(c.index, 2U);
  EXPECT_NEAR(in_mm(c.clearance_left), 0.800, kClosed);
  EXPECT_NEAR(in_mm(c.spread), 0.04, kClosed);
}

TEST(GasketGrade, TakesTheThickerOneOnASharedBound) {
  EXPECT_EQ(choose({0.813}).index, 1U);
  EXPECT_EQ(choose({0.859}).index, 2U);
}

TEST(GasketGrade, DoesNotReachBeyondItsTable) {
  EXPECT_EQ(choose({0.80, 0.92}).status, GradeChoice::Status::kAboveTable);
  EXPECT_EQ(choose({0.70}).status, GradeChoice::Status::kBelowTable);
  EXPECT_EQ(gasket_grade({}, std::vector<Length>{mm(0.8)}).status, GradeChoice::Status::kTableIncomplete);
}

}  // namespace
}  // namespace headjoint::machining
