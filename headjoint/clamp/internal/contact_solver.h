#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "headjoint/clamp/internal/gasket_points.h"
#include "headjoint/clamp/internal/plate.h"
#include "headjoint/numerics/banded_cholesky.h"

namespace headjoint::clamp {

/// One bolt as the solver sees it: a constant force, a spring that never pulls up, or nothing.
struct BoltAction1 {
  enum class Kind : std::uint8_t { kNone, kForce, kSpring };
  Kind kind = Kind::kNone;
  double force_N = 0;      ///< constant, or of the spring at `movement_mm`
  double movement_mm = 0;  ///< where a spring is locked
};

/// How a solve ended.
struct ContactReport {
  enum class End { kNotRun, kConverged, kRunsAway, kStepLimit };
  End end = End::kNotRun;
  int steps = 0;
  int factorisations = 0;
  double residual_N = 0;  ///< greatest nodal force out of balance
};

/// The least point of the energy of plate, gasket and bolts: convex, once differentiable, piecewise quadratic where the gasket is linear.
///
/// Semismooth Newton: the second derivative of today's contact state is factored (only from the first column that changed), bolts that act
/// as springs are added as a low-rank correction, and the step's length is the exact least point along it (one root of a rising function).
/// With springs alone the method ends after finitely many steps.
/// @par Source  semismooth Newton for contact: Hintermueller, Ito, Kunisch, SIAM J. Optim. 13 (2002) 865 (from memory)
class ContactSolver {
 public:
  ContactSolver(const Plate& plate, GasketPoints points, std::vector<SpreadLoad> bolts, double bolt_stiffness);

  /// Moves `u` from where it is to equilibrium under `load` and `bolts`. The gasket's memory stays as it is; see remember().
  /// @param gap     initial closure at every node from the measured faces, mm (positive: metal stands proud)
  /// @param force_scale  applied force that the tolerance refers to
  [[nodiscard]] ContactReport solve(std::vector<double>& u, std::span<const double> load, std::span<const BoltAction1> bolts,
                                    std::span<const double> gap, double force_scale, double tolerance, int step_limit);

  /// How the place of rest moves for a small change of load, contact and acting springs as they are in `u`; in place. Right after solve().
  void respond(std::span<double> load_change, std::span<const double> u, std::span<const BoltAction1> bolts);
  /// Load that stands for a small change of the gap: minus what the touching points push more.
  void add_gap_load(std::span<const double> gap_change, std::span<double> load) const;

  /// Keeps the greatest closure of every point.
  void remember(std::span<const double> u, std::span<const double> gap);
  void forget() { std::fill(points_.greatest.begin(), points_.greatest.end(), 0.0); }

  /// Closure of every point, mm.
  void closures(std::span<const double> u, std::span<const double> gap, std::span<double> closure) const;
  [[nodiscard]] double bolt_force(std::size_t bolt, const BoltAction1& action, std::span<const double> u) const;
  [[nodiscard]] double bolt_movement(std::size_t bolt, std::span<const double> u) const { return bolts_[bolt].mean(u); }
  [[nodiscard]] const GasketPoints& points() const { return points_; }
  [[nodiscard]] const Plate& plate() const { return *plate_; }
  [[nodiscard]] double bolt_stiffness() const { return bolt_stiffness_; }
  [[nodiscard]] std::size_t bolt_count() const { return bolts_.size(); }
  [[nodiscard]] const SpreadLoad& washer(std::size_t bolt) const { return bolts_[bolt]; }
  /// x of A x = b with the gasket closed everywhere and no bolt springs.
  void solve_closed(std::span<double> b);
  [[nodiscard]] std::size_t bytes() const;

 private:
  struct Evaluation;
  void evaluate(std::span<const double> u, std::span<const double> load, std::span<const BoltAction1> bolts, std::span<const double> gap);
  void assemble_and_factor();
  void prepare_springs();
  [[nodiscard]] std::vector<double> spring_products(std::span<const double> x) const;
  void solve_tangent(std::span<double> right_side, std::span<const BoltAction1> bolts, std::span<const double> u);
  [[nodiscard]] double step_length(std::span<const double> u, std::span<const BoltAction1> bolts);

  const Plate* plate_;
  GasketPoints points_;
  std::vector<SpreadLoad> bolts_;
  double bolt_stiffness_;
  std::vector<double> least_slope_;  ///< per point: keeps the matrix definite where nothing touches
  numerics::BandedMatrix matrix_;    ///< plate and gasket at `factored_slope_`
  numerics::BandedCholesky cholesky_;
  std::vector<double> factored_slope_;  ///< per point, as added to the matrix
  bool springs_ready_ = false;
  std::vector<std::size_t> spring_order_;            ///< bolts by first column
  std::vector<std::vector<double>> spring_columns_;  ///< L^-1 washer, kRightSides bolts each
  std::vector<double> spring_gram_;                  ///< their products with each other
  // of the point at hand
  std::vector<double> closure_, pressure_, slope_, residual_, direction_, plate_direction_, closure_rate_, work_;
  int factorisations_ = 0;
};

}  // namespace headjoint::clamp
