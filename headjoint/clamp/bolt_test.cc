#include "headjoint/clamp/bolt.h"

#include <gtest/gtest.h>

#include <cmath>

#include "headjoint/base/error.h"
#include "headjoint/clamp/bolt_stiffness.h"
#include "headjoint/clamp/preload_scatter.h"
#include "headjoint/clamp/torque_angle.h"
#include "headjoint/units/quantity_text.h"

namespace headjoint::clamp {
namespace {

constexpr double kFormula = 1e-4;      // exact formula against independently computed value
constexpr double kThreeDigits = 5e-4;  // value printed to four digits
constexpr double kTable = 0.0061;      // VDI 2230 table A1 against the formula it is said to follow
constexpr double kOldTable = 0.016;    // torques printed in whole newton metres

template <class T>
T q(const char* text) {
  return parse<T>(text).value();
}
Length mm(double value) { return Length::from_si(value * 1e-3); }
Force kN(double value) { return Force::from_si(value * 1e3); }
Stress mpa(double value) { return Stress::from_si(value * 1e6); }
void expect_near_share(double value, double expected, double share) { EXPECT_NEAR(value, expected, share * std::abs(expected)); }
double Nm(Torque t) { return t.si(); }

const Thread kM12 = thread(mm(12));
const Thread kM11 = thread(mm(11));

// Areas of ISO 898-1 threads from the formula (printed there 58.0, 84.3, 115 mm2).
TEST(Bolt, StressAreasFollowIso898) {
  expect_near_share(thread(mm(10)).stress_area().si() * 1e6, 57.990, kFormula);
  expect_near_share(kM12.stress_area().si() * 1e6, 84.267, kFormula);
  expect_near_share(thread(mm(14)).stress_area().si() * 1e6, 115.439, kFormula);
}

// Four ways to write one torque; values computed independently from the formulas named in TorqueForm.
TEST(Bolt, TorqueInFourForms) {
  const Friction f{0.12, 0.12};
  const Length db = mm(15.065);
  expect_near_share(Nm(tightening_torque(kM12, f, db, kN(43))), 83.524, kThreeDigits);
  expect_near_share(Nm(tightening_torque(kM12, f, db, kN(43), TorqueForm::kVdi)), 83.419, kThreeDigits);
  expect_near_share(Nm(tightening_torque(kM12, f, db, kN(43), TorqueForm::kIso)), 83.187, kThreeDigits);
  expect_near_share(Nm(tightening_torque(kM12, f, db, kN(43), TorqueForm::kNasa)), 83.207, kThreeDigits);
  expect_near_share(Nm(loosening_torque(kM12, f, db, kN(43))), 59.110, 1e-3);
}

TEST(Bolt, TorqueAndPreloadAreInverse) {
  for (const TorqueForm form : {TorqueForm::kExact, TorqueForm::kIso, TorqueForm::kVdi, TorqueForm::kNasa}) {
    const Torque torque = tightening_torque(kM11, {0.1, 0.14}, mm(15), kN(45), form);
    EXPECT_NEAR(preload_from_torque(kM11, {0.1, 0.14}, mm(15), torque, form).si(), 45e3, 1e-6);
  }
  const TorqueShares shares = torque_shares(kM11, {0.12, 0.12}, mm(15));
  EXPECT_NEAR(shares.stretch + shares.thread_friction + shares.head_friction, 1, 1e-12);
  EXPECT_NEAR(shares.stretch, 0.13, 0.005);  // rule of 10/40/50
  EXPECT_NEAR(shares.thread_friction, 0.38, 0.005);
}

// VDI 2230 table A1 (2003), 90 % of yield, in kN, second hand.
TEST(Bolt, PreloadTableOfVdi2230) {
  struct Row {
    double d, yield, mu, kilonewton;
  };
  const Row rows[] = {{12, 640, .08, 45.2}, {12, 640, .10, 44.1}, {12, 640, .12, 43.0},  {12, 640, .14, 41.9}, {12, 640, .16, 40.7},
                      {12, 640, .20, 38.3}, {10, 940, .12, 43.4}, {14, 1100, .16, 96.0}, {8, 640, .08, 19.5},  {8, 1100, .20, 28.4}};
  for (const Row& r : rows)
    expect_near_share(preload_at_yield(thread(mm(r.d)), {r.mu, r.mu}, mpa(r.yield), 0.9).si() * 1e-3, r.kilonewton, kTable);
}

// An older torque sheet (lightly oiled, 0.14) is the same formula with torsion reckoned elastic.
TEST(Bolt, OlderTorqueSheetUsesElasticTorsion) {
  struct Row {
    double d, outer, hole, yield, newton_metre;
  };
  const Row rows[] = {{8, 11.63, 9, 640, 25},   {8, 11.63, 9, 940, 36},     {10, 14.63, 11, 640, 49},
                      {10, 14.63, 11, 940, 72}, {12, 16.63, 13.5, 640, 85}, {12, 16.63, 13.5, 940, 125}};
  for (const Row& r : rows) {
    const Friction f{0.14, 0.14};
    const Thread t = thread(mm(r.d));
    const Force preload = preload_at_yield(t, f, mpa(r.yield), 0.9, {}, Torsion::kElastic);
    expect_near_share(Nm(tightening_torque(t, f, mean_bearing_diameter(mm(r.outer), mm(r.hole)), preload, TorqueForm::kVdi)),
                      r.newton_metre, kOldTable);
  }
}

TEST(Bolt, CombinedStressPlasticAndElastic) {
  expect_near_share(bolt_stress(kM12, {0.12, 0.12}, kN(43)).combined.si() * 1e-6, 575.4, 1e-3);
  expect_near_share(bolt_stress(kM12, {0.12, 0.12}, kN(43), {}, 1, Torsion::kElastic).combined.si() * 1e-6, 621.3, 1e-3);
}

TEST(Bolt, YieldPreloadIsWhereTheCombinedStressIsTheYieldStress) {
  for (const double mu : {0.0, 0.08, 0.14, 0.3})
    for (const std::optional<Length> waist : {std::optional<Length>{}, std::optional<Length>{mm(8.6)}}) {
      const Force preload = preload_at_yield(kM11, {mu, mu}, mpa(940), 1, waist);
      EXPECT_NEAR(bolt_stress(kM11, {mu, mu}, preload, waist, 1, Torsion::kPlastic, TorqueForm::kNasa).combined.si(), 940e6, 1);
    }
}

// Shigley, Mechanical Engineering Design, example 8-3 (from memory): 3750 lbf in with K 0.2.
TEST(Bolt, ShigleyTorque) {
  const Length d = q<Length>("0.75 in");
  const double pound_inch = q<Torque>("1 lbf.in").si();
  expect_near_share(torque_from_nut_factor(0.2, d, q<Force>("25000 lbf")).si() / pound_inch, 3750, kThreeDigits);
  // His mean thread diameter is (d + dr)/2 = 0.70926 in; a thread of pitch 1/16 in has its pitch diameter at 0.70940 in.
  const Thread t = thread(d, q<Length>("1 in") / 16);
  expect_near_share(tightening_torque(t, {0.15, 0.15}, 1.25 * d, q<Force>("25000 lbf")).si() / pound_inch, 3551, kThreeDigits);
}

// NASA TM-106943 table I (Chambers 1995): lubricated A-286, 25 % scatter, 5 % loss.
TEST(Bolt, NasaPreloadTable) {
  struct Row {
    double at, nominal, least, most;
  };
  const Row rows[] = {{.0200, 1105, 789, 1381},  {.0364, 2011, 1436, 2514},  {.0580, 3205, 2289, 4006},   {.0878, 4851, 3465, 6064},
                      {.1187, 6558, 4684, 8198}, {.1599, 8835, 6311, 11043}, {.256, 14144, 10103, 17680}, {.373, 20608, 14720, 25760}};
  for (const Row& r : rows) {
    const double nominal = 0.65 * 85000 * r.at;  // pounds
    expect_near_share(nominal, r.nominal, 1e-3);
    const PreloadBand band = torque_preload_band(0.2, mm(10), Torque::from_si(0.2 * 0.010 * nominal), 0.25, {}, 0);
    expect_near_share(band.most.si(), r.most, 1e-3);
    expect_near_share(band.least.si() / 1.05, r.least, 1e-3);
  }
}

// NASA-STD-5020B A.2 table 6: 10 bolts, 3 cycles, 450 lbf in on 0.375 in.
TEST(Bolt, NasaMeasuredScatter) {
  const std::vector<double> preloads = {7760, 4010, 3587, 4635, 4920, 3797, 4462, 4940, 6220, 4780, 7229, 4310, 3900, 4322, 4475,
                                        3812, 4132, 4219, 6100, 4685, 6080, 4291, 3054, 4804, 3910, 3303, 4090, 4550, 6062, 5180};
  // The same numbers read as newtons and millimetres: shares do not care.
  const MeasuredScatter s = measured_scatter(preloads, Torque::from_si(450e-3), mm(0.375));
  EXPECT_NEAR(s.mean.si(), 4721, 0.5);
  EXPECT_NEAR(s.standard_deviation.si(), 1097, 0.5);
  EXPECT_NEAR(s.nominal_nut_factor, 0.254, 0.0005);
  EXPECT_NEAR(s.most, 0.644, 0.0005);
  EXPECT_NEAR(s.least, 0.353, 0.0005);
  EXPECT_NEAR(s.two_sided_90_95, 0.498, 0.0005);
}

// Lock-nut maker's test: 400 lbf ft on 7/8 in gave 30 000 lbf.
TEST(Bolt, NutFactorOfALockNutTest) {
  const Force preload = preload_from_nut_factor(0.18286, q<Length>("0.875 in"), q<Torque>("400 lbf.ft"));
  expect_near_share(preload.si() / q<Force>("1 lbf").si(), 30000, kFormula);
}

TEST(Bolt, FiguresOutsideTheirRangeAreNamed) {
  EXPECT_THROW((void)thread(mm(0)), InputError);
  EXPECT_THROW((void)thread(mm(13)), InputError);  // no coarse pitch
  EXPECT_THROW((void)thread(mm(std::nan(""))), InputError);
  EXPECT_THROW((void)tightening_torque(kM12, {-0.1, 0.1}, mm(15), kN(1)), InputError);
  EXPECT_THROW((void)tightening_torque(kM12, {0.1, 0.1}, mm(15), kN(-1)), InputError);
  EXPECT_THROW((void)preload_at_yield(kM12, {0.1, 0.1}, mpa(0)), InputError);
  EXPECT_FALSE(strength_class("7.7", mm(10)).has_value());
  EXPECT_EQ(strength_class("8.8", mm(18))->yield, mpa(660));
}

// ---------------------------------------------------------------- springs
const BoltBody kHb11{.thread = kM11, .grip = mm(120), .shank = mm(11), .shank_length = mm(85)};

TEST(BoltStiffness, SegmentsOfALongHeadBolt) {
  const BoltCompliance c = bolt_compliance(kHb11);
  expect_near_share(c.head_mm_per_N, 0.2823e-6, kThreeDigits);
  expect_near_share(c.shank_mm_per_N, 4.3630e-6, kThreeDigits);
  expect_near_share(c.free_thread_mm_per_N, 2.5910e-6, kThreeDigits);
  expect_near_share(c.engaged_thread_mm_per_N, 0.4072e-6, kThreeDigits);
  expect_near_share(c.block_mm_per_N, 0.3472e-6, kThreeDigits);
  expect_near_share(c.total_mm_per_N(), 7.9907e-6, kThreeDigits);
}

const PressureCone kCone{.youngs_modulus = mpa(72e3), .grip = mm(120), .bearing_outer = mm(18), .hole = mm(12), .available = mm(40)};

TEST(BoltStiffness, PressureConeInATappedHole) {
  const ConeStiffness c = pressure_cone_stiffness(kCone);
  EXPECT_NEAR(c.half_angle.degrees(), 27.78, 0.01);
  EXPECT_NEAR(c.cone_length.si() * 1e3, 20.88, 0.01);
  const double dp = 1e3 / c.stiffness.si();
  expect_near_share(dp, 1.8965e-6, kThreeDigits);
  expect_near_share(load_share(bolt_compliance(kHb11).stiffness(), c.stiffness), 0.19181, kThreeDigits);
}

TEST(BoltStiffness, ConeOfThirtyDegreesIsTwoFrusta) {
  PressureCone cone = kCone;
  cone.tapped = false;
  cone.available = mm(1000);
  const Angle thirty = Angle::from_degrees(30);
  const LineLoad half = frustum_stiffness(mpa(72e3), mm(60), mm(18), mm(12));
  expect_near_share(pressure_cone_stiffness(cone, thirty).stiffness.si(), in_series({half, half}).si(), 1e-3);  // 0.5774, 1.155 are rounded
}

// Shigley example 8-2 (from memory), Mlbf/in.
TEST(BoltStiffness, ShigleyFrusta) {
  const auto inch = [](double v) { return v * parse<Length>("1 in").value(); };
  const auto mpsi = [](double v) { return Stress::from_si(v * 6894.757293e6); };
  const double mega = parse<Force>("1 lbf").value().si() * 1e6 / 0.0254;
  const LineLoad k1 = frustum_stiffness(mpsi(30), inch(0.5775 + 0.095), inch(0.75), inch(0.5));
  const LineLoad steel_top = frustum_stiffness(mpsi(30), inch(0.595), inch(0.75), inch(0.5));
  expect_near_share(steel_top.si() / mega, 30.80, 1e-3);
  const LineLoad k2 = frustum_stiffness(mpsi(14.5), inch(0.0775), inch(0.75 + 2 * 0.595 * 0.57735), inch(0.5));
  expect_near_share(k2.si() / mega, 285.5, 1e-3);
  const LineLoad k3 = frustum_stiffness(mpsi(14.5), inch(0.6725), inch(0.75), inch(0.5));
  expect_near_share(k3.si() / mega, 14.15, 1e-3);
  expect_near_share(in_series({steel_top, k2, k3}).si() / mega, 9.378, 1e-3);
  expect_near_share(in_series({k1, k1}).si() / mega, 14.64, 1e-3);
  expect_near_share(exponential_member_stiffness(MemberMaterial::kSteel, mpsi(30), inch(0.5), inch(1.345)).si() / mega, 14.92, 1e-3);
  const Area shank = Area::from_si(0.19635 * 0.0254 * 0.0254), tensile = Area::from_si(0.1599 * 0.0254 * 0.0254);
  expect_near_share(shank_and_thread_stiffness(mpsi(30), shank, inch(0.25), tensile, inch(1.095)).si() / mega, 3.69, 2e-3);
}

// Shigley example 8-4 (from memory): kb 5.21, km 8.95, C 0.368, nL 2.18, n0 3.80 with six bolts and 6 kip each.
TEST(BoltStiffness, ShigleySharedLoad) {
  const LineLoad kb = LineLoad::from_si(5.21e6), km = LineLoad::from_si(8.95e6);
  const double c = load_share(kb, km);
  expect_near_share(c, 0.368, 3e-3);
  const LoadedJoint joint = loaded_joint(Force::from_si(14.41e3), Force::from_si(6e3), c);
  expect_near_share(joint.separation_load.si() / 6e3, 3.80, 3e-3);
  EXPECT_FALSE(joint.separated);
  EXPECT_NEAR((joint.bolt - joint.clamp).si(), 6e3, 1e-9);
  EXPECT_TRUE(loaded_joint(Force::from_si(14.41e3), Force::from_si(30e3), c).separated);
}

// Bhandari, Design of Machine Elements, examples 7.16 and 7.17 (through the FOSSEE companion): core area from shared load.
TEST(BoltStiffness, BhandariCoreAreas) {
  const double kb = 207.0, kc = 71.0 * (2.0 * 2.0 - 1.0);
  const double share = load_share(LineLoad::from_si(kb), LineLoad::from_si(kc));
  EXPECT_NEAR(share, 0.492857, 1e-6);
  const LoadedJoint first = loaded_joint(Force::from_si(5e3), Force::from_si(10e3), share);
  const double stretched = 5e3 + share * 10e3;  // the book adds the shared load also where the parts would part
  EXPECT_NEAR(stretched / (380 / 2.5), 65.319549, 1e-6);
  EXPECT_TRUE(first.separated);
  const double second = load_share(LineLoad::from_si(1), LineLoad::from_si(2.5));
  EXPECT_NEAR(loaded_joint(Force::from_si(2.5e3), Force::from_si(5e3), second, 1).separation_load.si(), 2.5e3 / (1 - second), 1e-9);
  EXPECT_NEAR((2.5e3 + second * 5e3) / (400 / 2.5), 24.553571, 1e-6);
}

// NASA TM-106943 form: kb 200, kj 800 kN/mm, 100 mm, 1e-5/K, 80 K.
TEST(BoltStiffness, HeatTightensAndLoosens) {
  const LineLoad kb = LineLoad::from_si(200e6), kj = LineLoad::from_si(800e6);
  const HeatedLength part{Expansion::from_si(2e-5), mm(100), TemperatureDifference::from_si(80)};
  const HeatedLength bolt{Expansion::from_si(1e-5), mm(100), TemperatureDifference::from_si(80)};
  EXPECT_NEAR(heat_preload_change({part}, bolt, kb, kj).si(), 12800, 1e-6);
  const LineLoad ds = bolt_compliance(kHb11).stiffness(), dp = pressure_cone_stiffness(kCone).stiffness;
  const HeatedLength head{Expansion::from_si(21.5e-6), mm(120), TemperatureDifference::from_si(75)};
  const HeatedLength stud{Expansion::from_si(11.5e-6), mm(120), TemperatureDifference::from_si(65)};
  expect_near_share(heat_preload_change({head}, stud, ds, dp).si(), 10498, 1e-3);
  EXPECT_DOUBLE_EQ(embedding_depth(Length::from_si(6e-6), 2).si() * 1e6, 8.5);
  expect_near_share(embedding_loss(Length::from_si(8.5e-6), ds, dp).si(), 859.7, 1e-3);
}

// ---------------------------------------------------------------- torque and angle
TEST(TorqueAngle, ForLongBoltYieldsAndKeepsASet) {
  const LineLoad kb = bolt_compliance(kHb11).stiffness(), km = pressure_cone_stiffness(kCone).stiffness;
  // These reference figures use the straight-line form of the torque.
  const Force snug = preload_from_torque(kM11, {0.12, 0.12}, mm(15), q<Torque>("40 N.m"), TorqueForm::kNasa);
  expect_near_share(snug.si(), 21818, 2e-3);
  const Force yield = preload_at_yield(kM11, {0.12, 0.12}, mpa(940));
  expect_near_share(yield.si(), 60626, 1e-3);
  const TorqueAngle t = torque_angle(kM11, snug, Angle::from_degrees(180), kb, km, yield);
  expect_near_share(t.preload_per_degree_N, 421.42, 2e-3);
  expect_near_share(t.angle_to_yield.degrees(), 92.09, 2e-3);
  expect_near_share(t.permanent_set.si() * 1e3, 0.366, 2e-3);
  EXPECT_EQ(t.preload, yield);
}

TEST(TorqueAngle, StretchShorteningAndSetMakeUpTheTurn) {
  const LineLoad kb = LineLoad::from_si(125e6), km = LineLoad::from_si(500e6);
  for (const double degrees : {10.0, 60.0, 150.0, 400.0}) {
    const TorqueAngle t = torque_angle(kM11, {}, Angle::from_degrees(degrees), kb, km, kN(60));
    EXPECT_NEAR((t.bolt_stretch + t.parts_shorten + t.permanent_set).si(), degrees / 360 * kM11.pitch.si(), 1e-12);
  }
}

TEST(TorqueAngle, FrictionMovesTorqueFarMoreThanPreloadAtYield) {
  struct Row {
    double mu, kilonewton, newton_metre;
  };
  for (const Row& r : {Row{.08, 63.50, 82.67}, Row{.12, 60.63, 111.15}, Row{.16, 57.45, 135.86}}) {
    const Force yield = preload_at_yield(kM11, {r.mu, r.mu}, mpa(940));
    expect_near_share(yield.si() * 1e-3, r.kilonewton, 1e-3);
    expect_near_share(Nm(tightening_torque(kM11, {r.mu, r.mu}, mm(15), yield, TorqueForm::kNasa)), r.newton_metre, 1e-3);
  }
}

TEST(TorqueAngle, AStretchedBoltIsNeverUsedAgain) {
  const auto verdict = [](double measured, double uncertainty, bool single = false) {
    return reuse_decision(mm(measured), mm(150), mm(uncertainty), mm(120), {}, single).verdict;
  };
  EXPECT_EQ(verdict(150.40, 0.05), ReuseVerdict::kScrap);
  EXPECT_EQ(verdict(150.22, 0.05), ReuseVerdict::kUndecided);
  EXPECT_EQ(verdict(150.10, 0.05), ReuseVerdict::kUndecided);
  EXPECT_EQ(verdict(150.00, 0.05), ReuseVerdict::kReusable);
  EXPECT_EQ(verdict(150.00, 0.05, true), ReuseVerdict::kScrap);
  EXPECT_THROW((void)reuse_decision(mm(190), mm(150), mm(0.1), mm(120), {}, false), InputError);
}

}  // namespace
}  // namespace headjoint::clamp
