// Closed forms, evidence and refusals.
#include "headjoint/faces/flatness.h"

#include <gmock/gmock.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <random>
#include <vector>

#include "headjoint/base/error.h"
#include "headjoint/base/text.h"
#include "headjoint/faces/test_faces.h"

namespace headjoint::faces {
namespace {

using ::testing::ElementsAre;

constexpr double kClosedForm_mm = 1e-9;  // slopes below 1e-3 change square distances by less than 1e-7 of 0.1 mm
constexpr double kSlope_mm = 1e-7;       // where the closed form is a vertical distance and the plane is tilted
constexpr double kSixPlaces_mm = 5e-7;   // a reference figure printed with six decimals or significant digits

void expect_proved(const FacePoints& points, const MinimumZone& zone) {
  EXPECT_EQ(zone.status, ZoneStatus::kOptimal);
  const ZoneProof proof = prove_minimum_zone(points, zone);
  EXPECT_TRUE(proof.holds_all_points);
  EXPECT_TRUE(proof.contacts_touch);
  EXPECT_TRUE(proof.contacts_overlap);
  EXPECT_TRUE(proof.no_thinner_zone);
}

// ---- Closed forms (derivations: height h = 0.1 mm on faces of 400 x 150 mm and the like) ----

TEST(MinimumZone, SaddleOfFourCornersIsTwoHeightsAndNotFour) {  // a search of facets alone would say 4 h
  const auto zone = minimum_zone_flatness(saddle4());
  EXPECT_NEAR(mm(zone.flatness), 2 * kHeight_mm, kClosedForm_mm);
  EXPECT_EQ(zone.contact, ContactKind::kTwoTwo);
  EXPECT_THAT(zone.upper, ElementsAre(0, 2));
  EXPECT_THAT(zone.lower, ElementsAre(1, 3));
  expect_proved(saddle4(), zone);
  EXPECT_NEAR(mm(least_squares_flatness(saddle4()).peak_to_valley), 2 * kHeight_mm, kClosedForm_mm);
}

TEST(LeastSquares, PyramidStandsOnAFifthOfItsHeight) {
  const auto flatness = least_squares_flatness(pyramid5());
  EXPECT_NEAR(mm(flatness.peak_to_reference), 0.8 * kHeight_mm, kClosedForm_mm);
  EXPECT_NEAR(mm(flatness.reference_to_valley), 0.2 * kHeight_mm, kClosedForm_mm);
  EXPECT_NEAR(mm(flatness.root_mean_square), 0.4 * kHeight_mm, kClosedForm_mm);
  EXPECT_NEAR(mm(flatness.peak_to_valley), kHeight_mm, kClosedForm_mm);
}

TEST(MinimumZone, BowIsItsSag) {
  const auto bow = grid(9, 3, 400, 150, [](double x, double) { return -4 * kHeight_mm * (x / 400) * (1 - x / 400); });
  const auto zone = minimum_zone_flatness(bow);
  EXPECT_NEAR(mm(zone.flatness), kHeight_mm, kClosedForm_mm);
  EXPECT_NEAR(mm(least_squares_flatness(bow).peak_to_valley), kHeight_mm, kClosedForm_mm);
  EXPECT_EQ(zone.upper_touch.size(), 6U);  // both ends
  EXPECT_EQ(zone.lower_touch.size(), 3U);  // the middle row
  expect_proved(bow, zone);
}

TEST(MinimumZone, TwistIsTwiceItsCornerHeight) {
  const auto twist = grid(9, 5, 400, 150, [](double x, double y) { return kHeight_mm * (2 * x / 400 - 1) * (2 * y / 150 - 1); });
  const auto zone = minimum_zone_flatness(twist);
  EXPECT_NEAR(mm(zone.flatness), 2 * kHeight_mm, kClosedForm_mm);
  EXPECT_NEAR(mm(least_squares_flatness(twist).peak_to_valley), 2 * kHeight_mm, kClosedForm_mm);
  expect_proved(twist, zone);
}

TEST(MinimumZone, OneHighCornerOfNinePointsIsThreeQuarters) {
  const auto corner = grid(3, 3, 400, 150, [](double x, double y) { return x + y == 0 ? kHeight_mm : 0; });
  const auto zone = minimum_zone_flatness(corner);
  EXPECT_NEAR(mm(zone.flatness), 0.75 * kHeight_mm, kSlope_mm);
  EXPECT_NEAR(mm(least_squares_flatness(corner).peak_to_valley), 5 * kHeight_mm / 6, kSlope_mm);
  EXPECT_EQ(zone.contact, ContactKind::kTwoTwo);
  EXPECT_THAT(zone.upper, ElementsAre(0, 8));
  EXPECT_THAT(zone.lower, ElementsAre(1, 3));
  expect_proved(corner, zone);
}

TEST(MinimumZone, RampIsTwoThirds) {
  const auto ramp = grid(4, 2, 300, 150, [](double x, double) { return x == 300 ? kHeight_mm : 0; });
  const auto zone = minimum_zone_flatness(ramp);
  EXPECT_NEAR(mm(zone.flatness), 2 * kHeight_mm / 3, kSlope_mm);
  EXPECT_NEAR(mm(least_squares_flatness(ramp).peak_to_valley), 0.7 * kHeight_mm, kSlope_mm);
  expect_proved(ramp, zone);
}

TEST(MinimumZone, HighPointOverATriangleIsHeldByThreeAndOne) {
  FacePoints points;
  add(points, 0, 0, 0);
  add(points, 400, 0, 0);
  add(points, 100, 150, 0);
  add(points, 140, 30, kHeight_mm);
  add(points, 160, 40, kHeight_mm / 2);
  const auto zone = minimum_zone_flatness(points);
  EXPECT_NEAR(mm(zone.flatness), kHeight_mm, kClosedForm_mm);
  EXPECT_NEAR(mm(least_squares_flatness(points).peak_to_valley), 0.109006, kSixPlaces_mm);
  EXPECT_EQ(zone.contact, ContactKind::kOneThree);
  EXPECT_THAT(zone.upper, ElementsAre(3));
  EXPECT_THAT(zone.lower, ElementsAre(0, 1, 2));
  expect_proved(points, zone);
}

TEST(MinimumZone, TiltOfThirtyDegreesChangesNothing) {
  const auto tilted = turned_about_x(pyramid5(), 30);
  const auto zone = minimum_zone_flatness(tilted);
  EXPECT_NEAR(mm(zone.flatness), kHeight_mm, kRounding_mm);
  EXPECT_NEAR(mm(least_squares_flatness(tilted).peak_to_valley), kHeight_mm, kRounding_mm);
  expect_proved(tilted, zone);
}

TEST(MinimumZone, HeadOf147PointsMeetsItsReferenceFigures) {
  const auto head = grid(21, 7, 420, 180, [](double x, double y) {
    const double z = 0.06 * 4 * (x / 420) * (1 - x / 420) - 0.03 * (2 * x / 420 - 1) * (2 * y / 180 - 1) +
                     0.008 * std::sin(0.11 * x) * std::cos(0.07 * y);
    return std::round(z * 1e6) / 1e6;
  });
  const auto zone = minimum_zone_flatness(head);
  EXPECT_NEAR(mm(zone.flatness), 0.0962475, kSlope_mm);
  EXPECT_NEAR(mm(least_squares_flatness(head).peak_to_valley), 0.100058113, kSlope_mm);
  expect_proved(head, zone);
}

TEST(MinimumZone, TenThousandPointsMeetTheirReferenceFigures) {
  FacePoints points;
  const auto fraction = [](double v) { return v - std::floor(v); };
  for (int i = 0; i < 10'000; ++i) {
    const double x = 420 * fraction(0.6180339887498949 * i);
    const double y = 180 * fraction(0.7548776662466927 * i);
    add(points, x, y, 0.03 * std::sin(12.9898 * i) + 0.05 * (x / 420 - 0.5) * (x / 420 - 0.5) + 0.0001 * x);
  }
  const auto zone = minimum_zone_flatness(points);
  EXPECT_NEAR(mm(zone.flatness), 0.0723664, kSixPlaces_mm / 10);
  EXPECT_NEAR(mm(least_squares_flatness(points).peak_to_valley), 0.0725522, kSixPlaces_mm / 10);
  expect_proved(points, zone);
}

TEST(MinimumZone, RingsRoundFourBoresOfASaddleAreSymmetric) {  // both planes hold at both ends: LSPL = MZPL
  FacePoints points;
  for (int bore = 0; bore < 4; ++bore) {
    for (int k = 0; k < 8; ++k) {
      const double x = 50 + 95 * bore + 46 * std::cos(k * M_PI / 4);
      const double y = 75 + 46 * std::sin(k * M_PI / 4);
      add(points, x, y, 1e-6 * (x - 192.5) * (x - 192.5) - 4e-6 * (y - 75) * (y - 75));
    }
  }
  const auto zone = minimum_zone_flatness(points);
  EXPECT_NEAR(mm(zone.flatness), mm(least_squares_flatness(points).peak_to_valley), kClosedForm_mm);
  expect_proved(points, zone);
}

// ---- Evidence and doubt ----

TEST(ZoneProof, RejectsAZoneThatIsNotTheThinnest) {
  const auto face = saddle4();
  MinimumZone wrong = minimum_zone_flatness(face);
  std::swap(wrong.upper, wrong.lower);
  std::swap(wrong.upper_touch, wrong.lower_touch);
  EXPECT_FALSE(prove_minimum_zone(face, wrong).contacts_touch);

  MinimumZone thin = minimum_zone_flatness(face);
  thin.flatness = 0.9 * thin.flatness;
  EXPECT_FALSE(prove_minimum_zone(face, thin).holds_all_points);
}

TEST(ZoneProof, RejectsContactsThatDoNotOverlap) {  // a zone that a tilt would thin: one end high, one end low
  const auto slope = grid(3, 3, 100, 80, [](double x, double) { return x / 1000; });
  MinimumZone flat;
  flat.flatness = Length::from_si(0.1e-3);
  flat.mid_plane = {{50, 40, 0.05}, {0, 0, 1}};
  flat.upper = flat.upper_touch = {6, 7, 8};
  flat.lower = flat.lower_touch = {0, 1, 2};
  const auto proof = prove_minimum_zone(slope, flat);
  EXPECT_TRUE(proof.holds_all_points);
  EXPECT_TRUE(proof.contacts_touch);
  EXPECT_FALSE(proof.contacts_overlap);
  EXPECT_FALSE(proof.no_thinner_zone);
}

TEST(MinimumZone, HundredsOfCoplanarPointsWithOneSpeckShowTheSpeck) {
  auto plate = grid(30, 20, 400, 150, [](double, double) { return 0.0; });
  plate.z_mm[315] = 0.07;
  const auto zone = minimum_zone_flatness(plate);
  EXPECT_NEAR(mm(zone.flatness), 0.07, kClosedForm_mm);
  EXPECT_THAT(zone.upper_touch, ElementsAre(315));
  EXPECT_EQ(zone.lower_touch.size(), 599U);
  expect_proved(plate, zone);
  const auto left = flatness_without_each_contact(plate, zone);
  ASSERT_FALSE(left.empty());
  EXPECT_EQ(left.front().point, 315U);
  EXPECT_NEAR(mm(left.front().flatness), 0, kRounding_mm);
}

TEST(MinimumZone, PointsInOnePlaneAreFlatWithoutContacts) {
  const auto plate = grid(12, 5, 400, 150, [](double x, double y) { return 0.001 * x - 0.002 * y; });
  const auto zone = minimum_zone_flatness(plate);
  EXPECT_EQ(zone.status, ZoneStatus::kOptimal);
  EXPECT_NEAR(mm(zone.flatness), 0, kRounding_mm);
  EXPECT_EQ(zone.contact, ContactKind::kNone);
}

TEST(MinimumZone, SaysWhenSeveralZonesAreEquallyThin) {  // one place measured twice: any tilt about it is as good
  FacePoints points = grid(2, 2, 400, 150, [](double, double) { return 0.05; });
  add(points, 200, 75, 0);
  add(points, 200, 75, 0.1);
  const auto zone = minimum_zone_flatness(points);
  EXPECT_EQ(zone.status, ZoneStatus::kDegenerate);
  EXPECT_NEAR(mm(zone.flatness), 0.1, 1e-6);
  EXPECT_LE(zone.at_least, zone.flatness);
  EXPECT_NEAR(mm(zone.at_least), 0.1, 1e-6);
}

TEST(Flatness, RefusesWhatHasNoFlatness) {
  FacePoints three;
  for (const double x : {0.0, 100.0, 50.0}) add(three, x, x == 50 ? 80 : 0, 0.01);
  EXPECT_THROW((void)minimum_zone_flatness(three), InputError);
  EXPECT_THROW((void)least_squares_flatness(three), InputError);
  EXPECT_THROW((void)minimum_zone_flatness({}), InputError);

  FacePoints line;
  for (int i = 0; i < 9; ++i) add(line, 40 * i, 10 * i, 0.01 * (i % 3));
  EXPECT_THROW((void)minimum_zone_flatness(line), InputError);

  FacePoints twice = three;
  add(twice, 0, 0, 0.01);
  EXPECT_THROW((void)minimum_zone_flatness(twice), InputError);

  FacePoints one_place;
  for (int i = 0; i < 9; ++i) add(one_place, 5, 5, 0.01 * i);
  EXPECT_THROW((void)minimum_zone_flatness(one_place), InputError);
}

TEST(Flatness, RefusesWhatIsNoNumber) {
  for (const double bad : {std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::infinity(), 1e300}) {
    for (int axis = 0; axis < 3; ++axis) {
      FacePoints points = pyramid5();
      (axis == 0 ? points.x_mm : axis == 1 ? points.y_mm : points.z_mm)[2] = bad;
      EXPECT_THROW((void)minimum_zone_flatness(points), InputError) << bad << " axis " << axis;
      EXPECT_THROW((void)least_squares_flatness(points), InputError) << bad << " axis " << axis;
    }
  }
}

}  // namespace
}  // namespace headjoint::faces
