#include "headjoint/faces/coverage.h"

#include <gmock/gmock.h>

#include <cmath>
#include <limits>

#include "headjoint/base/error.h"

namespace headjoint::faces {
namespace {

constexpr double kExact = 1e-9;
constexpr double kRasterShare = 0.05;  // of the length: a cell of the raster is a fortieth

double mm(Length length) { return length.si() * 1e3; }

FacePoints grid(int columns, int rows, double length, double width) {
  FacePoints points;
  for (int i = 0; i < columns; ++i) {
    for (int j = 0; j < rows; ++j) {
      points.x_mm.push_back(length * i / (columns - 1));
      points.y_mm.push_back(width * j / (rows - 1));
      points.z_mm.push_back(0);
    }
  }
  return points;
}

const OutlinePoint kHead[] = {{0, 0}, {420, 0}, {420, 180}, {0, 180}};

TEST(Coverage, OfAGridIsItsRectangle) {
  const auto coverage = coverage_of(grid(9, 5, 400, 160), kHead);
  EXPECT_EQ(coverage.points, 45U);
  EXPECT_NEAR(mm(coverage.length), 400, kExact);
  EXPECT_NEAR(mm(coverage.width), 160, kExact);
  EXPECT_NEAR(coverage.area.si() * 1e6, 64'000, 1e-6);
  EXPECT_EQ(coverage.pattern, Pattern::kGrid);
  EXPECT_NEAR(coverage.outline_share, 64'000.0 / 75'600, kExact);
  EXPECT_TRUE(coverage.warnings.empty());
  EXPECT_NEAR(mm(coverage.largest_gap), std::hypot(50, 40), kRasterShare * 400);
}

TEST(Coverage, WarnsWhenHalfTheFaceWasNotSeen) {
  const auto coverage = coverage_of(grid(5, 5, 200, 160), kHead);
  ASSERT_EQ(coverage.warnings.size(), 1U);
  EXPECT_THAT(coverage.warnings[0].what, ::testing::HasSubstr("cover 42 % of the face"));
  EXPECT_EQ(coverage.warnings[0].severity, Problem::Severity::kWarning);
}

TEST(Coverage, WithoutAnOutlineClaimsNoShare) {
  EXPECT_EQ(coverage_of(grid(5, 5, 200, 160)).outline_share, -1);
  EXPECT_TRUE(coverage_of(grid(5, 5, 200, 160)).warnings.empty());
}

TEST(Coverage, OfTheRimAloneShowsTheHoleInTheMiddle) {
  FacePoints rim;
  for (int i = 0; i <= 40; ++i) {
    for (const double y : {0.0, 200.0}) {
      rim.x_mm.push_back(10 * i);
      rim.y_mm.push_back(y);
      rim.z_mm.push_back(0);
    }
  }
  const auto coverage = coverage_of(rim);
  EXPECT_NEAR(mm(coverage.largest_gap), 200, kRasterShare * 400);
}

TEST(Coverage, KnowsLinesFromScatter) {
  FacePoints lines;
  FacePoints scatter;
  for (int i = 0; i < 60; ++i) {
    lines.x_mm.push_back(7 * i + (i % 3));
    lines.y_mm.push_back(i % 3 * 80.0);
    scatter.x_mm.push_back(400 * std::fmod(0.6180339887 * i, 1));
    scatter.y_mm.push_back(150 * std::fmod(0.7548776662 * i, 1));
  }
  lines.z_mm.assign(60, 0);
  scatter.z_mm.assign(60, 0);
  EXPECT_EQ(coverage_of(lines).pattern, Pattern::kLines);
  EXPECT_EQ(coverage_of(scatter).pattern, Pattern::kScattered);
  EXPECT_EQ(pattern_text(Pattern::kLines), "lines");
}

TEST(Coverage, CountsPlacesLeftOut) {
  auto points = grid(3, 3, 400, 160);
  points.unmeasured.push_back({200, 80, FacePoints::Unmeasured::Reason::kInaccessible, 7});
  const auto coverage = coverage_of(points, kHead);
  EXPECT_EQ(coverage.unmeasured, 1U);
  EXPECT_EQ(coverage.warnings.size(), 1U);
}

TEST(Coverage, OfNothingOrALineIsNoArea) {
  EXPECT_EQ(coverage_of({}).area.si(), 0);
  FacePoints line;
  for (int i = 0; i < 5; ++i) {
    line.x_mm.push_back(10 * i);
    line.y_mm.push_back(5 * i);
    line.z_mm.push_back(0);
  }
  EXPECT_EQ(coverage_of(line).area.si(), 0);
  EXPECT_EQ(coverage_of(line, kHead).outline_share, 0);
}

TEST(Coverage, RefusesOutlinesWithoutArea) {
  const OutlinePoint line[] = {{0, 0}, {10, 0}};
  const OutlinePoint bad[] = {{0, 0}, {10, 0}, {std::numeric_limits<double>::quiet_NaN(), 5}};
  EXPECT_THROW((void)coverage_of(grid(3, 3, 10, 10), line), InputError);
  EXPECT_THROW((void)coverage_of(grid(3, 3, 10, 10), bad), InputError);
}

}  // namespace
}  // namespace headjoint::faces
