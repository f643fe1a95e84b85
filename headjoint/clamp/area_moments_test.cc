#include "headjoint/clamp/internal/area_moments.h"

#include <gtest/gtest.h>

#include <cmath>

#include "headjoint/clamp/internal/gasket_points.h"
#include "headjoint/clamp/internal/plate.h"
#include "headjoint/clamp/test_joints.h"

namespace headjoint::clamp {
namespace {

constexpr double kExact = 1e-10;
constexpr double kPi = 3.14159265358979323846;

void expect_same(const AreaMoments& a, const AreaMoments& b, double scale) {
  EXPECT_NEAR(a.area, b.area, kExact * scale);
  EXPECT_NEAR(a.x, b.x, kExact * scale * scale);
  EXPECT_NEAR(a.y, b.y, kExact * scale * scale);
  EXPECT_NEAR(a.xx, b.xx, kExact * scale * scale * scale);
  EXPECT_NEAR(a.xy, b.xy, kExact * scale * scale * scale);
  EXPECT_NEAR(a.yy, b.yy, kExact * scale * scale * scale);
}

TEST(AreaMoments, ADiscInsideIsTheWholeDisc) {
  const AreaMoments m = disc_in_rectangle_moments({3, 4}, 2, {0, 0, 10, 10});
  expect_same(m, AreaMoments{4 * kPi, 12 * kPi, 16 * kPi, 4 * kPi * 9 + 4 * kPi, 48 * kPi, 4 * kPi * 16 + 4 * kPi}, 100);
}

TEST(AreaMoments, HalfAndQuarterDiscs) {
  EXPECT_NEAR(disc_in_rectangle_moments({0, 5}, 2, {0, 0, 10, 10}).area, 2 * kPi, 1e-12);
  const AreaMoments quarter = disc_in_rectangle_moments({0, 0}, 3, {0, 0, 10, 10});
  EXPECT_NEAR(quarter.area, 9 * kPi / 4, 1e-12);
  EXPECT_NEAR(quarter.x, 9, 1e-12);          // r^3/3
  EXPECT_NEAR(quarter.xy, 81.0 / 8, 1e-12);  // r^4/8
  EXPECT_NEAR(quarter.xx, 81 * kPi / 16, 1e-11);
}

TEST(AreaMoments, PiecesInCellsAddUpToTheDisc) {
  AreaMoments sum;
  for (int i = 0; i < 9; ++i)
    for (int j = 0; j < 7; ++j) sum += disc_in_rectangle_moments({21.3, 17.9}, 13.37, {5.0 * i, 5.0 * j, 5.0 * i + 5, 5.0 * j + 5});
  expect_same(sum, disc_in_rectangle_moments({21.3, 17.9}, 13.37, {0, 0, 45, 35}), 1000);
  EXPECT_NEAR(sum.area, kPi * 13.37 * 13.37, 1e-9);
}

TEST(AreaMoments, ADiscInAHollowShapeCountsOnlyWhatTheyShare) {
  const Polygon hook = {{0, 0}, {10, 0}, {10, 10}, {6, 10}, {6, 4}, {4, 4}, {4, 10}, {0, 10}};
  const AreaMoments whole = disc_in_polygon_moments({5, 5}, 100, hook);
  expect_same(whole, polygon_moments(hook), 1000);
  const AreaMoments disc = disc_in_polygon_moments({5, 5}, 3, hook);
  const double in_slot = disc_in_rectangle_moments({5, 5}, 3, {4, 4, 6, 10}).area;
  EXPECT_NEAR(disc.area, 9 * kPi - in_slot, 1e-10);
}

TEST(AreaMoments, FourPointsKeepAreaCentreAndSecondMoments) {
  const AreaMoments m = disc_in_rectangle_moments({2, 1}, 4.2, {1, 2, 6, 7});
  const FourPoints four = four_points(m);
  AreaMoments back;
  for (const PlanPoint& p : four.at)
    back += AreaMoments{four.area_each,
                        four.area_each * p.x_mm,
                        four.area_each * p.y_mm,
                        four.area_each * p.x_mm * p.x_mm,
                        four.area_each * p.x_mm * p.y_mm,
                        four.area_each * p.y_mm * p.y_mm};
  expect_same(back, m, 100);
}

TEST(AreaMoments, AWidenedSquareHasMitredCorners) {
  EXPECT_NEAR(polygon_moments(widened({{0, 0}, {4, 0}, {4, 6}, {0, 6}}, 1)).area, 6 * 8, 1e-12);
}

TEST(GasketPoints, AreasAreThoseOfThePlanOnAnyGrid) {
  const ClampModel model = testing::four_cylinder();
  for (const double size : {3.0, 5.0, 7.3, 10.0, 20.0}) {
    const PlanGrid grid = grid_over(model.outline, size);
    const GasketPoints points = DeckLayout(model, grid).gasket_points();
    std::vector<double> area(points.regions.size(), 0.0);
    for (std::size_t p = 0; p < points.size(); ++p) area[points.region[p]] += points.area[p];
    for (std::size_t r = 0; r < area.size(); ++r)
      EXPECT_NEAR(area[r], points.regions[r].exact_area, 1e-8 * area[r]) << size << " mm, region " << r;
  }
}

TEST(GasketPoints, WasherSharesSumToOneAndKeepTheirCentre) {
  const ClampModel model = testing::four_cylinder();
  const PlanGrid grid = grid_over(model.outline, 7.3);
  const DeckLayout layout(model, grid);
  for (const PlanPoint& bolt : model.bolts.at) {
    double sum = 0, x = 0;
    const SpreadLoad washer = layout.washer(bolt);
    for (const auto& [node, share] : washer.shares) {
      sum += share;
      x += share * (grid.x0 + grid.dx * static_cast<double>(node / static_cast<std::size_t>(grid.rows + 1)));
    }
    EXPECT_NEAR(sum, 1, 1e-12);
    EXPECT_NEAR(x, bolt.x_mm, 1e-8);
  }
}

}  // namespace
}  // namespace headjoint::clamp
