#pragma once

#include <cstddef>
#include <vector>

#include "headjoint/faces/straightedge.h"

namespace headjoint::faces::internal {

/// One reading of a line as a linear form of what is unknown, with the interval it lies in.
struct LineReading {
  std::size_t line = 0;
  std::size_t spot = 0;
  double low = 0;
  double high = 0;

  /// The middle of the interval; the lower end when there is no upper one.
  [[nodiscard]] double middle() const;
};

/// A place on the face where one line or several have a spot.
struct LinePlace {
  double x = 0;
  double y = 0;
};

/// Readings, places and what ties them. Heights are mm; `heights` hold with every plane taken off, so that they speak of flatness alone.
struct LineSystem {
  std::vector<LineReading> readings;
  std::vector<LinePlace> places;
  std::vector<std::vector<double>> closures;     ///< rows: what the readings must meet; orthonormal
  std::vector<std::vector<double>> heights;      ///< [place][reading]: height of the place when the closures are met
  std::vector<std::vector<double>> free_shapes;  ///< [shape][place]: heights that change no reading; orthonormal, planes taken off
  std::vector<std::size_t> shared_places;        ///< [line] places it shares with other lines
};

/// Ties lines with places together. Lines with fewer than 2 measured spots are left out.
[[nodiscard]] LineSystem line_system(const MeasuredLines& measured);

/// Takes the plane of least squares off values at places.
[[nodiscard]] std::vector<double> without_plane(const std::vector<LinePlace>& places, const std::vector<double>& values);

/// True when the places do not lie on one line and are at least 4.
[[nodiscard]] bool span_a_plane(const std::vector<LinePlace>& places);

}  // namespace headjoint::faces::internal
