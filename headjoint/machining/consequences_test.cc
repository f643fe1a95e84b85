#include "headjoint/machining/consequences.h"

#include <algorithm>
#include <cmath>

#include "headjoint/base/error.h"
#include "headjoint/machining/test_engines.h"

namespace headjoint::machining {
namespace {

constexpr double kSixDigits = 1e-6;
constexpr double kSame = 1e-9;

Cut cut_of(double head, double deck = 0) {
  Cut cut;
  cut.head = mm(head);
  cut.deck = mm(deck);
  return cut;
}

Cut with_gasket(Cut cut, double gasket) {
  cut.gasket_thickness = mm(gasket);
  return cut;
}

Consequences square_four(const Cut& cut) { return consequences_of(engine_of(kSquareFour), cut); }

Consequence line(const Consequences& all, Matter matter) {
  const Consequence* found = all.find(matter);
  EXPECT_NE(found, nullptr) << word_of(matter);
  return found == nullptr ? Consequence{} : *found;
}

bool names(const std::vector<std::string>& list, const std::string& part) {
  return std::any_of(list.begin(), list.end(), [&](const std::string& one) { return one.find(part) != std::string::npos; });
}

TEST(Consequences, OfTheWorkedExampleComeOut) {
  const Consequences after = square_four(cut_of(0.30));
  EXPECT_NEAR(*line(after, Matter::kCompressionRatio).before, 10.029823, kSixDigits);
  EXPECT_NEAR(*line(after, Matter::kCompressionRatio).after, 10.291834, kSixDigits);
  EXPECT_NEAR(*line(after, Matter::kCompressionRatio).gasket_that_restores_mm, 0.962420, kSixDigits);
  EXPECT_NEAR(*line(after, Matter::kSquish).after, 0.90, kSame);
  EXPECT_NEAR(after.timing->cam.degrees(), 0.298967, kSixDigits);
  EXPECT_NEAR(after.timing->crank.degrees(), 0.597934, 2 * kSixDigits);
  EXPECT_NEAR(*line(after, Matter::kIntakeClosingRatio).before, 8.820815, kSixDigits);
  EXPECT_NEAR(*line(after, Matter::kIntakeClosingRatio).after, 9.017703, 2e-4) << "worked with 0.6 degrees, here 0.597934";
  EXPECT_NEAR(*line(after, Matter::kHeadHeight).after, 119.7, kSame);
  const Consequences deck = square_four(cut_of(0, 0.20));
  EXPECT_NEAR(*line(deck, Matter::kCompressionRatio).after, 10.223513, kSixDigits);
  EXPECT_NEAR(*line(deck, Matter::kSquish).after, 0.70, kSame);
  EXPECT_EQ(line(deck, Matter::kSquish).verdict, Verdict::kOutOfLimit);
  EXPECT_NEAR(*line(deck, Matter::kSquish).gasket_that_is_enough_mm, 0.80, kSixDigits);
  EXPECT_NEAR(*line(deck, Matter::kSquish).gasket_that_restores_mm, 0.90, kSixDigits);
}

TEST(Consequences, OfTheValveExampleComeOut) {
  const Consequences after = square_four(cut_of(0.30));
  const Consequence in = line(after, Matter::kIntakeGap);
  const Consequence out = line(after, Matter::kExhaustGap);
  EXPECT_NEAR(*in.before, 2.04096, 1e-4);
  EXPECT_NEAR(*in.at_deg_before, 1.814, 0.01);
  EXPECT_NEAR(*in.after_with_cam_set_back, 1.74096, 1e-4);
  EXPECT_NEAR(*out.before, 2.12028, 1e-4);
  EXPECT_NEAR(*out.after_with_cam_set_back, 1.82028, 1e-4);
  EXPECT_GT(*in.after, *in.after_with_cam_set_back) << "a later cam keeps the intake valve away";
  EXPECT_LT(*out.after, *out.after_with_cam_set_back) << "and brings the exhaust valve nearer";
}

TEST(Consequences, AreNoneWithoutACut) {
  for (const Consequence& one : square_four(cut_of(0)).lines) {
    if (!one.before) continue;
    EXPECT_EQ(*one.before, *one.after) << word_of(one.matter);
    EXPECT_FALSE(one.gasket_that_restores_mm) << word_of(one.matter);
  }
}

TEST(Consequences, ComeBackWithAGasketThickerByTheCutExceptAtSquish) {
  const Consequences after = square_four(with_gasket(cut_of(0.30), 1.00));
  EXPECT_NEAR(in_mm(after.lowered), 0, kSame);
  for (const Matter matter : {Matter::kIntakeGap, Matter::kExhaustGap, Matter::kCamTiming, Matter::kTensionerTakeUp})
    EXPECT_NEAR(*line(after, matter).before, *line(after, matter).after, kSame) << word_of(matter);
  EXPECT_NEAR(*line(after, Matter::kCompressionRatio).after, 9.993506, kSixDigits);
  EXPECT_NEAR(*line(after, Matter::kSquish).after, 1.20, kSame) << "the cut left squish as it was: the gasket adds to it";
}

TEST(Consequences, AreRestoredByTheGasketTheyName) {
  for (const Consequence& one : square_four(cut_of(0.25, 0.10)).lines) {
    if (!one.gasket_that_restores_mm) continue;
    const Consequences again = square_four(with_gasket(cut_of(0.25, 0.10), *one.gasket_that_restores_mm));
    EXPECT_NEAR(*line(again, one.matter).after, *one.before, 1e-6) << word_of(one.matter);
  }
}

TEST(Consequences, OfADeckCutAndAHeadCutShiftValvesAndTimingAlike) {
  const Consequences head = square_four(cut_of(0.2)), deck = square_four(cut_of(0, 0.2));
  for (const Matter matter : {Matter::kIntakeGap, Matter::kExhaustGap, Matter::kCamTiming, Matter::kDowelSpace, Matter::kBoltEndSpace})
    EXPECT_NEAR(*line(head, matter).after, *line(deck, matter).after, kSame) << word_of(matter);
}

/// Slopes at no cut: what each matter loses for each millimetre of head.
TEST(Consequences, StartWithTheSlopeOfTheirIdentity) {
  const double step = 1e-4;
  const Consequences after = square_four(cut_of(step));
  const auto slope = [&](Matter matter) { return (*line(after, matter).after - *line(after, matter).before) / step; };
  const double clearance = 55.323036, swept = 499.557214;  // cm3
  EXPECT_NEAR(slope(Matter::kCompressionRatio), swept / (clearance * clearance) * 5.2, 1e-4) << "area times depth: 5.2 cm3 a mm";
  EXPECT_NEAR(slope(Matter::kHeadHeight), -1, 1e-9);
  EXPECT_NEAR(slope(Matter::kDowelSpace), -1, 1e-9);
  EXPECT_NEAR(slope(Matter::kBoltEndSpace), -1, 1e-9);
  EXPECT_NEAR(slope(Matter::kSquish), 0, 1e-9);
  const double strand = std::asin((57.3 - 28.6) / 350);
  EXPECT_NEAR(slope(Matter::kCamTiming), std::cos(strand) / 57.3 * 180 / 3.14159265358979, 1e-5);
}

TEST(Consequences, NameTheMissingFigure) {
  const std::string without_area = with_line(kSquareFour, "face_area = \"5200 mm2\"", "");
  const Consequences after = consequences_of(engine_of(without_area), cut_of(0.3));
  EXPECT_EQ(line(after, Matter::kCompressionRatio).verdict, Verdict::kCannotSay);
  EXPECT_TRUE(names(line(after, Matter::kCompressionRatio).missing, "chamber.face_area"));
  EXPECT_EQ(line(consequences_of(engine_of(without_area), cut_of(0, 0.1)), Matter::kCompressionRatio).verdict, Verdict::kOk)
      << "a deck cut does not ask for the chamber's opening";
  const Consequences bare = consequences_of(engine_of("format = 1\nname = \"bare\"\n[engine]\ncylinders = 4\n"), cut_of(0.3));
  for (const Consequence& one : bare.lines)
    EXPECT_TRUE(one.verdict == Verdict::kCannotSay || one.verdict == Verdict::kNoLimit) << word_of(one.matter);
  EXPECT_TRUE(names(line(bare, Matter::kIntakeGap).missing, "valves.intake.gap_at_dead_centre"));
}

TEST(Consequences, NameTheFiguresTheyAssume) {
  const Consequences after = square_four(cut_of(0.3));
  EXPECT_TRUE(names(line(after, Matter::kIntakeGap).assumed, "valves.intake.angle (not given: 0 deg taken)"));
  const std::string guessed = with_line(kSquareFour, "volume = \"47.0 cm3\"", "volume = { value = \"47.0 cm3\", status = \"assumed\" }");
  EXPECT_TRUE(names(line(consequences_of(engine_of(guessed), cut_of(0.3)), Matter::kCompressionRatio).assumed, "chamber.volume"));
  EXPECT_TRUE(line(after, Matter::kCompressionRatio).assumed.empty());
}

TEST(Consequences, SayNearTheLimitWhenTheDigitsDoNotReach) {
  EXPECT_EQ(line(square_four(cut_of(0.20)), Matter::kHeadHeight).verdict, Verdict::kOk);
  EXPECT_EQ(line(square_four(cut_of(0.39)), Matter::kHeadHeight).verdict, Verdict::kNearLimit);
  EXPECT_EQ(line(square_four(cut_of(0.40)), Matter::kHeadHeight).verdict, Verdict::kNearLimit) << "exactly at the limit is inside";
  EXPECT_EQ(line(square_four(cut_of(0.45)), Matter::kHeadHeight).verdict, Verdict::kOutOfLimit);
  EXPECT_EQ(line(square_four(cut_of(0.30)), Matter::kIntakeClosingRatio).verdict, Verdict::kNoLimit);
}

TEST(Consequences, GiveABandFromTheDigitsTyped) {
  // Height 120.0 mm: 0.05 either way; cut 0.02 either way; uniform, added by squares, k = 2.
  EXPECT_NEAR(line(square_four(cut_of(0.3)), Matter::kHeadHeight).band, 2 / std::sqrt(3.0) * std::hypot(0.05, 0.02), 1e-9);
  const Consequence squish = line(square_four(cut_of(0.3)), Matter::kSquish);
  EXPECT_NEAR(squish.band, 2 / std::sqrt(3.0) * std::hypot(0.005, 0.005), 1e-9) << "deck clearance and gasket: 0.005 each; no deck cut";
}

TEST(Consequences, UseTheStatedRatioWhenTheVolumesAreNotThere) {
  std::string text = with_line(kSquareFour, "volume = \"47.0 cm3\"", "");
  text = with_line(text, "intake_closes = \"50 deg\"", "compression_ratio = 10.029823");
  const Consequence ratio = line(consequences_of(engine_of(text), cut_of(0.3)), Matter::kCompressionRatio);
  EXPECT_NEAR(*ratio.before, 10.029823, kSixDigits);
  EXPECT_NEAR(*ratio.after, 10.291834, kSixDigits);
}

TEST(Consequences, SayWhenVolumesAndStatedRatioDisagree) {
  const std::string text = with_line(kSquareFour, "intake_closes = \"50 deg\"", "compression_ratio = 9.5");
  EXPECT_EQ(consequences_of(engine_of(text), cut_of(0.3)).ratio_stated, 9.5);
  EXPECT_FALSE(square_four(cut_of(0.3)).ratio_stated);
}

TEST(Consequences, OfAPushrodEngine) {
  std::string text = with_line(kSquareFour, "drive = \"overhead_cam\"", "drive = \"pushrod\"\nrocker_ratio = 1.5");
  const Consequences solid = consequences_of(engine_of(text), cut_of(0.1));
  EXPECT_EQ(solid.find(Matter::kCamTiming), nullptr) << "the cam is in the block";
  EXPECT_NEAR(in_mm(*solid.lash_change), -0.15, kSame);
  EXPECT_NEAR(*line(solid, Matter::kIntakeLash).after, 0.05, kSame);
  EXPECT_EQ(line(solid, Matter::kIntakeLash).verdict, Verdict::kOutOfLimit);
  text = with_line(text, "hydraulic = false", "hydraulic = true\nlifter_preload = \"1.0 mm\"");
  const Consequences hydraulic = consequences_of(engine_of(text), cut_of(0.1));
  EXPECT_NEAR(in_mm(*hydraulic.preload_change), 0.1, kSame);
  EXPECT_NEAR(*line(hydraulic, Matter::kLifterPreload).after, 1.1, kSame);
  EXPECT_FALSE(hydraulic.lash_change);
}

TEST(Consequences, OfAnOverheadCamSayNothingOfALashThatNobodyMeasured) {
  const std::string text = with_line(kSquareFour, "lash = \"0.20 mm\"", "");
  const Consequences after = consequences_of(engine_of(text), cut_of(0.1));
  EXPECT_EQ(after.find(Matter::kIntakeLash), nullptr);
  EXPECT_EQ(in_mm(*after.lash_change), 0) << "the cam rides on the head";
}

TEST(Consequences, OfAVee) {
  const std::string text = with_line(with_line(kSquareFour, "cylinders = 4", "cylinders = 4\nlayout = \"vee\"\nvee_angle = \"90 deg\""),
                                     "least_height = \"119.6 mm\"", "intake_face_lean = \"10 deg\"");
  const Consequences after = consequences_of(engine_of(text), cut_of(1));
  EXPECT_NEAR(*line(after, Matter::kIntakeFaceCut).after, 1.232803, kSixDigits);
  EXPECT_NEAR(*line(after, Matter::kEndRailCut).after, 1.716960, kSixDigits);
  EXPECT_EQ(square_four(cut_of(1)).find(Matter::kIntakeFaceCut), nullptr);
}

TEST(Consequences, OfPistonsThatStandProud) {
  const std::string grades =
      "[[gasket.grade]]\nmark = \"A\"\nthickness = \"0.70 mm\"\nprotrusion_least = \"0.20 mm\"\nprotrusion_most = \"0.32 mm\"\n"
      "[[gasket.grade]]\nmark = \"B\"\nthickness = \"0.80 mm\"\nprotrusion_least = \"0.32 mm\"\nprotrusion_most = \"0.44 mm\"\n";
  const std::string text =
      with_line(with_line(kSquareFour, "deck_clearance = \"0.20 mm\"", "deck_clearance = \"-0.25 mm\""), "[bolts]", grades + "[bolts]");
  const Consequences after = consequences_of(engine_of(text), cut_of(0, 0.10));
  EXPECT_NEAR(*line(after, Matter::kPistonProtrusion).after, 0.35, kSame);
  EXPECT_EQ(line(after, Matter::kPistonProtrusion).verdict, Verdict::kOutOfLimit) << "grade A ends at 0.32";
  ASSERT_TRUE(after.grade);
  EXPECT_EQ(after.grade->index, 1U);
  Cut measured = cut_of(0, 0.10);
  measured.protrusions = {mm(0.20), mm(0.21)};
  EXPECT_NEAR(*line(consequences_of(engine_of(text), measured), Matter::kPistonProtrusion).after, 0.31, kSame);
}

TEST(Consequences, AddEarlierCuts) {
  const std::string text = with_line(kSquareFour, "least_height = \"119.6 mm\"", "removed_before = \"0.25 mm\"");
  const Consequences after = consequences_of(engine_of(text), cut_of(0.2));
  EXPECT_NEAR(*line(after, Matter::kHeadRemoved).after, 0.45, kSame);
  EXPECT_EQ(line(after, Matter::kHeadRemoved).verdict, Verdict::kOutOfLimit);
}

TEST(Consequences, OfACutThatLeavesNoRoomAreOutOfLimitInWords) {
  const std::string text = with_line(kSquareFour, "volume = \"47.0 cm3\"", "volume = \"4 cm3\"");
  const Consequence ratio = line(consequences_of(engine_of(text), cut_of(5)), Matter::kCompressionRatio);
  EXPECT_EQ(ratio.verdict, Verdict::kOutOfLimit);
  EXPECT_FALSE(ratio.after);
  EXPECT_NE(ratio.fault.find("no room"), std::string::npos);
}

TEST(Consequences, RefuseACutThatIsNone) {
  EXPECT_THROW((void)square_four(cut_of(-0.1)), InputError);
  EXPECT_THROW((void)square_four(cut_of(0, 30)), InputError);
  EXPECT_THROW((void)square_four(cut_of(std::nan(""))), InputError);
  EXPECT_THROW((void)square_four(with_gasket(cut_of(0.1), 0)), InputError);
}

TEST(Consequences, HaveAWordEach) {
  EXPECT_EQ(word_of(Matter::kLinerProtrusion), "liner_protrusion");
  EXPECT_EQ(word_of(Matter::kIntakeLash), "intake_lash");
  EXPECT_EQ(word_of(Verdict::kNoLimit), "no_limit");
}

}  // namespace
}  // namespace headjoint::machining
