// What must not matter to flatness.
#include <gmock/gmock.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <random>
#include <vector>

#include "headjoint/base/error.h"
#include "headjoint/base/text.h"
#include "headjoint/faces/flatness.h"
#include "headjoint/faces/test_faces.h"

namespace headjoint::faces {
namespace {

constexpr double kHalfSquareOfSlope = 1e-5;
constexpr double kRelativeRounding = 1e-9;

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

/// A face of random size, form and rounding: scattered or on a grid, smooth or in steps, up to a few hundred points.
FacePoints any_face(std::mt19937& random) {
  std::uniform_real_distribution<double> u(0, 1);
  const int count = 6 + static_cast<int>(300 * u(random) * u(random));
  const double length = std::pow(10, 1 + 2 * u(random));
  const double width = length * (0.3 + u(random));
  const double height = length * std::pow(10, -3 - 2 * u(random));
  const double grid_step = u(random) < 0.5 ? 0 : length / 12;
  const double height_step = u(random) < 0.5 ? 0 : height / 5;
  const int form = static_cast<int>(4 * u(random));
  const auto rounded = [](double value, double step) { return step > 0 ? std::round(value / step) * step : value; };
  FacePoints face;
  for (int i = 0; i < count; ++i) {
    const double x = rounded(length * u(random), grid_step);
    const double y = rounded(width * u(random), grid_step);
    const double a = x / length - 0.5;
    const double b = y / width - 0.5;
    const double speck = u(random) < 0.05 ? 1.0 : 0.0;
    const double z = form == 0 ? u(random) : form == 1 ? 4 * a * b : form == 2 ? a * a : speck;
    add(face, x, y, rounded(height * z, height_step));
  }
  return face;
}

TEST(MinimumZone, IsProvedAndKeepsItsWidthWhateverTheFormTheRoundingAndTheTilt) {
  int refused = 0;
  for (unsigned seed = 1; seed <= 500; ++seed) {
    SCOPED_TRACE(seed);
    std::mt19937 random(seed);
    const FacePoints face = any_face(random);
    FacePoints tilted = turned_about_x(face, 30);
    for (double& x : tilted.x_mm) x += 5000;
    try {
      const auto zone = minimum_zone_flatness(face);
      const auto same = minimum_zone_flatness(tilted);
      EXPECT_EQ(zone.status, ZoneStatus::kOptimal);
      EXPECT_EQ(same.status, ZoneStatus::kOptimal);
      EXPECT_NEAR(mm(zone.flatness), mm(same.flatness), kRelativeRounding * mm(zone.flatness) + kRounding_mm);
    } catch (const InputError&) {  // few places of a coarse grid
      ++refused;
    }
  }
  EXPECT_LT(refused, 10);
}

}  // namespace
}  // namespace headjoint::faces
