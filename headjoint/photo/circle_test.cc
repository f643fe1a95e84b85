#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "headjoint/photo/circle_finder.h"
#include "headjoint/photo/circle_fit.h"
#include "headjoint/photo/test_gasket.h"

namespace headjoint::photo {
namespace {

constexpr double kPublished = 5e-5;  // the paper prints four decimals
constexpr double kClean_px = 0.10;   // sharp, no noise: a tenth of a pixel in centre and diameter
constexpr double kRough_px = 0.30;   // noise of 8 of 255, shadow, blur

/// W. Gander, G. H. Golub, R. Strebel: Least-squares fitting of circles and ellipses, BIT 34 (1994) 558, the six points of
/// sections 2 and 3, and what the geometric fit gives there; typed from memory.
TEST(CircleFit, PublishedExample) {
  const FittedCircle fitted = fit_circle({{1, 7}, {2, 6}, {5, 8}, {7, 7}, {9, 5}, {3, 7}});
  ASSERT_TRUE(fitted.converged);
  EXPECT_NEAR(fitted.centre.x_mm, 4.7398, kPublished);
  EXPECT_NEAR(fitted.centre.y_mm, 2.9835, kPublished);
  EXPECT_NEAR(fitted.radius_mm, 4.7142, kPublished);
}

TEST(CircleFit, PointsOnALineAreNoCircle) {
  EXPECT_FALSE(fit_circle({{0, 0}, {1, 1}, {2, 2}, {3, 3}}).converged);
  EXPECT_FALSE(fit_circle({{0, 0}, {1, 1}}).converged);
  EXPECT_FALSE(fit_circle({{2, 2}, {2, 2}, {2, 2}}).converged);
}

TEST(CircleFit, FarPointsDoNotPullTheRobustFit) {
  std::vector<PlanPlace> points;
  for (int i = 0; i < 60; ++i) points.push_back({10 + 5 * std::cos(0.1047 * i), 20 + 5 * std::sin(0.1047 * i)});
  for (int i = 0; i < 10; ++i) points[static_cast<std::size_t>(6 * i)].x_mm += 1.5;
  const FittedCircle fitted = fit_circle(points, true);
  ASSERT_TRUE(fitted.converged);
  EXPECT_NEAR(fitted.centre.x_mm, 10, 1e-3);
  EXPECT_NEAR(fitted.radius_mm, 5, 1e-3);
}

PlanMap map_of(const test::Camera& camera) {
  std::vector<KnownPoint> points;
  for (const PlanPlace& place : std::vector<PlanPlace>{{10, 10}, {390, 10}, {390, 160}, {10, 160}})
    points.push_back({camera.see(place), place, Length::from_si(1e-9)});
  return map_from_points(points, 0.01)->map;
}

const std::vector<test::Hole> kHoles = {{{60, 85}, 82}, {{150, 85}, 82}, {{20, 20}, 12}, {{105, 20}, 9}, {{200, 150}, 6.5}};

/// Every hole found within `px` pixels, tapped off its middle by a fifth of its diameter.
void expect_found(const test::Scene& scene, const test::Camera& camera, double px, CircleSearch search = {}) {
  const GreyPicture picture = test::photograph(scene, camera);
  const PlanMap map = map_of(camera);
  for (const test::Hole& hole : scene.holes) {
    SCOPED_TRACE(testing::Message() << "hole of " << hole.diameter_mm << " at " << hole.centre.x_mm);
    const PicturePoint tap = camera.see({hole.centre.x_mm + 0.2 * hole.diameter_mm, hole.centre.y_mm});
    const FoundCircle found = find_circle(picture, map, tap, search);
    ASSERT_EQ(found.status, CircleStatus::kFound) << text_of(found.status) << " " << found.seen_share;
    const double px_mm = map.mm_per_px(tap);
    EXPECT_NEAR(found.centre.x_mm, hole.centre.x_mm, px * px_mm);
    EXPECT_NEAR(found.centre.y_mm, hole.centre.y_mm, px * px_mm);
    EXPECT_NEAR(found.diameter_mm, hole.diameter_mm, 2 * px * px_mm);
    EXPECT_LT(std::abs(found.diameter_mm - hole.diameter_mm), found.diameter_uncertainty_mm);
    EXPECT_LT(std::hypot(found.centre.x_mm - hole.centre.x_mm, found.centre.y_mm - hole.centre.y_mm), found.centre_uncertainty_mm);
  }
}

TEST(FindCircle, HolesSeenFromStraightAbove) { expect_found({.holes = kHoles}, {}, kClean_px); }

TEST(FindCircle, HolesSeenAtAnAngleAreCirclesAgain) {
  for (const double heading : {0.3, 1.8, 3.9}) expect_found({.holes = kHoles}, {.tilt = 0.5, .heading = heading, .turn = 0.3}, kClean_px);
}

TEST(FindCircle, HolesUnderNoiseBlurAndShadow) {
  expect_found({.holes = kHoles, .shadow = 0.5, .noise = 8, .blur_px = 1.5}, {.tilt = 0.35, .heading = 1.2}, kRough_px);
}

TEST(FindCircle, HolesBrighterThanTheGasket) { expect_found({.holes = kHoles, .gasket = 70, .table = 220}, {}, kClean_px); }

TEST(FindCircle, TheHoleIsFoundNotTheRingRoundIt) {
  test::Scene scene{.holes = {{{150, 85}, 82}}};
  const test::Camera camera;
  GreyPicture picture = test::photograph(scene, camera);
  const PlanMap map = map_of(camera);
  // A bright ring from 86 to 92 mm.
  for (int y = 0; y < picture.height; ++y) {
    for (int x = 0; x < picture.width; ++x) {
      const PlanPlace at = camera.behind({static_cast<double>(x), static_cast<double>(y)});
      const double r = std::hypot(at.x_mm - 150, at.y_mm - 85);
      if (r > 43 && r < 46) picture.value[static_cast<std::size_t>(y * picture.width + x)] = 230;
    }
  }
  const FoundCircle found = find_circle(picture, map, camera.see({155, 80}));
  ASSERT_TRUE(found.may_be_used());
  EXPECT_NEAR(found.diameter_mm, 82, 2 * kRough_px * map.mm_per_px({600, 450}));
}

TEST(FindCircle, ScalingThePictureChangesNothingThatMatters) {
  const test::Scene scene{.holes = {{{150, 85}, 82}}};
  const test::Camera small;
  const test::Camera large{.focal_px = 2400, .width = 1800, .height = 1350};
  const FoundCircle a = find_circle(test::photograph(scene, small), map_of(small), small.see({150, 85}));
  const FoundCircle b = find_circle(test::photograph(scene, large), map_of(large), large.see({150, 85}));
  EXPECT_NEAR(a.diameter_mm, b.diameter_mm, 2 * 2 * kClean_px * 0.5);
}

TEST(FindCircle, WhereThereIsNoCircleNoneIsFound) {
  const test::Camera camera;
  const GreyPicture flat = test::photograph({.holes = {}, .noise = 6}, camera);
  EXPECT_EQ(find_circle(flat, map_of(camera), camera.see({200, 85}), {.most_radius_mm = 50}).status, CircleStatus::kNotFound);
  EXPECT_EQ(find_circle(flat, map_of(camera), {-5, 3}).status, CircleStatus::kOffPlan);
  EXPECT_EQ(find_circle(flat, map_of(camera), {std::nan(""), 3}).status, CircleStatus::kOffPlan);
}

TEST(FindCircle, ACircleThatLeavesThePictureIsSaidToBeCutOff) {
  const test::Camera camera{.looks_at = {350, 85}};
  const test::Scene scene{.holes = {{{95, 85}, 82}}};
  const FoundCircle found = find_circle(test::photograph(scene, camera), map_of(camera), camera.see({102, 85}));
  EXPECT_EQ(found.status, CircleStatus::kCutOff) << text_of(found.status);
}

TEST(FindCircle, AHalfCoveredHoleIsPartlySeen) {
  const test::Camera camera;
  const test::Scene scene{.holes = {{{150, 85}, 82}}};
  GreyPicture picture = test::photograph(scene, camera);
  for (int y = 0; y < picture.height; ++y) {
    for (int x = 0; x < picture.width; ++x) {
      if (camera.behind({static_cast<double>(x), static_cast<double>(y)}).y_mm > 95)
        picture.value[static_cast<std::size_t>(y * picture.width + x)] = 150;
    }
  }
  const FoundCircle found = find_circle(picture, map_of(camera), camera.see({150, 80}));
  EXPECT_EQ(found.status, CircleStatus::kPartly) << found.seen_share;
  EXPECT_NEAR(found.diameter_mm, 82, 0.5);
}

}  // namespace
}  // namespace headjoint::photo
