#pragma once

#include <array>
#include <span>
#include <vector>

#include "headjoint/clamp/internal/plan_grid.h"
#include "headjoint/numerics/banded_cholesky.h"

namespace headjoint::clamp {

/// A Mindlin plate on the cells of a grid: w and the two rotations bx, by (u = z bx, v = z by) at every node.
///
/// Bilinear cells with the transverse shear tied at the middles of their sides, which does not lock when the plate is thin.
/// @par Source  K. J. Bathe, E. N. Dvorkin, Int. J. Numer. Meth. Eng. 21 (1985) 367-383 (formulation from memory)
class Plate {
 public:
  using CellMatrix = std::array<double, 144>;

  /// @param bending  D = E t^3 / 12 (1 - nu^2) of every cell, N mm; 0 where there is no metal
  /// @param shear    5/6 G t of every cell, N/mm
  Plate(const PlanGrid& grid, double poisson_ratio, std::vector<double> bending, std::vector<double> shear);

  [[nodiscard]] const PlanGrid& grid() const { return grid_; }
  [[nodiscard]] double bending(std::size_t cell) const { return bending_[cell]; }
  /// The stiffness matrix; an unknown without metal gets 1 on its diagonal.
  void assemble(numerics::BandedMatrix& matrix) const;
  /// forces += K u, cell by cell.
  void add_forces(std::span<const double> u, std::span<double> forces) const;
  /// Load of a curvature `curvature[cell]` (1/mm, alike in all directions) that heat would give each cell if it were free.
  void add_heat_load(std::span<const double> curvature, std::span<double> load) const;
  /// Moments Mx, My, Mxy per length in the middle of a cell, N: D (bx,x + nu by,y) and so on.
  [[nodiscard]] std::array<double, 3> moments(std::size_t cell, std::span<const double> u) const;

 private:
  [[nodiscard]] std::array<double, 12> gathered(std::size_t cell, std::span<const double> u) const;
  PlanGrid grid_;
  double poisson_ratio_;
  std::vector<double> bending_;
  std::vector<double> shear_;
  CellMatrix unit_bending_{};  ///< of D = 1
  CellMatrix unit_shear_{};    ///< of 5/6 G t = 1
};

}  // namespace headjoint::clamp
