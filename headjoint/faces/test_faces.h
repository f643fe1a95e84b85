#pragma once

#include <array>
#include <cmath>
#include <random>

#include "headjoint/faces/face_points.h"
#include "headjoint/units/quantity.h"

/// Faces for tests.
namespace headjoint::faces {

inline constexpr double kHeight_mm = 0.1;      // h of the closed forms
inline constexpr double kRounding_mm = 1e-11;  // coordinates of 500 mm in double precision

inline double mm(Length length) { return length.si() * 1e3; }

inline void add(FacePoints& points, double x, double y, double z) {
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

inline FacePoints saddle4() {
  FacePoints points;
  add(points, 0, 0, kHeight_mm);
  add(points, 400, 0, -kHeight_mm);
  add(points, 400, 150, kHeight_mm);
  add(points, 0, 150, -kHeight_mm);
  return points;
}

inline FacePoints pyramid5() {
  FacePoints points;
  for (const double x : {0.0, 400.0})
    for (const double y : {0.0, 150.0}) add(points, x, y, 0);
  add(points, 200, 75, kHeight_mm);
  return points;
}

inline FacePoints turned_about_x(FacePoints points, double degrees) {
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

inline FacePoints random_face(std::mt19937& random, int count, double length, double width, double height) {
  std::uniform_real_distribution<double> u(0, 1);
  FacePoints points;
  for (int i = 0; i < count; ++i) {
    const double x = length * u(random);
    const double y = width * u(random);
    add(points, x, y, height * u(random));
  }
  return points;
}

}  // namespace headjoint::faces
