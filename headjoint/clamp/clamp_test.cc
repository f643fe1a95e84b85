#include "headjoint/clamp/clamp.h"

#include <gtest/gtest.h>

#include <cmath>
#include <fstream>
#include <sstream>

#include "headjoint/base/error.h"
#include "headjoint/clamp/test_joints.h"
#include "headjoint/joint/engine_file.h"

namespace headjoint::clamp {
namespace {

using namespace testing;
constexpr double kSame = 1e-7;  // relative: two searches of the same place of rest
const ClampOptions kCoarse{.grid = length(10)};

double newton(Force f) { return f.si(); }
void expect_share(double value, double expected, double share) { EXPECT_NEAR(value, expected, share * std::max(1e-9, std::abs(expected))); }

TEST(Clamp, ReactionAndAreaAgreeWithLoadAndPlan) {
  ClampLoads loads;
  loads.gas[2] = bar(80);
  const ClampResult r = clamp(four_cylinder(), loads, kCoarse);
  ASSERT_EQ(r.summary.status, ClampStatus::kConverged);
  expect_share(r.summary.reaction_N, r.summary.applied_N, kSame);
  expect_share(r.summary.contact_area_mm2, r.summary.exact_area_mm2, kSame);
  double bolts = 0;
  for (const BoltResult& b : r.bolts) bolts += newton(b.force);
  expect_share(r.summary.applied_N, bolts - 8 * M_PI * 41 * 41, kSame);
  EXPECT_TRUE(r.warnings.empty());
}

TEST(Clamp, ARigidSlabSinksEvenly) {
  ClampModel model = slab(box(430, 170), 1e11, 0.33, 25, 20, four_cylinder().bolts.at, 20);
  model.preload = kilonewton(30);
  const ClampResult r = clamp(model, {}, kCoarse);
  const double sunk = 300e3 / (20.0 * 430 * 170);
  expect_share(r.deflection_max.si() * 1e3, sunk, 1e-3);
  expect_share(r.deflection_min.si() * 1e3, sunk, 1e-3);
}

TEST(Clamp, MirroredEngineMirroredAnswer) {
  ClampModel model = four_cylinder(), mirrored = model;
  const auto mirror = [](PlanPoint& p) { p.x_mm = 430 - p.x_mm; };
  for (auto* list : {&mirrored.outline, &mirrored.bolts.at, &mirrored.zones[0].outline})
    for (PlanPoint& p : *list) mirror(p);
  for (BoreSeal& bore : mirrored.bores) mirror(bore.centre);
  for (PassageHole& hole : mirrored.passages) {
    mirror(hole.centre);
    for (PlanPoint& p : hole.outline) mirror(p);
  }
  ClampLoads loads;
  loads.gas[1] = bar(300);  // lifts off
  const ClampResult a = clamp(model, loads, kCoarse), b = clamp(mirrored, loads, kCoarse);
  EXPECT_GT(a.summary.open_area_fraction, 0.01);
  expect_share(a.summary.open_area_fraction, b.summary.open_area_fraction, kSame);
  for (std::size_t i = 0; i < 4; ++i) {
    expect_share(a.rings[i].line_load_mean.si(), b.rings[i].line_load_mean.si(), kSame);
    EXPECT_NEAR(a.rings[i].line_load_max.si(), b.rings[i].line_load_max.si(), 1e-6 * (1 + a.rings[i].line_load_max.si()));
  }
  for (std::size_t i = 0; i < 10; ++i) expect_share(newton(a.bolts[i].force), newton(b.bolts[i].force), kSame);
}

TEST(Clamp, TurnedByNinetyDegreesTheAnswerIsTheSame) {
  ClampModel model = four_cylinder(), turned = model;
  const auto turn = [](PlanPoint& p) { p = {170 - p.y_mm, p.x_mm}; };
  for (auto* list : {&turned.outline, &turned.bolts.at, &turned.zones[0].outline})
    for (PlanPoint& p : *list) turn(p);
  for (BoreSeal& bore : turned.bores) turn(bore.centre);
  for (PassageHole& hole : turned.passages) {
    turn(hole.centre);
    for (PlanPoint& p : hole.outline) turn(p);
  }
  ClampLoads loads;
  loads.gas[3] = bar(120);
  const ClampResult a = clamp(model, loads, kCoarse), b = clamp(turned, loads, kCoarse);
  for (std::size_t i = 0; i < 4; ++i) expect_share(a.rings[i].force.si(), b.rings[i].force.si(), kSame);
  expect_share(a.passages[2].pressure_min.si(), b.passages[2].pressure_min.si(), 1e-6);
}

TEST(Clamp, AllLoadsTwiceAllForcesTwice) {
  ClampLoads one, two;
  one.preload = kilonewton(20), two.preload = kilonewton(40);
  one.gas[2] = bar(150), two.gas[2] = bar(300);
  const ClampResult a = clamp(four_cylinder(), one, kCoarse), b = clamp(four_cylinder(), two, kCoarse);
  EXPECT_GT(a.summary.open_area_fraction, 0.01);
  EXPECT_DOUBLE_EQ(a.summary.open_area_mm2, b.summary.open_area_mm2);
  for (std::size_t i = 0; i < 4; ++i) EXPECT_NEAR(b.rings[i].line_load_mean.si(), 2 * a.rings[i].line_load_mean.si(), 1e-3);
  for (std::size_t i = 0; i < 10; ++i) expect_share(newton(b.bolts[i].force), 2 * newton(a.bolts[i].force), kSame);
}

TEST(Clamp, NothingPullsAnywhere) {
  ClampLoads loads;
  loads.gas[2] = bar(500);
  loads.head_face = FaceShape::bow(length(0.8), four_cylinder().outline);
  const ClampResult r = clamp(four_cylinder(), loads, kCoarse);
  ASSERT_EQ(r.summary.status, ClampStatus::kConverged);
  EXPECT_GT(r.summary.open_area_fraction, 0.05);
  for (const double p : r.field.pressure_MPa) EXPECT_FALSE(p < 0);
  for (const BoltResult& b : r.bolts) EXPECT_GE(b.force.si(), 0);
  for (const RingResult& ring : r.rings) EXPECT_GE(ring.line_load_min.si(), 0);
}

TEST(Clamp, InfluenceIsSymmetric) {
  const std::vector<double> c = bolt_influence_mm_per_N(four_cylinder(), kCoarse);
  for (std::size_t i = 0; i < 10; ++i)
    for (std::size_t j = 0; j < i; ++j) EXPECT_NEAR(c[10 * i + j], c[10 * j + i], 1e-12 * c[0]);
}

TEST(Clamp, TheAnswerDoesNotDependOnWhatWasSolvedBefore) {
  ClampLoads loads, other;
  loads.gas[2] = bar(300);
  other.gas[1] = bar(450);
  other.head_face = FaceShape::bow(length(-0.4), four_cylinder().outline);
  ClampedJoint joint(four_cylinder(), kCoarse);
  const ClampResult first = joint.solve(loads);
  (void)joint.solve(other);
  const ClampResult again = joint.solve(loads);
  EXPECT_DOUBLE_EQ(first.summary.open_area_mm2, again.summary.open_area_mm2);
  for (std::size_t i = 0; i < 10; ++i) expect_share(newton(again.bolts[i].force), newton(first.bolts[i].force), kSame);
}

TEST(Clamp, LineLoadTimesLengthIsTheRingsForce) {
  constexpr double kHalfPercent = 0.005;
  const ClampResult r = clamp(four_cylinder(), {}, {.grid = length(5)});
  for (const RingResult& ring : r.rings) expect_share(ring.line_load_mean.si() * 2 * M_PI * 0.0425, ring.force.si(), kHalfPercent);
}

TEST(Clamp, CoarseAndFineGridAgree) {
  constexpr double kTwoPercent = 0.02;
  ClampLoads loads;
  loads.gas[2] = bar(80);
  const ClampResult fine = clamp(four_cylinder(), loads, {.grid = length(5)}), coarse = clamp(four_cylinder(), loads, kCoarse);
  for (std::size_t i = 0; i < 4; ++i) {
    expect_share(coarse.rings[i].line_load_min.si(), fine.rings[i].line_load_min.si(), kTwoPercent);
    expect_share(coarse.rings[i].force.si(), fine.rings[i].force.si(), kTwoPercent);
  }
}

TEST(Clamp, AWarpedHeadLosesItsRingAndTheCutBringsItBack) {
  const ClampModel model = four_cylinder();
  ClampLoads flat, warped, cut;
  warped.head_face = FaceShape::bow(length(-0.3), model.outline);  // hollow in the middle
  cut.head_face = warped.head_face->cut(warped.head_face->full_cut());
  for (ClampLoads* loads : {&flat, &warped, &cut}) loads->gas[2] = bar(80);
  ClampedJoint joint(model, kCoarse);
  const double good = *joint.solve(flat).rings[1].margin, low = *joint.solve(warped).rings[1].margin,
               back = *joint.solve(cut).rings[1].margin;
  EXPECT_LT(low, 0.95 * good);
  expect_share(back, good, 1e-6);
}

TEST(Clamp, RigidHeadKeepsTheBowAsPressure) {
  // A head too stiff to bend carries a bow of the face straight into pressure differences k x height.
  ClampModel model = slab(box(400, 20), 1e9, 0, 25, 20, {{100, 10}, {300, 10}}, 15);
  ClampLoads loads;
  loads.preload = kilonewton(40);
  loads.head_face = FaceShape::bow(length(0.05), model.outline);
  const ClampResult r = clamp(model, loads, {.grid = length(5)});
  const double mean = 80e3 / 8000, middle_height = 0.05 / 2 - (0.025 - 0.05 / 3);  // over the mean of the parabola
  EXPECT_NEAR(r.field.pressure_MPa[40], mean + 20 * middle_height, 0.01);
}

TEST(Clamp, TwoEqualPlatesBendAsOneOfHalfTheStiffness) {
  ClampModel two = four_cylinder(), half = four_cylinder();
  two.zones.clear(), half.zones.clear();
  two.block = BlockModel::kPlate;
  two.block_plate = two.plate;
  half.plate.youngs_modulus = 0.5 * half.plate.youngs_modulus;
  const ClampResult a = clamp(two, {}, kCoarse), b = clamp(half, {}, kCoarse);
  for (std::size_t i = 0; i < 4; ++i) expect_share(a.rings[i].line_load_min.si(), b.rings[i].line_load_min.si(), kSame);
}

TEST(Clamp, HeatTightensAsTheSpringsInSeriesSay) {
  ClampModel model = slab(box(200, 200), 1e9, 0, 25, 20, {{50, 50}, {150, 50}, {50, 150}, {150, 150}}, 20);  // rigid
  model.bolts.grip = length(100);
  model.bolts.expansion = Expansion::from_si(1e-5);
  model.plate.expansion = Expansion::from_si(2e-5);
  ClampLoads loads;
  loads.preload = kilonewton(40);
  const TemperatureDifference hot = TemperatureDifference::from_si(80);
  loads.heat = HeatLoad{hot, hot, hot, {}};
  const ClampResult r = clamp(model, loads, kCoarse);
  const double gasket = 20 * 200 * 200 / 4.0, change = 0.08 / (1 / 250e3 + 1 / gasket);  // mm/N per bolt
  for (const BoltResult& b : r.bolts) EXPECT_NEAR(b.force.si(), 40e3 + change, 1e-3 * change);
}

TEST(Clamp, FreeHeatedPlateBowsByItsCurvature) {
  // On a very soft foundation a plate hotter on its fire side bows freely: sagitta alpha dT L^2 / (8 t), middle towards the block.
  ClampModel model = slab(box(400, 20), 72e3, 0.33, 25, 1e-4, {{200, 10}}, 5);
  model.plate.expansion = Expansion::from_si(22e-6);
  ClampLoads loads;
  loads.preload = Force::from_si(5);
  loads.action = BoltAction::kForce;
  loads.heat = HeatLoad{{}, {}, {}, TemperatureDifference::from_si(50)};
  const ClampResult r = clamp(model, loads, {.grid = length(5)});
  const double sagitta = 22e-6 * 50 * 400 * 400 / (8 * 25);
  const std::size_t row = 2 * 80;
  EXPECT_NEAR(r.field.movement_mm[row + 40] - r.field.movement_mm[row], sagitta, 0.03 * sagitta);
}

TEST(Clamp, SmallLoadsAreNotRoundedAway) {
  ClampLoads loads;
  loads.preload = Force::from_si(1);
  const ClampResult r = clamp(four_cylinder(), loads, kCoarse);
  ASSERT_EQ(r.summary.status, ClampStatus::kConverged);
  expect_share(r.summary.reaction_N, 10, 1e-6);
}

// ---------------------------------------------------------------- what cannot be, and bad input
TEST(Clamp, AHeadThatFloatsIsSaidToFloat) {
  ClampLoads loads;
  loads.action = BoltAction::kForce;
  for (int i = 1; i <= 4; ++i) loads.gas[i] = bar(900);
  const ClampResult r = clamp(four_cylinder(), loads, kCoarse);
  EXPECT_EQ(r.summary.status, ClampStatus::kFloats);
  EXPECT_NE(r.summary.message.find("450 kN"), std::string::npos);
  loads.action = BoltAction::kLocked;
  ClampModel stiff = four_cylinder();  // one that bends still rests on its ends
  stiff.plate.youngs_modulus = 1e3 * stiff.plate.youngs_modulus;
  const ClampResult hanging = clamp(stiff, loads, kCoarse);
  EXPECT_EQ(hanging.summary.status, ClampStatus::kFloats) << to_string(hanging.summary.status) << hanging.summary.message;
}

TEST(Clamp, AHeadThatTipsIsSaidToTip) {
  ClampLoads loads;
  loads.action = BoltAction::kForce;
  loads.bolt_forces_N.assign(10, 0.0);
  loads.bolt_forces_N[0] = loads.bolt_forces_N[5] = 40e3;  // one end only
  EXPECT_EQ(clamp(four_cylinder(), loads, kCoarse).summary.status, ClampStatus::kConverged);
  loads.gas[4] = bar(100);  // and the gas lifts the other
  const ClampResult r = clamp(four_cylinder(), loads, kCoarse);
  EXPECT_EQ(r.summary.status, ClampStatus::kTips) << to_string(r.summary.status);
  EXPECT_NE(r.summary.message.find("tips"), std::string::npos);
}

TEST(Clamp, NoBoltTightNoForceAnywhere) {
  ClampLoads loads;
  loads.preload = Force{};
  const ClampResult r = clamp(four_cylinder(), loads, kCoarse);
  EXPECT_EQ(r.summary.status, ClampStatus::kConverged);
  EXPECT_EQ(r.summary.reaction_N, 0);
}

TEST(Clamp, LoadsOutOfRangeAreNamed) {
  ClampedJoint joint(four_cylinder(), {.grid = length(20)});
  ClampLoads loads;
  loads.gas[9] = bar(80);
  EXPECT_THROW((void)joint.solve(loads), InputError);
  loads.gas.clear();
  loads.gas[1] = bar(-1);
  EXPECT_THROW((void)joint.solve(loads), InputError);
  loads.gas[1] = bar(std::nan(""));
  EXPECT_THROW((void)joint.solve(loads), InputError);
  loads.gas.clear();
  loads.preload = kilonewton(-1);
  EXPECT_THROW((void)joint.solve(loads), InputError);
  loads.bolt_forces_N = {1, 2, 3};
  EXPECT_THROW((void)joint.solve(loads), InputError);
  EXPECT_THROW(ClampedJoint(four_cylinder(), {.grid = length(0)}), InputError);
  EXPECT_THROW(ClampedJoint(four_cylinder(), {.grid = length(0.6)}), InputError);
}

std::string first_problem(const ClampModel& model) {
  const Problems problems = check_model(model);
  return problems.empty() ? "" : problems.front().what;
}

TEST(ClampModel, WhatCannotBeIsToldWithItsPlace) {
  EXPECT_EQ(first_problem(four_cylinder()), "");
  ClampModel m = four_cylinder();
  m.bolts.at[2] = {215, 500};
  EXPECT_NE(first_problem(m).find("bolt 3 at x 215, y 500 mm stands outside the outline"), std::string::npos) << first_problem(m);
  m = four_cylinder();
  m.bolts.at[2] = {165, 85};
  EXPECT_NE(first_problem(m).find("in bore 2"), std::string::npos);
  m = four_cylinder();
  m.bores[1].centre = {120, 85};
  EXPECT_NE(first_problem(m).find("bore 1 and the fire ring of bore 2 overlap"), std::string::npos) << first_problem(m);
  m = four_cylinder();
  m.bores[0].centre = {30, 85};
  EXPECT_NE(first_problem(m).find("reaches over the outline by 14 mm"), std::string::npos) << first_problem(m);
  m = four_cylinder();
  m.passages[0].centre = {65, 50};
  EXPECT_NE(first_problem(m).find("overlap"), std::string::npos);
  m = four_cylinder();
  m.bolts.at.clear();
  EXPECT_EQ(first_problem(m), "there are no bolts");
  m = four_cylinder();
  m.bolts.stiffness = {};
  EXPECT_EQ(first_problem(m), "the bolts have no stiffness");
  m = four_cylinder();
  m.outline = {{0, 0}, {430, 170}, {430, 0}, {0, 170}};
  EXPECT_NE(first_problem(m).find("the outline"), std::string::npos);
  m = four_cylinder();
  m.plate.thickness = length(-1);
  EXPECT_NE(first_problem(m), "");
  m = four_cylinder();
  m.plate.youngs_modulus = Stress::from_si(std::nan(""));
  EXPECT_NE(first_problem(m), "");
  EXPECT_THROW(ClampedJoint{m}, ContractError);
}

TEST(ClampModel, AFourCornerOutlineRunningClockwiseIsAsGood) {
  ClampModel model = four_cylinder();
  std::reverse(model.outline.begin(), model.outline.end());
  const ClampResult a = clamp(four_cylinder(), {}, kCoarse), b = clamp(model, {}, kCoarse);
  expect_share(a.rings[0].force.si(), b.rings[0].force.si(), kSame);
}

TEST(ClampModel, EveryMissingKeyOfAnEngineIsNamed) {
  const auto engine = joint::read_engine_text("format = 1\nname = \"x\"\n[engine]\ncylinders = 4\nlayout = \"inline\"\n", "x.toml",
                                              joint::nothing_beside());
  ASSERT_TRUE(engine.has_value());
  const auto model = from_engine(*engine);
  ASSERT_FALSE(model.has_value());
  EXPECT_GE(model.problems().size(), 4u);
  EXPECT_FALSE(from_engine(*engine, 2).has_value());
}

TEST(ClampModel, ShippedEnginesCanBeClamped) {
  for (const char* name : {"marlow-16", "ostery-v30", "hollin-d78"}) {
    const std::string path = std::string(HEADJOINT_SOURCE_DIR) + "/data/engines/" + name + ".toml";
    std::ifstream file(path);
    std::stringstream text;
    text << file.rdbuf();
    const auto engine = joint::read_engine_text(text.str(), path, joint::nothing_beside());
    ASSERT_TRUE(engine.has_value()) << to_string(engine.problems());
    const auto model = from_engine(*engine);
    ASSERT_TRUE(model.has_value()) << name << ": " << to_string(model.problems());
    const ClampResult r = clamp(*model, {}, {.grid = length(20)});
    EXPECT_EQ(r.summary.status, ClampStatus::kConverged) << name;
    expect_share(r.summary.contact_area_mm2, r.summary.exact_area_mm2, kSame);
  }
}

TEST(ClampModel, TooStiffAGasketForAPlateIsWarnedOf) {
  ClampModel model = four_cylinder();
  model.body = spring(40000);
  const ClampResult r = clamp(model, {}, kCoarse);
  EXPECT_GT(r.plate_validity, 0.1);
  ASSERT_FALSE(r.warnings.empty());
  EXPECT_NE(r.warnings[0].find("too stiff for a plate"), std::string::npos);
}

// ---------------------------------------------------------------- measured faces
faces::FacePoints probed(double x_end, double height) {
  faces::FacePoints points;
  for (int i = 0; i <= 8; ++i)
    for (int j = 0; j <= 4; ++j) {
      const double x = x_end * i / 8, t = 2 * x / 430 - 1;
      points.x_mm.push_back(x);
      points.y_mm.push_back(170.0 * j / 4);
      points.z_mm.push_back(height * (1 - t * t));
    }
  return points;
}

TEST(FaceShape, GoesThroughTheReadingsApartFromAPlane) {
  const std::vector<PlanPoint> outline = box(430, 170);
  const auto face = FaceShape::through(probed(430, 0.1), outline);
  ASSERT_TRUE(face.has_value());
  EXPECT_TRUE(face.problems().empty());
  EXPECT_NEAR(face->height_mm(215, 85) - face->height_mm(0, 85), 0.1, 1e-3);
  EXPECT_NEAR(face->height_mm(107.5, 42.5) - face->height_mm(0, 42.5), 0.075, 1e-3);
  EXPECT_NEAR(face->full_cut().si() * 1e3, 0.1, 1e-3);
}

TEST(FaceShape, AMapThatDoesNotCoverTheDeckIsReported) {
  const std::vector<PlanPoint> outline = box(430, 170);
  const auto partial = FaceShape::through(probed(300, 0.1), outline);
  ASSERT_TRUE(partial.has_value());
  ASSERT_EQ(partial.problems().size(), 1u);
  EXPECT_NE(partial.problems()[0].what.find("x 4"), std::string::npos) << partial.problems()[0].what;  // the far end
  EXPECT_FALSE(FaceShape::through(probed(100, 0.1), outline).has_value());
  faces::FacePoints line = probed(430, 0.1);
  for (double& y : line.y_mm) y = 0;
  EXPECT_ANY_THROW((void)FaceShape::through(line, outline));
}

}  // namespace
}  // namespace headjoint::clamp
