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

namespace headjoint::faces {
namespace {

using ::testing::ElementsAre;

constexpr double kHeight_mm = 0.1;       // h of the closed forms
constexpr double kClosedForm_mm = 1e-9;  // slopes below 1e-3 change square distances by less than 1e-7 of 0.1 mm
constexpr double kSlope_mm = 1e-7;       // where the closed form is a vertical distance and the plane is tilted
constexpr double kSixPlaces_mm = 5e-7;   // a reference figure printed with six decimals or significant digits
constexpr double kRounding_mm = 1e-11;   // coordinates of 500 mm in double precision
constexpr double kHalfSquareOfSlope = 1e-5;
constexpr double kRelativeRounding = 1e-9;

double mm(Length length) { return length.si() * 1e3; }

void add(FacePoints& points, double x, double y, double z) {
  points.x_mm.push_back(x);
  points.y_mm.push_back(y);
  points.z_mm.push_back(z);
}

template <class Height>
FacePoints grid(int columns, int rows, double length, double width, Height height) {
  FacePoints points;
  for (int i = 0; i < columns; ++i) {
    for (int j = 0; j < rows; ++j) {
      const double x = length * i / (columns - 1);
      const double y = width * j / (rows - 1);
      add(points, x, y, height(x, y));
    }
  }
  return points;
}

FacePoints saddle4() {
  FacePoints points;
  add(points, 0, 0, kHeight_mm);
  add(points, 400, 0, -kHeight_mm);
  add(points, 400, 150, kHeight_mm);
  add(points, 0, 150, -kHeight_mm);
  return points;
}

FacePoints pyramid5() {
  FacePoints points;
  for (const double x : {0.0, 400.0})
    for (const double y : {0.0, 150.0}) add(points, x, y, 0);
  add(points, 200, 75, kHeight_mm);
  return points;
}

FacePoints turned_about_x(FacePoints points, double degrees) {
  const double c = std::cos(degrees * M_PI / 180);
  const double s = std::sin(degrees * M_PI / 180);
  for (std::size_t i = 0; i < points.size(); ++i) {
    const double y = points.y_mm[i];
    const double z = points.z_mm[i];
    points.y_mm[i] = c * y - s * z;
    points.z_mm[i] = s * y + c * z;
  }
  return points;
}

FacePoints random_face(std::mt19937& random, int count, double length, double width, double height) {
  std::uniform_real_distribution<double> u(0, 1);
  FacePoints points;
  for (int i = 0; i < count; ++i) {
    const double x = length * u(random);
    const double y = width * u(random);
    add(points, x, y, height * u(random));
  }
  return points;
}

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

// ---- Exhaustive search on small sets ----

/// Least width among all planes through three points (with the farthest point) and all pairs of lines through two points each, that hold
/// all points: the contacts a thinnest zone can have.
double least_width_of_all(const FacePoints& points, double steepest) {
  const std::size_t n = points.size();
  using V = std::array<double, 3>;
  const auto at = [&](std::size_t i) { return V{points.x_mm[i], points.y_mm[i], points.z_mm[i]}; };
  const auto minus = [](const V& a, const V& b) { return V{a[0] - b[0], a[1] - b[1], a[2] - b[2]}; };
  const auto width_along = [&](const V& a, const V& b) {
    V d{a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]};
    const double length = std::sqrt(d[0] * d[0] + d[1] * d[1] + d[2] * d[2]);
    if (!(length > 1e-9) || std::abs(d[2]) < steepest * length) return std::numeric_limits<double>::infinity();
    double low = std::numeric_limits<double>::infinity();
    double high = -low;
    for (std::size_t i = 0; i < n; ++i) {
      const V p = minus(at(i), at(0));
      const double s = (d[0] * p[0] + d[1] * p[1] + d[2] * p[2]) / length;
      low = std::min(low, s);
      high = std::max(high, s);
    }
    return high - low;
  };
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < n; ++i)
    for (std::size_t j = i + 1; j < n; ++j)
      for (std::size_t k = i; k < n; ++k)
        for (std::size_t l = k + 1; l < n; ++l) least = std::min(least, width_along(minus(at(j), at(i)), minus(at(l), at(k))));
  return least;  // k = i gives the planes through three points
}

void expect_least_of_all(const FacePoints& points, const std::string& trace) {
  SCOPED_TRACE(trace);
  const double brute = least_width_of_all(points, 0.5);
  const auto zone = minimum_zone_flatness(points);
  ASSERT_THAT(zone.status, ::testing::AnyOf(ZoneStatus::kOptimal, ZoneStatus::kDegenerate));
  EXPECT_LE(mm(zone.at_least), brute + kRounding_mm);
  EXPECT_GE(mm(zone.flatness), brute - kRounding_mm);
  if (zone.status == ZoneStatus::kOptimal) {
    EXPECT_NEAR(mm(zone.flatness), brute, kRounding_mm);
  }
  EXPECT_NEAR(mm(zone.flatness), brute, 1e-5 * brute + kRounding_mm);
  EXPECT_LE(mm(zone.flatness), mm(least_squares_flatness(points).peak_to_valley) + kRounding_mm);
}

TEST(MinimumZone, IsTheLeastOfAllContactsOnRandomSets) {
  for (unsigned seed = 1; seed <= 500; ++seed) {
    std::mt19937 random(seed);
    const int count = 4 + static_cast<int>(seed % 6);
    expect_least_of_all(random_face(random, count, 400, 150, 0.2), "seed " + std::to_string(seed));
  }
}

TEST(MinimumZone, IsTheLeastOfAllContactsOnGridsFullOfTies) {
  int degenerate = 0;
  for (unsigned seed = 1; seed <= 500; ++seed) {
    std::mt19937 random(seed);
    std::uniform_int_distribution<int> step(0, 2);
    const auto face = grid(3, 3, 100, 80, [&](double, double) { return 0.01 * step(random); });
    expect_least_of_all(face, "seed " + std::to_string(seed));
    degenerate += minimum_zone_flatness(face).status == ZoneStatus::kDegenerate ? 1 : 0;
  }
  RecordProperty("degenerate", degenerate);
}

TEST(MinimumZone, IsTheLeastOfAllContactsOnScatteredIntegerPoints) {
  for (unsigned seed = 1; seed <= 500; ++seed) {
    std::mt19937 random(seed);
    std::uniform_int_distribution<int> side(0, 3);
    std::uniform_int_distribution<int> step(0, 3);
    FacePoints points;
    for (int i = 0; i < 8; ++i) {
      const double x = 50 * side(random);
      const double y = 50 * side(random);
      add(points, x, y, 0.01 * step(random));
    }
    for (const double x : {0.0, 150.0}) add(points, x, x == 0 ? 150 : 0, 0.01 * step(random));
    try {
      expect_least_of_all(points, "seed " + std::to_string(seed));
    } catch (const InputError&) {
      ADD_FAILURE() << "refused, seed " << seed;
    }
  }
}

// ---- What must not matter ----

class AnyFace : public ::testing::TestWithParam<unsigned> {
 protected:
  void SetUp() override {
    random_.seed(GetParam());
    face_ = random_face(random_, 60, 420, 180, 0.3);
    flatness_ = mm(minimum_zone_flatness(face_).flatness);
    squares_ = mm(least_squares_flatness(face_).peak_to_valley);
  }

  void expect_same(const FacePoints& other, double scale = 1) {
    const auto zone = minimum_zone_flatness(other);
    EXPECT_EQ(zone.status, ZoneStatus::kOptimal);
    EXPECT_NEAR(mm(zone.flatness), scale * flatness_, kRelativeRounding * scale * flatness_);
    EXPECT_NEAR(mm(least_squares_flatness(other).peak_to_valley), scale * squares_, kRelativeRounding * scale * squares_);
  }

  template <class Change>
  FacePoints changed(Change change) const {
    FacePoints other = face_;
    for (std::size_t i = 0; i < other.size(); ++i) change(other.x_mm[i], other.y_mm[i], other.z_mm[i]);
    return other;
  }

  std::mt19937 random_;
  FacePoints face_;
  double flatness_ = 0;
  double squares_ = 0;
};

TEST_P(AnyFace, KeepsItsFlatnessWhenThePointsAreShuffled) {
  std::vector<std::size_t> order(face_.size());
  std::iota(order.begin(), order.end(), 0U);
  std::shuffle(order.begin(), order.end(), random_);
  FacePoints other;
  for (const std::size_t i : order) add(other, face_.x_mm[i], face_.y_mm[i], face_.z_mm[i]);
  expect_same(other);
}

TEST_P(AnyFace, KeepsItsFlatnessWhenMovedTurnedMirroredOrUpsideDown) {
  expect_same(changed([](double& x, double& y, double& z) { x += 1234, y -= 567, z += 89; }));
  expect_same(changed([](double& x, double& y, double&) {
    const double turned = 0.6 * x - 0.8 * y;
    y = 0.8 * x + 0.6 * y;
    x = turned;
  }));
  expect_same(changed([](double& x, double&, double&) { x = -x; }));
  expect_same(changed([](double&, double&, double& z) { z = -z; }));
  expect_same(turned_about_x(face_, 20));
}

TEST_P(AnyFace, GrowsInProportionWithEveryLength) {
  expect_same(changed([](double& x, double& y, double& z) { x *= 25.4, y *= 25.4, z *= 25.4; }), 25.4);
}

TEST_P(AnyFace, GrowsInProportionWithItsHeightsWhileTheyAreSmall) {  // slopes of 1e-3: square distances differ by their half square
  const FacePoints low = changed([](double&, double&, double& z) { z *= 0.1; });
  EXPECT_NEAR(mm(minimum_zone_flatness(low).flatness), 0.1 * flatness_, kHalfSquareOfSlope * flatness_);
}

TEST_P(AnyFace, IsTheSameReadInMillimetresAndInInches) {
  const auto csv = [this](const std::string& header, double side, double height) {
    std::string text = header + "\n";
    for (std::size_t i = 0; i < face_.size(); ++i)
      text +=
          number_text(face_.x_mm[i] / side) + "," + number_text(face_.y_mm[i] / side) + "," + number_text(face_.z_mm[i] / height) + "\n";
    return read_face_points(text, "face.csv");
  };
  const auto metric = csv("x_mm,y_mm,z_um", 1, 1e-3);
  const auto inch = csv("x_in,y_in,z_thou", 25.4, 0.0254);
  ASSERT_TRUE(metric && inch);
  expect_same(*metric);
  expect_same(*inch);
}

TEST_P(AnyFace, IgnoresPointsInsideTheZone) {
  const auto zone = minimum_zone_flatness(face_);
  FacePoints more = face_;
  std::uniform_real_distribution<double> u(0, 1);
  const auto& [through, n] = zone.mid_plane;
  for (int k = 0; k < 40; ++k) {
    const double x = 420 * u(random_);
    const double y = 180 * u(random_);
    const double mid = through[2] - (n[0] * (x - through[0]) + n[1] * (y - through[1])) / n[2];
    add(more, x, y, mid + 0.999 * (u(random_) - 0.5) * flatness_);
  }
  const auto same = minimum_zone_flatness(more);
  EXPECT_NEAR(mm(same.flatness), flatness_, kRounding_mm);
  EXPECT_EQ(same.upper, zone.upper);
  EXPECT_EQ(same.lower, zone.lower);
}

TEST_P(AnyFace, NeverHasAMinimumZoneOverItsLeastSquares) { EXPECT_LE(flatness_, squares_); }

TEST_P(AnyFace, HasResidualsThatReachBothPlanesOfTheZone) {
  const auto zone = minimum_zone_flatness(face_);
  const auto residuals = residuals_mm(face_, zone.mid_plane);
  const auto [low, high] = std::minmax_element(residuals.begin(), residuals.end());
  EXPECT_NEAR(*high, flatness_ / 2, kRounding_mm);
  EXPECT_NEAR(*low, -flatness_ / 2, kRounding_mm);
  for (const std::size_t i : zone.upper) EXPECT_NEAR(residuals[i], flatness_ / 2, kRounding_mm);
  for (const std::size_t i : zone.lower) EXPECT_NEAR(residuals[i], -flatness_ / 2, kRounding_mm);
}

TEST_P(AnyFace, LosesFlatnessOnlyByItsContacts) {
  const auto zone = minimum_zone_flatness(face_);
  for (std::size_t i = 0; i < face_.size(); ++i) {
    FacePoints others;
    for (std::size_t j = 0; j < face_.size(); ++j)
      if (j != i) add(others, face_.x_mm[j], face_.y_mm[j], face_.z_mm[j]);
    const double without = mm(minimum_zone_flatness(others).flatness);
    EXPECT_LE(without, flatness_ + kRounding_mm);
    const bool is_contact = std::count(zone.upper.begin(), zone.upper.end(), i) + std::count(zone.lower.begin(), zone.lower.end(), i) > 0;
    if (!is_contact) {
      EXPECT_NEAR(without, flatness_, kRounding_mm);
    }
    for (const LeftOut& left : flatness_without_each_contact(face_, zone)) {
      if (left.point == i) {
        EXPECT_NEAR(mm(left.flatness), without, kRounding_mm);
      }
    }
  }
}

INSTANTIATE_TEST_SUITE_P(Seeds, AnyFace, ::testing::Range(1U, 21U));

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

TEST(MinimumZone, SettlesTiesOfGridsWithADiagonalBow) {  // the high point lies over the line between two low corners: zones tie over an arc
  for (unsigned seed = 1; seed <= 100; ++seed) {
    std::mt19937 random(seed);
    std::uniform_real_distribution<double> u(0, 0.01);
    auto face = grid(5, 5, 160, 160, [&](double x, double y) { return 0.2 - 2e-5 * (x + y - 160) * (x + y - 160) - u(random); });
    face.z_mm[0] = face.z_mm[24] = -0.4;
    face.z_mm[12] = 0.25;
    const auto zone = minimum_zone_flatness(face);
    EXPECT_EQ(zone.status, ZoneStatus::kOptimal) << "seed " << seed;
    EXPECT_NEAR(mm(zone.flatness), least_width_of_all(face, 0.5), kRounding_mm) << "seed " << seed;
  }
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

TEST(MinimumZone, ThickCloudsAreNotCalledOptimal) {  // as thick as wide: no face
  std::mt19937 random(7);
  for (int trial = 0; trial < 50; ++trial) {
    const auto lump = random_face(random, 30, 10, 10, 7);
    try {
      const auto zone = minimum_zone_flatness(lump);
      if (zone.status == ZoneStatus::kOptimal) {
        EXPECT_GE(least_width_of_all(lump, 0.0), mm(zone.flatness) - kRounding_mm);
      }
    } catch (const InputError&) {
    }
  }
}

}  // namespace
}  // namespace headjoint::faces
