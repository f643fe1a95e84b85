#include "headjoint/clamp/internal/plate.h"

#include <cmath>

namespace headjoint::clamp {
namespace {

using Row = std::array<double, 12>;

/// Derivatives of the four weights at (s, t) in -1 .. 1.
struct Derivatives {
  std::array<double, 4> x, y;
};
Derivatives derivatives(double s, double t, double dx, double dy) {
  constexpr std::array<double, 4> kS = {-1, 1, 1, -1}, kT = {-1, -1, 1, 1};
  Derivatives d{};
  for (std::size_t i = 0; i < 4; ++i) {
    d.x[i] = kS[i] * (1 + kT[i] * t) / 2 / dx;
    d.y[i] = kT[i] * (1 + kS[i] * s) / 2 / dy;
  }
  return d;
}

/// Curvatures kx = bx,x; ky = by,y; kxy = bx,y + by,x as rows over the cell's 12 unknowns.
std::array<Row, 3> curvature_rows(double s, double t, double dx, double dy) {
  const Derivatives d = derivatives(s, t, dx, dy);
  std::array<Row, 3> rows{};
  for (std::size_t i = 0; i < 4; ++i) {
    rows[0][3 * i + 1] = d.x[i];
    rows[1][3 * i + 2] = d.y[i];
    rows[2][3 * i + 1] = d.y[i];
    rows[2][3 * i + 2] = d.x[i];
  }
  return rows;
}

/// Shear strain along one side of the cell, from node a to node b.
void add_side(Row& row, std::size_t a, std::size_t b, std::size_t rotation, double length, double share) {
  row[3 * a] -= share / length;
  row[3 * b] += share / length;
  row[3 * a + rotation] += share / 2;
  row[3 * b + rotation] += share / 2;
}

/// Transverse shear w,x + bx and w,y + by, tied at the middles of the sides.
std::array<Row, 2> shear_rows(double s, double t, double dx, double dy) {
  std::array<Row, 2> rows{};
  add_side(rows[0], 0, 1, 1, dx, (1 - t) / 2);
  add_side(rows[0], 3, 2, 1, dx, (1 + t) / 2);
  add_side(rows[1], 0, 3, 2, dy, (1 - s) / 2);
  add_side(rows[1], 1, 2, 2, dy, (1 + s) / 2);
  return rows;
}

void add_product(Plate::CellMatrix& matrix, const Row& a, const Row& b, double factor) {
  for (std::size_t i = 0; i < 12; ++i)
    for (std::size_t j = 0; j < 12; ++j) matrix[12 * i + j] += factor * a[i] * b[j];
}

}  // namespace

PlanGrid grid_over(const Polygon& outline, double size) {
  PlanGrid grid;
  double x1 = outline.front().x_mm, y1 = outline.front().y_mm;
  grid.x0 = x1, grid.y0 = y1;
  for (const PlanPoint& p : outline) {
    grid.x0 = std::min(grid.x0, p.x_mm), x1 = std::max(x1, p.x_mm);
    grid.y0 = std::min(grid.y0, p.y_mm), y1 = std::max(y1, p.y_mm);
  }
  grid.columns = std::max(1, static_cast<int>(std::lround((x1 - grid.x0) / size)));
  grid.rows = std::max(1, static_cast<int>(std::lround((y1 - grid.y0) / size)));
  grid.dx = (x1 - grid.x0) / grid.columns;
  grid.dy = (y1 - grid.y0) / grid.rows;
  return grid;
}

Plate::Plate(const PlanGrid& grid, double poisson_ratio, std::vector<double> bending, std::vector<double> shear)
    : grid_(grid), poisson_ratio_(poisson_ratio), bending_(std::move(bending)), shear_(std::move(shear)) {
  const double gauss = 1 / std::sqrt(3.0), weight = grid.dx * grid.dy / 4;
  for (const double s : {-gauss, gauss})
    for (const double t : {-gauss, gauss}) {
      const auto k = curvature_rows(s, t, grid.dx, grid.dy);
      add_product(unit_bending_, k[0], k[0], weight);
      add_product(unit_bending_, k[1], k[1], weight);
      add_product(unit_bending_, k[0], k[1], weight * poisson_ratio);
      add_product(unit_bending_, k[1], k[0], weight * poisson_ratio);
      add_product(unit_bending_, k[2], k[2], weight * (1 - poisson_ratio) / 2);
      for (const Row& shear_row : shear_rows(s, t, grid.dx, grid.dy)) add_product(unit_shear_, shear_row, shear_row, weight);
    }
}

std::array<double, 12> Plate::gathered(std::size_t cell, std::span<const double> u) const {
  std::array<double, 12> local{};
  const auto nodes = grid_.nodes_of(cell);
  for (std::size_t i = 0; i < 4; ++i)
    for (std::size_t c = 0; c < 3; ++c) local[3 * i + c] = u[3 * nodes[i] + c];
  return local;
}

void Plate::assemble(numerics::BandedMatrix& matrix) const {
  std::vector<bool> has_metal(grid_.node_count(), false);
  for (std::size_t cell = 0; cell < grid_.cell_count(); ++cell) {
    if (!(bending_[cell] > 0)) continue;
    const auto nodes = grid_.nodes_of(cell);
    for (std::size_t i = 0; i < 12; ++i) {
      has_metal[nodes[i / 3]] = true;
      const std::size_t row = 3 * nodes[i / 3] + i % 3;
      for (std::size_t j = 0; j < 12; ++j) {
        const std::size_t column = 3 * nodes[j / 3] + j % 3;
        if (row >= column) matrix.add(row, column, bending_[cell] * unit_bending_[12 * i + j] + shear_[cell] * unit_shear_[12 * i + j]);
      }
    }
  }
  for (std::size_t node = 0; node < grid_.node_count(); ++node)
    for (std::size_t c = 0; c < 3 && !has_metal[node]; ++c) matrix.add(3 * node + c, 3 * node + c, 1);
}

void Plate::add_forces(std::span<const double> u, std::span<double> forces) const {
  for (std::size_t cell = 0; cell < grid_.cell_count(); ++cell) {
    if (!(bending_[cell] > 0)) continue;
    const std::array<double, 12> local = gathered(cell, u);
    std::array<double, 12> bend{}, slip{};
    for (std::size_t j = 0; j < 12; ++j)
      for (std::size_t i = 0; i < 12; ++i) {
        bend[i] += unit_bending_[12 * j + i] * local[j];
        slip[i] += unit_shear_[12 * j + i] * local[j];
      }
    const auto nodes = grid_.nodes_of(cell);
    for (std::size_t i = 0; i < 12; ++i) forces[3 * nodes[i / 3] + i % 3] += bending_[cell] * bend[i] + shear_[cell] * slip[i];
  }
}

void Plate::add_heat_load(std::span<const double> curvature, std::span<double> load) const {
  const auto mean = curvature_rows(0, 0, grid_.dx, grid_.dy);  // the mean over the cell of rows linear in s and t
  for (std::size_t cell = 0; cell < grid_.cell_count(); ++cell) {
    const double moment = bending_[cell] * (1 + poisson_ratio_) * curvature[cell] * grid_.dx * grid_.dy;
    const auto nodes = grid_.nodes_of(cell);
    for (std::size_t i = 0; i < 12; ++i) load[3 * nodes[i / 3] + i % 3] += moment * (mean[0][i] + mean[1][i]);
  }
}

std::array<double, 3> Plate::moments(std::size_t cell, std::span<const double> u) const {
  const std::array<double, 12> local = gathered(cell, u);
  const auto rows = curvature_rows(0, 0, grid_.dx, grid_.dy);
  std::array<double, 3> k{};
  for (std::size_t r = 0; r < 3; ++r)
    for (std::size_t i = 0; i < 12; ++i) k[r] += rows[r][i] * local[i];
  const double d = bending_[cell];
  return {d * (k[0] + poisson_ratio_ * k[1]), d * (k[1] + poisson_ratio_ * k[0]), d * (1 - poisson_ratio_) / 2 * k[2]};
}

}  // namespace headjoint::clamp
