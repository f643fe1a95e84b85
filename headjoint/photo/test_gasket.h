#pragma once

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>
#include <vector>

#include "headjoint/photo/photo.h"
#include "headjoint/photo/plan_map.h"

/// Pictures of an invented gasket, drawn by the tests: circles at known places, seen by a pinhole camera.
namespace headjoint::photo::test {

struct Hole {
  PlanPlace centre;
  double diameter_mm = 10;
};

/// A camera over the plan. Plan to picture: u = f X / Z + cx, v = f Y / Z + cy.
struct Camera {
  double focal_px = 1600;
  int width = 1200;
  int height = 900;
  double height_mm = 700;  ///< of the lens over the place it looks at
  double tilt = 0;         ///< radians from straight down
  double heading = 0;      ///< direction of the tilt, radians
  double turn = 0;         ///< of the picture about the line of sight
  PlanPlace looks_at{200, 85};

  [[nodiscard]] PicturePoint see(PlanPlace place) const {
    const double x = place.x_mm - looks_at.x_mm;
    const double y = place.y_mm - looks_at.y_mm;
    // Along and across the direction of the tilt.
    const double along = std::cos(heading) * x + std::sin(heading) * y;
    const double across = -std::sin(heading) * x + std::cos(heading) * y;
    const double depth = height_mm + std::sin(tilt) * along;
    const double right = std::cos(tilt) * along;
    const double a = focal_px * right / depth;
    const double b = focal_px * across / depth;
    const double back = heading + turn;
    return {width / 2.0 + std::cos(back) * a - std::sin(back) * b, height / 2.0 - (std::sin(back) * a + std::cos(back) * b)};
  }

  /// The place on the plan behind a pixel: see() solved for the place.
  [[nodiscard]] PlanPlace behind(PicturePoint point) const {
    const double back = heading + turn;
    const double px = point.x_px - width / 2.0;
    const double py = -(point.y_px - height / 2.0);
    const double a = std::cos(back) * px + std::sin(back) * py;
    const double b = -std::sin(back) * px + std::cos(back) * py;
    const double along = a * height_mm / (focal_px * std::cos(tilt) - a * std::sin(tilt));
    const double across = b * (height_mm + std::sin(tilt) * along) / focal_px;
    return {looks_at.x_mm + std::cos(heading) * along - std::sin(heading) * across,
            looks_at.y_mm + std::sin(heading) * along + std::cos(heading) * across};
  }
};

struct Scene {
  std::vector<Hole> holes;
  double gasket = 150;  ///< brightness
  double table = 60;
  double width_mm = 400;
  double depth_mm = 170;
  double shadow = 0;  ///< share of light lost across the picture
  double noise = 0;   ///< standard deviation, of 255
  double blur_px = 0.7;
  unsigned seed = 3;

  [[nodiscard]] double at(PlanPlace place) const {
    if (place.x_mm < 0 || place.y_mm < 0 || place.x_mm > width_mm || place.y_mm > depth_mm) return table;
    for (const Hole& hole : holes) {
      if (std::hypot(place.x_mm - hole.centre.x_mm, place.y_mm - hole.centre.y_mm) < hole.diameter_mm / 2) return table;
    }
    return gasket;
  }
};

/// Blurs rows, then columns.
inline void blur(GreyPicture& picture, double sigma) {
  if (!(sigma > 0)) return;
  const int reach = static_cast<int>(std::ceil(4 * sigma));
  std::vector<double> kernel;
  double sum = 0;
  for (int k = -reach; k <= reach; ++k) kernel.push_back(std::exp(-0.5 * k * k / (sigma * sigma)));
  for (double value : kernel) sum += value;
  for (const bool by_rows : {true, false}) {
    const GreyPicture before = picture;
    for (int y = 0; y < picture.height; ++y) {
      for (int x = 0; x < picture.width; ++x) {
        double value = 0;
        for (int k = -reach; k <= reach; ++k) {
          const int from_x = std::clamp(by_rows ? x + k : x, 0, picture.width - 1);
          const int from_y = std::clamp(by_rows ? y : y + k, 0, picture.height - 1);
          value += kernel[static_cast<std::size_t>(k + reach)] / sum * before.at(from_x, from_y);
        }
        picture.value[static_cast<std::size_t>(y * picture.width + x)] = static_cast<float>(value);
      }
    }
  }
}

/// Every pixel the mean of 4 x 4 looks, blurred, shaded, with noise.
inline GreyPicture photograph(const Scene& scene, const Camera& camera) {
  constexpr int kLooks = 4;
  GreyPicture picture{camera.width, camera.height, {}};
  picture.value.resize(static_cast<std::size_t>(camera.width * camera.height));
  for (int y = 0; y < camera.height; ++y) {
    for (int x = 0; x < camera.width; ++x) {
      double sum = 0;
      for (int i = 0; i < kLooks * kLooks; ++i) {
        const double dx = (i % kLooks + 0.5) / kLooks - 0.5;
        const double dy = (i / kLooks + 0.5) / kLooks - 0.5;
        sum += scene.at(camera.behind({x + dx, y + dy}));
      }
      picture.value[static_cast<std::size_t>(y * camera.width + x)] = static_cast<float>(sum / (kLooks * kLooks));
    }
  }
  blur(picture, scene.blur_px);
  std::mt19937 random(scene.seed);
  std::normal_distribution<double> noise(0, 1);
  for (int y = 0; y < camera.height; ++y) {
    for (int x = 0; x < camera.width; ++x) {
      float& value = picture.value[static_cast<std::size_t>(y * camera.width + x)];
      const double light = 1 - scene.shadow * (x + y) / (camera.width + camera.height);
      value = static_cast<float>(std::clamp(value * light + scene.noise * noise(random), 0.0, 255.0));
    }
  }
  return picture;
}

}  // namespace headjoint::photo::test
