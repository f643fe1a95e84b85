#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>

#include "headjoint/clamp/internal/area_moments.h"

namespace headjoint::clamp {

/// A regular grid over the box of the outline. Nodes and cells are counted along the shorter side first, which keeps the matrix band
/// narrow.
struct PlanGrid {
  int columns = 0;  ///< cells along x
  int rows = 0;     ///< cells along y
  double x0 = 0, y0 = 0;
  double dx = 0, dy = 0;

  [[nodiscard]] bool counts_along_y() const { return rows <= columns; }
  [[nodiscard]] std::size_t cell_count() const { return static_cast<std::size_t>(columns) * static_cast<std::size_t>(rows); }
  [[nodiscard]] std::size_t node_count() const { return static_cast<std::size_t>(columns + 1) * static_cast<std::size_t>(rows + 1); }
  [[nodiscard]] std::size_t unknown_count() const { return 3 * node_count(); }
  [[nodiscard]] std::size_t half_band() const { return 3 * (static_cast<std::size_t>(std::min(columns, rows)) + 2) + 2; }

  [[nodiscard]] std::size_t node(int ix, int iy) const {
    return static_cast<std::size_t>(counts_along_y() ? ix * (rows + 1) + iy : iy * (columns + 1) + ix);
  }
  [[nodiscard]] std::size_t cell(int ix, int iy) const {
    return static_cast<std::size_t>(counts_along_y() ? ix * rows + iy : iy * columns + ix);
  }
  [[nodiscard]] int column_of(std::size_t cell) const {
    return counts_along_y() ? static_cast<int>(cell) / rows : static_cast<int>(cell) % columns;
  }
  [[nodiscard]] int row_of(std::size_t cell) const {
    return counts_along_y() ? static_cast<int>(cell) % rows : static_cast<int>(cell) / columns;
  }
  /// Counter-clockwise from the corner of least x and y.
  [[nodiscard]] std::array<std::size_t, 4> nodes_of(std::size_t cell) const {
    const int ix = column_of(cell), iy = row_of(cell);
    return {node(ix, iy), node(ix + 1, iy), node(ix + 1, iy + 1), node(ix, iy + 1)};
  }
  [[nodiscard]] Rectangle rectangle(std::size_t cell) const {
    const int ix = column_of(cell), iy = row_of(cell);
    return {x0 + ix * dx, y0 + iy * dy, x0 + (ix + 1) * dx, y0 + (iy + 1) * dy};
  }
  [[nodiscard]] std::size_t cell_at(PlanPoint p) const {
    const int ix = std::clamp(static_cast<int>(std::floor((p.x_mm - x0) / dx)), 0, columns - 1);
    const int iy = std::clamp(static_cast<int>(std::floor((p.y_mm - y0) / dy)), 0, rows - 1);
    return cell(ix, iy);
  }
  /// Weights of a cell's four nodes at a point.
  [[nodiscard]] std::array<double, 4> weights(std::size_t cell, PlanPoint p) const {
    const Rectangle r = rectangle(cell);
    const double s = (p.x_mm - r.x0) / dx, t = (p.y_mm - r.y0) / dy;
    return {(1 - s) * (1 - t), s * (1 - t), s * t, (1 - s) * t};
  }
  /// Integrals of the four weights over a region inside the cell, mm2.
  [[nodiscard]] std::array<double, 4> weight_integrals(std::size_t cell, const AreaMoments& about_plan_origin) const {
    const Rectangle r = rectangle(cell);
    const AreaMoments m = about_plan_origin.moved(-r.x0, -r.y0);
    const double s = m.x / dx, t = m.y / dy, st = m.xy / (dx * dy);
    return {m.area - s - t + st, s - st, st, t - st};
  }
};

/// A grid of about `size` mm fitted to the box of the outline.
[[nodiscard]] PlanGrid grid_over(const Polygon& outline, double size);

}  // namespace headjoint::clamp
