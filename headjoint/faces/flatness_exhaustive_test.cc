// The minimum zone against every contact a thinnest zone can have, on small sets.
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
