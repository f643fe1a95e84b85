// Points joined by triangles: areas, contours, islands, sections.
#include "headjoint/faces/surface.h"

#include <gmock/gmock.h>

#include <algorithm>
#include <cmath>
#include <random>

#include "headjoint/base/error.h"
#include "headjoint/faces/test_faces.h"

namespace headjoint::faces {
namespace {

using ::testing::IsEmpty;
using ::testing::SizeIs;

constexpr double kArea_mm2 = 1e-6;
constexpr double kExact_mm = 1e-9;

double area_of(const FacePoints& points, const std::vector<Triangle>& triangles) {
  double area = 0;
  for (const auto& [a, b, c] : triangles)
    area += ((points.x_mm[b] - points.x_mm[a]) * (points.y_mm[c] - points.y_mm[a]) -
             (points.x_mm[c] - points.x_mm[a]) * (points.y_mm[b] - points.y_mm[a])) /
            2;
  return area;
}

TEST(JoinedByTriangles, CoversAGridOnce) {
  const auto face = grid(9, 5, 400, 160, [](double, double) { return 0.0; });
  const auto triangles = joined_by_triangles(face);
  EXPECT_EQ(triangles.size(), 2U * 8 * 4);
  EXPECT_NEAR(area_of(face, triangles), 400 * 160, kArea_mm2);
}

TEST(JoinedByTriangles, CoversTheHullOfScatteredPointsAndHoldsNoPointInACircle) {
  for (unsigned seed = 1; seed <= 20; ++seed) {
    std::mt19937 random(seed);
    const auto face = random_face(random, 60, 400, 150, 0.1);
    const auto triangles = joined_by_triangles(face);
    EXPECT_NEAR(area_of(face, triangles), coverage_of(face).area.si() * 1e6, 1e-3) << "seed " << seed;
    for (const auto& [a, b, c] : triangles) {
      const double ax = face.x_mm[a], ay = face.y_mm[a];
      const double bx = face.x_mm[b] - ax, by = face.y_mm[b] - ay, cx = face.x_mm[c] - ax, cy = face.y_mm[c] - ay;
      const double twice = 2 * (bx * cy - by * cx);
      ASSERT_GT(twice, 0);
      const double ux = (cy * (bx * bx + by * by) - by * (cx * cx + cy * cy)) / twice;
      const double uy = (bx * (cx * cx + cy * cy) - cx * (bx * bx + by * by)) / twice;
      const double radius = std::hypot(ux, uy);
      for (std::size_t i = 0; i < face.size(); ++i)
        EXPECT_GE(std::hypot(face.x_mm[i] - ax - ux, face.y_mm[i] - ay - uy), radius * (1 - 1e-6)) << "seed " << seed;
    }
  }
}

TEST(JoinedByTriangles, OfPointsOnOneLineOrPlaceIsEmpty) {
  FacePoints line;
  for (int i = 0; i < 9; ++i) add(line, 40 * i, 10 * i, 0);
  EXPECT_THAT(joined_by_triangles(line), IsEmpty());
  EXPECT_THAT(joined_by_triangles({}), IsEmpty());
  FacePoints twice = saddle4();
  add(twice, 0, 0, 5);
  EXPECT_THAT(joined_by_triangles(twice), SizeIs(2));
  twice.x_mm[2] = NAN;
  EXPECT_THROW((void)joined_by_triangles(twice), InputError);
}

TEST(JoinedByTriangles, ManagesTenThousandPoints) {
  std::mt19937 random(1);
  const auto face = random_face(random, 10'000, 400, 150, 0.1);
  EXPECT_NEAR(area_of(face, joined_by_triangles(face)), coverage_of(face).area.si() * 1e6, 1e-2);
}

TEST(HeightBands, DivideTheFaceWithoutRestOrOverlap) {
  std::mt19937 random(4);
  const auto face = random_face(random, 80, 400, 150, 0.1);
  const auto triangles = joined_by_triangles(face);
  double area = 0;
  for (const HeightBand& band : height_bands(face, triangles, face.z_mm, {-1, 0.02, 0.04, 0.06, 1})) area += band.area_mm2;
  EXPECT_NEAR(area, area_of(face, triangles), kArea_mm2);
}

TEST(HeightBands, OfARampAreStripes) {
  const auto ramp = grid(5, 3, 400, 150, [](double x, double) { return x / 1000; });
  const auto bands = height_bands(ramp, joined_by_triangles(ramp), ramp.z_mm, {0, 0.1, 0.25, 0.4});
  ASSERT_THAT(bands, SizeIs(3));
  EXPECT_NEAR(bands[0].area_mm2, 100 * 150, kArea_mm2);
  EXPECT_NEAR(bands[1].area_mm2, 150 * 150, kArea_mm2);
  EXPECT_NEAR(bands[2].area_mm2, 150 * 150, kArea_mm2);
}

TEST(Contours, OfARampAreOneStraightLineALevel) {
  const auto ramp = grid(5, 3, 400, 150, [](double x, double) { return x / 1000; });
  const auto lines = contours(ramp, joined_by_triangles(ramp), ramp.z_mm, {0.13, 0.27});
  ASSERT_THAT(lines, SizeIs(2));
  for (const OutlinePoint& p : lines[0].line) EXPECT_NEAR(p.x_mm, 130, kExact_mm);
  EXPECT_FALSE(lines[0].is_closed);
}

TEST(Contours, OfAHumpAreClosed) {
  const auto hump = grid(9, 9, 160, 160, [](double x, double y) { return std::hypot(x - 80, y - 80) < 30 ? 0.1 : 0.0; });
  const auto lines = contours(hump, joined_by_triangles(hump), hump.z_mm, {0.05});
  ASSERT_THAT(lines, SizeIs(1));
  EXPECT_TRUE(lines[0].is_closed);
}

TEST(Islands, AreTheHollowsThatACutDoesNotReach) {
  const auto face = grid(9, 5, 400, 160, [](double x, double y) {
    return (x == 100 && y == 80) ? -0.1 : (x == 300 && y >= 80 && y <= 120) ? -0.06 : 0;
  });
  std::vector<double> left = face.z_mm;
  for (double& z : left) z += 0.04;  // a cut of 0.04 mm
  const auto found = islands(face, joined_by_triangles(face), left);
  ASSERT_THAT(found, SizeIs(2));
  EXPECT_NEAR(std::max(found[0].deepest_mm, found[1].deepest_mm), 0.06, kExact_mm);
  const Island& two = found[0].points.size() == 2 ? found[0] : found[1];
  EXPECT_EQ(two.points.size(), 2U);
  EXPECT_NEAR(two.deepest_at.x_mm, 300, kExact_mm);
}

TEST(Islands, VanishWhenTheCutReachesTheDeepest) {
  const auto face = grid(9, 5, 400, 160, [](double x, double y) { return -1e-5 * std::abs(x - 200) - 1e-5 * y; });
  std::vector<double> left = face.z_mm;
  const double deepest = *std::min_element(left.begin(), left.end());
  for (double& z : left) z -= deepest;
  EXPECT_THAT(islands(face, joined_by_triangles(face), left), IsEmpty());
}

TEST(Section, OfATwistIsStraightAlongAndAcrossAndBentAlongDiagonals) {  // each diagonal bends by half the flatness deviation of 2 h
  const auto twist = grid(9, 9, 400, 160, [](double x, double y) { return kHeight_mm * (2 * x / 400 - 1) * (2 * y / 160 - 1); });
  const auto triangles = joined_by_triangles(twist);
  const auto sections = usual_sections(twist, triangles, twist.z_mm);
  ASSERT_THAT(sections, SizeIs(8));
  for (const Section& cut : sections) {
    const bool is_diagonal = cut.name.starts_with("diagonal");
    EXPECT_NEAR(cut.straightness_mm, is_diagonal ? kHeight_mm : 0, is_diagonal ? 1e-7 : kExact_mm) << cut.name;
  }
}

TEST(Section, EdgeRestsOnTheEndsOfAHollowAndRocksOnACrown) {
  const auto hollow = grid(9, 3, 400, 150, [](double x, double) { return 4 * kHeight_mm * (x / 400) * (x / 400 - 1); });
  const auto cut = section(hollow, joined_by_triangles(hollow), hollow.z_mm, {0, 75}, {400, 75});
  EXPECT_NEAR(cut.touch_from_mm, 0, kExact_mm);
  EXPECT_NEAR(cut.touch_to_mm, 400, kExact_mm);
  EXPECT_NEAR(cut.largest_gap_mm, kHeight_mm, kExact_mm);
  EXPECT_NEAR(cut.gap_at_mm, 200, kExact_mm);
  FacePoints crown = hollow;
  for (double& z : crown.z_mm) z = -z;
  const auto rocking = section(crown, joined_by_triangles(crown), crown.z_mm, {0, 75}, {400, 75});
  EXPECT_LT(rocking.touch_to_mm - rocking.touch_from_mm, 60);
}

TEST(Section, NeedsTwoEnds) {
  const auto face = saddle4();
  EXPECT_THROW((void)section(face, joined_by_triangles(face), face.z_mm, {1, 1}, {1, 1}), InputError);
  EXPECT_THROW((void)section(face, joined_by_triangles(face), {}, {1, 1}, {2, 1}), InputError);
}

}  // namespace
}  // namespace headjoint::faces
