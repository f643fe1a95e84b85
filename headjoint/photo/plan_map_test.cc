#include "headjoint/photo/plan_map.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "headjoint/photo/test_gasket.h"

namespace headjoint::photo {
namespace {

using ::testing::HasSubstr;

constexpr double kExact_mm = 1e-6;      // arithmetic of doubles on coordinates of some hundred
constexpr double kRecovered_mm = 1e-3;  // iteration stops far below the width of a pixel

Length mm(double value) { return Length::from_si(value / 1e3); }

KnownDistance known(PicturePoint from, PicturePoint to, double value) { return {from, to, mm(value)}; }

const std::vector<PlanPlace> kCorners = {{15, 15}, {385, 15}, {385, 155}, {15, 155}};

std::vector<KnownPoint> seen_by(const test::Camera& camera, const std::vector<PlanPlace>& places) {
  std::vector<KnownPoint> points;
  for (const PlanPlace& place : places) points.push_back({camera.see(place), place});
  return points;
}

std::string why(const Result<FittedMap>& result) { return result ? "" : to_string(result.problems()); }

TEST(TestCamera, SeesWhatIsBehindAPixel) {
  const test::Camera camera{.tilt = 0.6, .heading = 0.4, .turn = -0.3};
  const PlanPlace back = camera.behind(camera.see({321, 17}));
  EXPECT_NEAR(back.x_mm, 321, kExact_mm);
  EXPECT_NEAR(back.y_mm, 17, kExact_mm);
}

TEST(MapFromDistances, OneDistanceGivesTheScale) {
  const auto fitted = map_from_distances({known({100, 100}, {400, 500}, 250)});
  ASSERT_TRUE(fitted) << why(fitted);
  EXPECT_EQ(fitted->map.kind(), MapKind::kScale);
  EXPECT_NEAR(fitted->map.mm_per_px({7, 9}), 0.5, kExact_mm);
  const auto a = fitted->map.place({100, 100});
  const auto b = fitted->map.place({200, 100});
  const auto c = fitted->map.place({100, 200});
  EXPECT_NEAR(b->x_mm - a->x_mm, 50, kExact_mm);
  EXPECT_NEAR(c->y_mm - a->y_mm, -50, kExact_mm) << "the plan's y runs up";
}

TEST(MapFromDistances, AScannerThatStretchesIsSetRight) {
  // 0.5 mm a pixel across, 0.503 along the feed.
  const auto length = [](double dx, double dy) { return std::hypot(0.5 * dx, 0.503 * dy); };
  const auto fitted = map_from_distances(
      {known({0, 0}, {800, 0}, length(800, 0)), known({0, 0}, {0, 1000}, length(0, 1000)), known({0, 0}, {600, 700}, length(600, 700))},
      0.2);
  ASSERT_TRUE(fitted) << why(fitted);
  EXPECT_EQ(fitted->map.kind(), MapKind::kTwoScales);
  const auto a = fitted->map.place({0, 0});
  const auto b = fitted->map.place({0, 500});
  EXPECT_NEAR(a->y_mm - b->y_mm, 251.5, kRecovered_mm);
  EXPECT_EQ(fitted->doubt, "");
}

TEST(MapFromDistances, DistancesThatDisagreeAreDoubted) {
  const auto fitted = map_from_distances({known({0, 0}, {800, 0}, 400), known({0, 0}, {0, 800}, 300)});
  ASSERT_TRUE(fitted) << why(fitted);
  EXPECT_THAT(fitted->doubt, HasSubstr("angle"));
}

TEST(MapFromDistances, SidesAndADiagonalGiveThePhotographedAngle) {
  for (const double tilt : {0.2, 0.5, 0.7}) {
    for (const double heading : {0.0, 1.1, 2.5, 4.0}) {
      const test::Camera camera{.tilt = tilt, .heading = heading, .turn = 0.2};
      std::vector<KnownDistance> distances;
      for (std::size_t i = 0; i < 4; ++i) {
        for (std::size_t j = i + 1; j < 4; ++j) {
          const double d = std::hypot(kCorners[i].x_mm - kCorners[j].x_mm, kCorners[i].y_mm - kCorners[j].y_mm);
          distances.push_back(known(camera.see(kCorners[i]), camera.see(kCorners[j]), d));
        }
      }
      const auto fitted = map_from_distances(distances);
      ASSERT_TRUE(fitted) << why(fitted);
      EXPECT_EQ(fitted->map.kind(), MapKind::kPerspective);
      const auto a = fitted->map.place(camera.see({100, 40}));
      const auto b = fitted->map.place(camera.see({300, 120}));
      ASSERT_TRUE(a && b);
      EXPECT_NEAR(std::hypot(a->x_mm - b->x_mm, a->y_mm - b->y_mm), std::hypot(200, 80), kRecovered_mm) << tilt << " " << heading;
    }
  }
}

TEST(MapFromDistances, NonsenseIsRefusedInWords) {
  EXPECT_THAT(why(map_from_distances({})), HasSubstr("no distance is known"));
  EXPECT_THAT(why(map_from_distances({known({0, 0}, {100, 0}, 0)})), HasSubstr("not above zero"));
  EXPECT_THAT(why(map_from_distances({known({0, 0}, {100, 0}, std::nan(""))})), HasSubstr("not above zero"));
  EXPECT_THAT(why(map_from_distances({known({5, 5}, {5, 5}, 80)})), HasSubstr("one spot"));
  EXPECT_THAT(why(map_from_distances({known({0, 0}, {100, 0}, 80), known({std::nan(""), 5}, {5, 5}, 80)})), HasSubstr("one spot"));
  // Five distances along one line say nothing about the other direction.
  std::vector<KnownDistance> line;
  for (int i = 0; i < 6; ++i) line.push_back(known({100.0 * i, 0}, {100.0 * i + 80, 0}, 40 + i));
  EXPECT_THAT(why(map_from_distances(line)), HasSubstr("angle of the photograph open"));
}

TEST(MapFromPoints, APhotographAtAnAngleIsSetUpright) {
  const test::Camera camera{.tilt = 0.6, .heading = 2.0, .turn = 0.4};
  const auto fitted = map_from_points(seen_by(camera, kCorners));
  ASSERT_TRUE(fitted) << why(fitted);
  for (const PlanPlace& place : std::vector<PlanPlace>{{0, 0}, {200, 85}, {390, 20}, {120, 160}}) {
    const auto found = fitted->map.place(camera.see(place));
    ASSERT_TRUE(found);
    EXPECT_NEAR(found->x_mm, place.x_mm, kRecovered_mm);
    EXPECT_NEAR(found->y_mm, place.y_mm, kRecovered_mm);
    const auto back = fitted->map.picture(place);
    ASSERT_TRUE(back);
    EXPECT_NEAR(back->x_px, camera.see(place).x_px, kRecovered_mm);
  }
}

/// The unit square to a quadrilateral in closed form: P. Heckbert, Fundamentals of Texture Mapping and Image Warping, UCB/CSD
/// 89/516 (1989), section 2.2.3; the formulas typed from memory, and checked here by their four corners.
TEST(MapFromPoints, AgreesWithTheClosedFormOfTheSquare) {
  const std::array<PicturePoint, 4> q = {{{100, 120}, {730, 90}, {810, 640}, {60, 520}}};
  const double sx = q[0].x_px - q[1].x_px + q[2].x_px - q[3].x_px;
  const double sy = q[0].y_px - q[1].y_px + q[2].y_px - q[3].y_px;
  const double dx1 = q[1].x_px - q[2].x_px, dx2 = q[3].x_px - q[2].x_px;
  const double dy1 = q[1].y_px - q[2].y_px, dy2 = q[3].y_px - q[2].y_px;
  const double g = (sx * dy2 - dx2 * sy) / (dx1 * dy2 - dx2 * dy1);
  const double h = (dx1 * sy - sx * dy1) / (dx1 * dy2 - dx2 * dy1);
  const auto closed_form = [&](double u, double v) {
    const double w = g * u + h * v + 1;
    const double x = (q[1].x_px - q[0].x_px + g * q[1].x_px) * u + (q[3].x_px - q[0].x_px + h * q[3].x_px) * v + q[0].x_px;
    const double y = (q[1].y_px - q[0].y_px + g * q[1].y_px) * u + (q[3].y_px - q[0].y_px + h * q[3].y_px) * v + q[0].y_px;
    return PicturePoint{x / w, y / w};
  };
  EXPECT_NEAR(closed_form(1, 1).x_px, q[2].x_px, kExact_mm);
  const auto fitted = map_from_points({{q[0], {0, 0}}, {q[1], {1, 0}}, {q[2], {1, 1}}, {q[3], {0, 1}}});
  ASSERT_TRUE(fitted) << why(fitted);
  for (const double u : {0.1, 0.5, 0.9}) {
    for (const double v : {0.2, 0.5, 1.2}) {
      const auto seen = fitted->map.picture({u, v});
      ASSERT_TRUE(seen);
      EXPECT_NEAR(seen->x_px, closed_form(u, v).x_px, kExact_mm);
      EXPECT_NEAR(seen->y_px, closed_form(u, v).y_px, kExact_mm);
    }
  }
}

/// The cross-ratio of four points on a line is the same in the picture and on the plan (projective geometry).
TEST(MapFromPoints, KeepsTheCrossRatio) {
  const test::Camera camera{.tilt = 0.5, .heading = 0.7};
  const auto fitted = map_from_points(seen_by(camera, kCorners));
  ASSERT_TRUE(fitted);
  std::array<PicturePoint, 4> line;
  for (std::size_t i = 0; i < 4; ++i) line[i] = {200.0 + 150.0 * static_cast<double>(i), 300.0 + 60.0 * static_cast<double>(i)};
  const auto ratio = [](const std::array<double, 4>& t) { return (t[2] - t[0]) * (t[3] - t[1]) / ((t[2] - t[1]) * (t[3] - t[0])); };
  std::array<double, 4> on_plan{}, in_picture{};
  const auto first = fitted->map.place(line[0]);
  for (std::size_t i = 0; i < 4; ++i) {
    const auto at = fitted->map.place(line[i]);
    ASSERT_TRUE(at);
    on_plan[i] = std::hypot(at->x_mm - first->x_mm, at->y_mm - first->y_mm);
    in_picture[i] = std::hypot(line[i].x_px - line[0].x_px, line[i].y_px - line[0].y_px);
  }
  EXPECT_NEAR(ratio(on_plan), ratio(in_picture), 1e-9);
}

TEST(MapFromPoints, TurningAndScalingThePictureChangesNothing) {
  const test::Camera camera{.tilt = 0.4, .heading = 1};
  auto points = seen_by(camera, {{15, 15}, {385, 15}, {385, 155}, {15, 155}, {200, 20}});
  points[4].tap.x_px += 1.3;
  const auto plain = map_from_points(points);
  const auto change = [](PicturePoint p) { return PicturePoint{700 - 2 * p.y_px, 30 + 2 * p.x_px}; };
  auto turned_points = points;
  for (KnownPoint& point : turned_points) {
    point.tap = change(point.tap);
    point.uncertainty = mm(1e-6);
  }
  for (KnownPoint& point : points) point.uncertainty = mm(1e-6);
  const auto still = map_from_points(points);
  const auto turned = map_from_points(turned_points, 2 * kTapUncertainty_px);
  ASSERT_TRUE(plain && still && turned);
  const PicturePoint any{431, 377};
  EXPECT_NEAR(turned->map.place(change(any))->x_mm, still->map.place(any)->x_mm, kRecovered_mm);
  EXPECT_NEAR(turned->map.place(change(any))->y_mm, still->map.place(any)->y_mm, kRecovered_mm);
  EXPECT_NEAR(turned->map.placed(change(any), 2)->uncertainty_mm, still->map.placed(any, 1)->uncertainty_mm, kRecovered_mm);
  EXPECT_NEAR(turned->error, 2 * still->error, kRecovered_mm) << "in pixels twice as small";
}

/// The band is honest when it holds the truth in about 95 of 100 tries. 200 tries: 95 % is 190, and below 178 lies only one such
/// experiment in ten thousand (binomial distribution).
TEST(MapFromPoints, TheBandHoldsTheTruth) {
  const test::Camera camera{.tilt = 0.5, .heading = 2.2};
  constexpr unsigned kSeed = 41;
  SCOPED_TRACE(kSeed);
  std::mt19937 random(kSeed);
  std::normal_distribution<double> miss(0, kTapUncertainty_px / 2);
  const PlanPlace truth{290, 60};
  int held = 0;
  for (int round = 0; round < 200; ++round) {
    auto points = seen_by(camera, {{15, 15}, {385, 15}, {385, 155}, {15, 155}, {200, 15}, {200, 155}});
    for (KnownPoint& point : points) {
      point.uncertainty = mm(1e-6);
      point.tap.x_px += miss(random);
      point.tap.y_px += miss(random);
    }
    const auto fitted = map_from_points(points);
    ASSERT_TRUE(fitted) << why(fitted);
    const auto placed = fitted->map.placed(camera.see(truth), 0);
    if (std::hypot(placed->at.x_mm - truth.x_mm, placed->at.y_mm - truth.y_mm) <= placed->uncertainty_mm) ++held;
  }
  EXPECT_GE(held, 178);
}

TEST(MapFromPoints, AWrongPlaceShowsInTheError) {
  const test::Camera camera{.tilt = 0.3};
  auto points = seen_by(camera, {{15, 15}, {385, 15}, {385, 155}, {15, 155}, {200, 20}, {210, 150}});
  EXPECT_EQ(map_from_points(points)->doubt, "");
  points[4].at.y_mm = 30;
  const auto fitted = map_from_points(points);
  ASSERT_TRUE(fitted);
  EXPECT_GT(fitted->error, fitted->error_band);
  EXPECT_THAT(fitted->doubt, HasSubstr("disagree"));
}

TEST(MapFromPoints, NonsenseIsRefusedInWords) {
  const test::Camera camera{.tilt = 0.3};
  EXPECT_THAT(why(map_from_points({})), HasSubstr("at least four"));
  EXPECT_THAT(why(map_from_points(seen_by(camera, {{0, 0}, {1, 0}, {1, 1}}))), HasSubstr("3 known points"));
  EXPECT_THAT(why(map_from_points(seen_by(camera, {{0, 0}, {100, 0}, {200, 0}, {300, 0}, {50, 0}}))), HasSubstr("on a line"));
  EXPECT_THAT(why(map_from_points(seen_by(camera, {{0, 0}, {100, 0}, {200, 0}, {300, 90}}))), HasSubstr("on a line"));
  EXPECT_THAT(why(map_from_points(seen_by(camera, {{0, 0}, {100, 0}, {0, 0}, {300, 90}}))), HasSubstr("same place"));
  auto crossed = seen_by(camera, kCorners);
  std::swap(crossed[0].at, crossed[1].at);
  EXPECT_THAT(why(map_from_points(crossed)), HasSubstr("do not belong together"));
  auto missing = seen_by(camera, kCorners);
  missing[2].tap.x_px = std::nan("");
  EXPECT_FALSE(map_from_points(missing));
}

TEST(PlanMap, BeyondTheHorizonThereIsNoPlace) {
  const test::Camera camera{.tilt = 1.2, .heading = 0};
  const auto fitted = map_from_points(seen_by(camera, kCorners));
  ASSERT_TRUE(fitted);
  EXPECT_FALSE(fitted->map.place({1e6, 450}) && fitted->map.place({-1e6, 450})) << "the horizon lies on one side";
}

TEST(PlanMap, AxesAndMirror) {
  const auto fitted = map_from_distances({known({0, 0}, {100, 0}, 100)});
  const auto turned = fitted->map.with_axes({50, 50}, {50, 20});
  ASSERT_TRUE(turned);
  EXPECT_NEAR(turned->place({50, 50})->x_mm, 0, kExact_mm);
  EXPECT_NEAR(turned->place({50, 20})->x_mm, 30, kExact_mm);
  EXPECT_NEAR(turned->place({50, 20})->y_mm, 0, kExact_mm);
  EXPECT_NEAR(turned->place({40, 50})->y_mm, 10, kExact_mm) << "left of the way ahead";
  EXPECT_NEAR(turned->placed({50, 50}, 0)->uncertainty_mm, 0, kExact_mm) << "sure at its own origin";
  EXPECT_FALSE(fitted->map.with_axes({50, 50}, {50, 50}));
  const PlanMap mirrored = fitted->map.mirrored();
  EXPECT_NEAR(mirrored.place({30, 0})->x_mm, -fitted->map.place({30, 0})->x_mm, kExact_mm);
  EXPECT_NEAR(fitted->map.moved(3, 4).place({0, 0})->y_mm, fitted->map.place({0, 0})->y_mm + 4, kExact_mm);
}

}  // namespace
}  // namespace headjoint::photo
