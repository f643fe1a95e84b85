// The least cut: closed forms, a second search, duality, invariants and refusals.
#include "headjoint/faces/cut.h"

#include <gmock/gmock.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <random>

#include "headjoint/base/error.h"
#include "headjoint/faces/test_faces.h"

namespace headjoint::faces {
namespace {

constexpr double kClosedForm_mm = 1e-9;
constexpr double kSlope_mm = 1e-7;    // the closed form is a vertical distance, ours is square to the plane
constexpr double kSearch_mm = 2e-6;   // of the dense search over slopes
constexpr double kSameFigure = 1e-9;  // relative, under a change of frame or unit

CutDatum line_along(double x, double y, double z = 0) {
  CutDatum datum;
  datum.kind = CutDatum::Kind::kLine;
  datum.direction = {x, y, z};
  return datum;
}

FacePoints twist() {
  return grid(9, 5, 400, 150, [](double x, double y) { return kHeight_mm * (2 * x / 400 - 1) * (2 * y / 150 - 1); });
}

/// Depth over all slopes on a fine raster that is drawn in round the best place: knows nothing of hulls.
double searched_depth(const FacePoints& points, double most_a, double most_b) {
  const auto depth = [&](double a, double b) {
    double low = std::numeric_limits<double>::infinity();
    double high = -low;
    for (std::size_t i = 0; i < points.size(); ++i) {
      const double w = points.z_mm[i] - a * points.x_mm[i] - b * points.y_mm[i];
      low = std::min(low, w);
      high = std::max(high, w);
    }
    return (high - low) / std::hypot(1.0, a, b);
  };
  double best_a = 0;
  double best_b = 0;
  double span_a = most_a;
  double span_b = most_b;
  for (int zoom = 0; zoom < 40; ++zoom) {
    const double mid_a = best_a;
    const double mid_b = best_b;
    double best = std::numeric_limits<double>::infinity();
    for (int i = -10; i <= 10; ++i) {
      for (int j = -10; j <= 10; ++j) {
        const double a = std::clamp(mid_a + span_a * i / 10, -most_a, most_a);
        const double b = std::clamp(mid_b + span_b * j / 10, -most_b, most_b);
        if (depth(a, b) < best) {
          best = depth(a, b);
          best_a = a;
          best_b = b;
        }
      }
    }
    span_a *= 0.6;
    span_b *= 0.6;
  }
  return depth(best_a, best_b);
}

TEST(LeastCut, OfAFreePlaneIsTheFlatnessDeviation) {
  for (const FacePoints& face : {saddle4(), pyramid5(), twist(), turned_about_x(pyramid5(), 30)}) {
    const Cut cut = least_cut(face);
    EXPECT_EQ(cut.status, CutStatus::kLeast);
    EXPECT_NEAR(mm(cut.depth), mm(minimum_zone_flatness(face).flatness), kRounding_mm);
  }
}

TEST(LeastCut, LeavesNothingUncut) {
  std::mt19937 random(11);
  for (int trial = 0; trial < 50; ++trial) {
    const FacePoints face = random_face(random, 40, 400, 150, 0.2);
    for (const Cut& cut : {least_cut(face), least_cut_held(face, measuring_plane()), least_cut_held(face, line_along(1, 0))}) {
      const std::vector<double> over = residuals_mm(face, cut.plane);
      EXPECT_GE(*std::min_element(over.begin(), over.end()), -kRounding_mm);
      EXPECT_NEAR(*std::max_element(over.begin(), over.end()), mm(cut.depth), kRounding_mm);
      EXPECT_NEAR(std::accumulate(over.begin(), over.end(), 0.0) / 40, mm(cut.mean_depth), kRounding_mm);
    }
  }
}

TEST(LeastCut, OfABowTakesTheSagAtTheEndsAndATwoThirdsMeanOnAFineGrid) {  // parabola: mean height over its lowest point is h / 3 of the sag
  const auto bow = grid(401, 3, 400, 150, [](double x, double) { return -4 * kHeight_mm * (x / 400) * (1 - x / 400); });
  const Cut cut = least_cut(bow);
  EXPECT_NEAR(mm(cut.depth), kHeight_mm, kClosedForm_mm);
  EXPECT_NEAR(mm(cut.mean_depth), kHeight_mm / 3, 0.01 * kHeight_mm);
}

TEST(LeastCut, HeldParallelToTheMeasuringPlaneIsTheRangeOfHeights) {
  const auto wedge = grid(5, 3, 400, 150, [](double x, double y) { return 0.0005 * x + (y == 75 ? -0.02 : 0); });
  const Cut held = least_cut_held(wedge, measuring_plane());
  EXPECT_EQ(held.status, CutStatus::kLeast);
  EXPECT_NEAR(mm(held.depth), 0.22, kClosedForm_mm);
  EXPECT_NEAR(mm(least_cut(wedge).depth), 0.02, kSlope_mm);
}

TEST(LeastCut, AlongACamLineMayTiltAcrossButNotLengthwise) {
  const auto wedge = [](double along, double across) {
    return grid(5, 3, 400, 150, [=](double x, double y) { return along * x + across * y + (y == 75 ? -0.02 : 0); });
  };
  EXPECT_NEAR(mm(least_cut_held(wedge(0, 0.001), line_along(1, 0)).depth), 0.02, kSlope_mm);
  EXPECT_NEAR(mm(least_cut_held(wedge(0.0005, 0), line_along(1, 0)).depth), 0.22, kSlope_mm);
  EXPECT_NEAR(mm(least_cut_held(wedge(0.0005, 0), line_along(1, 0, 0.0005)).depth), 0.02, kSlope_mm) << "the line leans as the face does";
}

TEST(LeastCut, OfATwistAlongAnEdgeIsTwiceTheCornerHeight) {  // every lengthwise line is straight, but leans the other way at the other side
  const Cut cut = least_cut_held(twist(), line_along(1, 0));
  EXPECT_EQ(cut.status, CutStatus::kLeast);
  EXPECT_NEAR(mm(cut.depth), 2 * kHeight_mm, kSlope_mm);
}

TEST(LeastCut, GrowsFromFreeToHeldAsTheAllowanceShrinks) {
  std::mt19937 random(5);
  for (int trial = 0; trial < 30; ++trial) {
    auto face = random_face(random, 25, 400, 150, 0.1);
    for (std::size_t i = 0; i < face.size(); ++i) face.z_mm[i] += 0.0004 * face.x_mm[i] - 0.0003 * face.y_mm[i];
    double before = mm(least_cut(face).depth);
    for (const double allowance : {0.5, 0.1, 0.05, 0.02, 0.0}) {
      const Cut cut = least_cut_held(face, measuring_plane(), Length::from_si(allowance * 1e-3));
      EXPECT_GE(mm(cut.depth), before - kClosedForm_mm);
      EXPECT_LE(mm(cut.out_of_parallel), allowance + kClosedForm_mm);
      EXPECT_EQ(cut.status, CutStatus::kLeast) << "trial " << trial << ", allowance " << allowance;
      before = mm(cut.depth);
    }
    before = mm(least_cut(face).depth);
    for (const double allowance : {0.5, 0.1, 0.05, 0.02, 0.0}) {
      const Cut cut = least_cut_held(face, line_along(1, 0.1), Length::from_si(allowance * 1e-3));
      EXPECT_GE(mm(cut.depth), before - kClosedForm_mm);
      EXPECT_LE(mm(cut.out_of_parallel), allowance + kSlope_mm);
      EXPECT_EQ(cut.status, CutStatus::kLeast) << "along a line, trial " << trial << ", allowance " << allowance;
      before = mm(cut.depth);
    }
  }
}

TEST(LeastCut, MeetsASearchOverAllSlopes) {
  std::mt19937 random(23);
  std::uniform_real_distribution<double> u(0, 0.1);
  for (int trial = 0; trial < 20; ++trial) {  // a grid scatters along x: the allowance is a box in the slopes of x and y
    const auto face = grid(6, 4, 400, 150, [&](double x, double y) { return 0.0003 * x + 0.0005 * y + u(random); });
    const auto held = [&](double allowance) {
      return mm(least_cut_held(face, measuring_plane(), Length::from_si(allowance * 1e-3)).depth);
    };
    EXPECT_NEAR(mm(least_cut_held(face, line_along(1, 0)).depth), searched_depth(face, 0, 0.01), kSearch_mm) << trial;
    EXPECT_NEAR(held(0.05), searched_depth(face, 0.05 / 400, 0.05 / 150), kSearch_mm) << trial;
    EXPECT_NEAR(held(0.01), searched_depth(face, 0.01 / 400, 0.01 / 150), kSearch_mm) << trial;
    EXPECT_LE(mm(least_cut(face).depth), searched_depth(face, 0.01, 0.01) + kClosedForm_mm) << trial;
  }
}

TEST(LeastCut, StaysTheSameWhenTheFaceIsTurnedShiftedMirroredOrPermuted) {
  std::mt19937 random(3);
  const FacePoints face = random_face(random, 60, 400, 150, 0.1);
  const double depth = mm(least_cut_held(face, line_along(1, 0)).depth);
  FacePoints moved = face;
  const double c = std::cos(0.7);
  const double s = std::sin(0.7);
  for (std::size_t i = 0; i < face.size(); ++i) {
    moved.x_mm[i] = c * face.x_mm[i] - s * face.y_mm[i] + 30;
    moved.y_mm[i] = s * face.x_mm[i] + c * face.y_mm[i] - 80;
    moved.z_mm[i] = face.z_mm[i] + 5;
  }
  EXPECT_NEAR(mm(least_cut_held(moved, line_along(c, s)).depth), depth, kSameFigure * depth);
  FacePoints mirrored = face;
  for (double& y : mirrored.y_mm) y = -y;
  EXPECT_NEAR(mm(least_cut_held(mirrored, line_along(1, 0)).depth), depth, kSameFigure * depth);
  FacePoints permuted;
  for (std::size_t k = 0; k < face.size(); ++k) {
    const std::size_t i = (7 * k + 3) % face.size();
    add(permuted, face.x_mm[i], face.y_mm[i], face.z_mm[i]);
  }
  EXPECT_NEAR(mm(least_cut_held(permuted, line_along(-1, 0)).depth), depth, kSameFigure * depth);
}

TEST(LeastCut, OfAFaceTurnedOverIsMeasuredFromTheOtherSide) {  // a head measured as it sits: z up is into the metal
  const auto hollow = grid(5, 3, 400, 150, [](double x, double y) { return x == 200 && y == 75 ? -0.1 : 0; });
  EXPECT_NEAR(mm(least_cut(hollow).mean_depth), 0.1 * 14 / 15, kClosedForm_mm) << "a hollow takes the whole face down";
  EXPECT_NEAR(mm(least_cut(turned_over(hollow)).mean_depth), 0.1 / 15, kClosedForm_mm) << "a hump alone comes off";
}

TEST(OverCut, IsNegativeWhereTheCutterDoesNotReach) {
  const auto hollow = grid(5, 3, 400, 150, [](double x, double y) { return x == 200 && y == 75 ? -0.1 : 0; });
  const auto over = over_cut_mm(hollow, {0, 0, 1}, Length::from_si(0.06e-3));
  EXPECT_NEAR(over[7], -0.04, kClosedForm_mm);
  EXPECT_EQ(std::count_if(over.begin(), over.end(), [](double z) { return z > 0; }), 14);
  EXPECT_THROW((void)over_cut_mm(hollow, {0, 0, 1}, Length::from_si(-1e-3)), InputError);
}

TEST(CutDatum, IsALineForPointsInARowAndAFaceOtherwise) {
  FacePoints row;
  for (int i = 0; i < 5; ++i) add(row, 90 * i, 60, 0.0002 * 90 * i + (i == 2 ? 0.03 : 0));
  const CutDatum line = datum_of(row);
  EXPECT_EQ(line.kind, CutDatum::Kind::kLine);
  EXPECT_NEAR(line.direction[2] / line.direction[0], 0.0002, 1e-6);
  EXPECT_NEAR(mm(line.spread), 0.03, 1e-6);
  const CutDatum face = datum_of(grid(2, 2, 300, 100, [](double x, double) { return 0.001 * x; }));
  EXPECT_EQ(face.kind, CutDatum::Kind::kFace);
  EXPECT_NEAR(-face.direction[0] / face.direction[2], 0.001, 1e-9);
}

TEST(CutDatum, RefusesWhatHoldsNothing) {
  FacePoints one;
  add(one, 1, 1, 0);
  EXPECT_THROW((void)datum_of(one), InputError);
  add(one, 1, 1, 0);
  EXPECT_THROW((void)datum_of(one), InputError);
  EXPECT_THROW((void)least_cut_held(twist(), line_along(0, 0, 1)), InputError);
  EXPECT_THROW((void)least_cut_held(twist(), measuring_plane(), Length::from_si(-1)), InputError);
  EXPECT_THROW((void)least_cut_held(twist(), measuring_plane(), Length::from_si(NAN)), InputError);
}

}  // namespace
}  // namespace headjoint::faces
