#include "headjoint/clamp/internal/plate.h"

#include <gtest/gtest.h>

#include <cmath>

#include "headjoint/clamp/internal/gasket_points.h"
#include "headjoint/clamp/test_joints.h"

namespace headjoint::clamp {
namespace {

constexpr double kOnePercent = 0.01;

enum class Edge { kSimplySupported, kClamped };

/// A unit square, D = 1, under q = 1; foundation K per area; n cells each way.
struct Square {
  PlanGrid grid;
  Plate plate;
  std::vector<double> u;

  Square(int n, Edge edge, double poisson, double thickness, double foundation = 0, double point_load = 0)
      : grid(grid_over({{0, 0}, {1, 0}, {1, 1}, {0, 1}}, 1.0 / n)),
        plate(grid, poisson, std::vector<double>(grid.cell_count(), 1.0),
              // 5/6 G t with E = 12 (1 - nu^2) / t^3
              std::vector<double>(grid.cell_count(), 5.0 / 6 * 6 * (1 - poisson) / (thickness * thickness))),
        u(grid.unknown_count(), 0.0) {
    numerics::BandedMatrix matrix(grid.unknown_count(), grid.half_band());
    plate.assemble(matrix);
    const double area = grid.dx * grid.dy;
    for (std::size_t cell = 0; cell < grid.cell_count(); ++cell) {
      const auto nodes = grid.nodes_of(cell);
      for (std::size_t i = 0; i < 4; ++i) u[3 * nodes[i]] += point_load > 0 ? 0 : area / 4;
      if (foundation <= 0) continue;
      const FourPoints gauss = four_points(rectangle_moments(grid.rectangle(cell)));
      for (const PlanPoint& at : gauss.at) {
        const auto w = grid.weights(cell, at);
        for (std::size_t i = 0; i < 4; ++i)
          for (std::size_t j = 0; j <= i; ++j) matrix.add(3 * nodes[i], 3 * nodes[j], foundation * gauss.area_each * w[i] * w[j]);
      }
    }
    if (point_load > 0) u[3 * centre()] = point_load;
    const auto fix = [&](std::size_t unknown) {
      matrix.fix(unknown);
      u[unknown] = 0;
    };
    for (int i = 0; i <= n; ++i)
      for (const int side : {0, n}) {
        const std::size_t across = grid.node(side, i), along = grid.node(i, side);
        for (const std::size_t node : {across, along}) fix(3 * node);
        fix(3 * across + 2);  // rotation along the edge: hard support
        fix(3 * along + 1);
        if (edge == Edge::kSimplySupported) continue;
        fix(3 * across + 1);
        fix(3 * along + 2);
      }
    numerics::BandedCholesky cholesky(matrix);
    EXPECT_TRUE(cholesky.factor(matrix));
    cholesky.solve(u);
  }
  [[nodiscard]] std::size_t centre() const { return grid.node(grid.columns / 2, grid.rows / 2); }
  [[nodiscard]] double deflection() const { return u[3 * centre()]; }
  [[nodiscard]] double moment_x(int ix, int iy) const { return plate.moments(grid.cell(ix, iy), u)[0]; }
  /// Mean over the four cells that meet in the middle; w is positive along the load, so b = -w' and bending moment has this sign.
  [[nodiscard]] double centre_moment() const {
    const int n = grid.columns / 2;
    return (moment_x(n - 1, n - 1) + moment_x(n, n - 1) + moment_x(n - 1, n) + moment_x(n, n)) / 4;
  }
};

constexpr double kThin = 1e-3;

// Timoshenko & Woinowsky-Krieger table 8; Taylor & Govindjee 2002; Navier series.
TEST(Plate, ThinSquareUnderUniformLoad) {
  EXPECT_NEAR(Square(32, Edge::kSimplySupported, 0.3, kThin).deflection(), 0.00406235, kOnePercent * 0.00406235);
  EXPECT_NEAR(Square(32, Edge::kSimplySupported, 0.3, kThin).centre_moment(), 0.0478864, kOnePercent * 0.0478864);
  const Square clamped(64, Edge::kClamped, 0.3, kThin);
  EXPECT_NEAR(clamped.deflection(), 0.001265319, kOnePercent * 0.001265319);
  EXPECT_NEAR(clamped.centre_moment(), 0.0229051, kOnePercent * 0.0229051);
  const int middle = clamped.grid.rows / 2;
  const auto at = [&](int ix) { return (clamped.moment_x(ix, middle) + clamped.moment_x(ix, middle - 1)) / 2; };
  EXPECT_NEAR(1.5 * at(0) - 0.5 * at(1), -0.0513338, kOnePercent * 0.0513338);
}

// Navier series with 401 odd terms; MacNeal and Harder 1985 print 11.60e-3.
TEST(Plate, ThinSquareUnderAPointLoad) {
  EXPECT_NEAR(Square(64, Edge::kSimplySupported, 0.3, kThin, 0, 1).deflection(), 0.0116008, kOnePercent * 0.0116008);
}

// Exact Navier solution of the Mindlin plate (hard support, shear factor 5/6); clamped: Ritz with 12 terms.
TEST(Plate, ThickSquares) {
  struct Row {
    double thickness, supported, clamped;
  };
  for (const Row& r :
       {Row{.01, .00406446, .00126785}, Row{.05, .00411498, .00132726}, Row{.1, .00427284, .00150463}, Row{.2, .00490431, .00217216}}) {
    EXPECT_NEAR(Square(32, Edge::kSimplySupported, 0.3, r.thickness).deflection(), r.supported, kOnePercent * r.supported);
    EXPECT_NEAR(Square(32, Edge::kClamped, 0.3, r.thickness).deflection(), r.clamped, kOnePercent * r.clamped);
  }
}

// Timoshenko & Woinowsky-Krieger art. 60 (Navier series).
TEST(Plate, SupportedSquareOnAnElasticFoundation) {
  struct Row {
    double foundation, deflection, moment;
  };
  for (const Row& r :
       {Row{100, .00321371, .0370520}, Row{500, .00172922, .0182110}, Row{1000, .00107833, .0100942}, Row{5000, .000238759, .000595692}}) {
    const Square square(80, Edge::kSimplySupported, 0.3, kThin, r.foundation);
    EXPECT_NEAR(square.deflection(), r.deflection, kOnePercent * r.deflection) << r.foundation;
    EXPECT_NEAR(square.centre_moment(), r.moment, kOnePercent * r.moment) << r.foundation;
  }
}

TEST(Plate, ErrorFallsWithTheSquareOfTheMesh) {
  for (const double thickness : {kThin, 0.1}) {
    const double exact = thickness == kThin ? 0.00406235 : 0.00427284;
    double error[3];
    for (int i = 0; i < 3; ++i) error[i] = std::abs(Square(4 << i, Edge::kSimplySupported, 0.3, thickness).deflection() - exact);
    for (int i = 0; i < 2; ++i) EXPECT_NEAR(std::log2(error[i] / error[i + 1]), 2, 0.25) << thickness << ", mesh " << (4 << i);
  }
}

TEST(Plate, DoesNotLockHoweverThin) {
  const double thin = Square(8, Edge::kClamped, 0.3, 1e-3).deflection(), thinner = Square(8, Edge::kClamped, 0.3, 1e-5).deflection();
  EXPECT_NEAR(thinner / thin, 1, 1e-4);
}

TEST(Plate, RigidMotionsAreFreeOfForce) {
  const Square square(6, Edge::kClamped, 0.3, 0.1);
  std::vector<double> u(square.grid.unknown_count()), force(u.size(), 0.0);
  for (int ix = 0; ix <= 6; ++ix)
    for (int iy = 0; iy <= 6; ++iy) {
      const std::size_t node = square.grid.node(ix, iy);
      u[3 * node] = 1 + 2 * ix / 6.0 - 3 * iy / 6.0;
      u[3 * node + 1] = -2;
      u[3 * node + 2] = 3;
    }
  square.plate.add_forces(u, force);
  for (const double f : force) EXPECT_NEAR(f, 0, 1e-10);
}

// NAFEMS LE6: rhombic plate of 30 degrees, 1 m, 10 mm thick, 210 GPa, 0.3, 700 Pa, w = 0 round the edge: 0.802 MPa at the centre of the
// lower face. The grid does not fit the edges: cells are cut, and w is held at points along the edge by stiff springs.
TEST(Plate, RhombusOfNafemsOnAGridThatDoesNotFit) {
  constexpr double kFivePercent = 0.05, kSide = 1000, kThickness = 10, kModulus = 210e3, kPoisson = 0.3, kPressure = 700e-6;
  const double c = std::cos(M_PI / 6) * kSide, s = kSide / 2;
  ClampModel model = testing::slab({{0, 0}, {kSide, 0}, {kSide + c, s}, {c, s}}, kModulus, kPoisson, kThickness, 1, {{900, 200}});
  const PlanGrid grid = grid_over(model.outline, 6);
  const DeckLayout layout(model, grid);
  std::vector<double> bending, shear, u(grid.unknown_count(), 0.0);
  for (const auto& cell : layout.metal(kThickness, false)) {
    bending.push_back(kModulus * cell.cubed / 12 / (1 - kPoisson * kPoisson));
    shear.push_back(5.0 / 6 * kModulus / 2 / (1 + kPoisson) * cell.plain);
  }
  const Plate plate(grid, kPoisson, bending, shear);
  numerics::BandedMatrix matrix(grid.unknown_count(), grid.half_band());
  plate.assemble(matrix);
  layout.disc({900, 250}, 3000).add(kPressure, u);
  constexpr int kHeld = 2000;
  for (std::size_t side = 0; side < 4; ++side)
    for (int i = 0; i < kHeld; ++i) {
      const PlanPoint &a = model.outline[side], &b = model.outline[(side + 1) % 4];
      const double t = (i + 0.5) / kHeld;
      const PlanPoint at{a.x_mm + t * (b.x_mm - a.x_mm), a.y_mm + t * (b.y_mm - a.y_mm)};
      // On the upper and right edges of the box a place belongs to the cell inside.
      const std::size_t cell = grid.cell_at({at.x_mm, std::min(at.y_mm, s - 1e-9)});
      const auto nodes = grid.nodes_of(cell);
      const auto w = grid.weights(cell, at);
      constexpr double kStiff = 1e4;  // N/mm at every point, far above the plate's own
      for (std::size_t p = 0; p < 4; ++p)
        for (std::size_t q = 0; q <= p; ++q) matrix.add(3 * nodes[p], 3 * nodes[q], kStiff * w[p] * w[q]);
    }
  numerics::BandedCholesky cholesky(matrix);
  ASSERT_TRUE(cholesky.factor(matrix));
  cholesky.solve(u);
  const auto m = plate.moments(grid.cell_at({(kSide + c) / 2, s / 2}), u);
  const double first = (m[0] + m[1]) / 2 + std::hypot((m[0] - m[1]) / 2, m[2]);
  EXPECT_NEAR(6 * first / kThickness / kThickness, 0.802, kFivePercent * 0.802);
}

}  // namespace
}  // namespace headjoint::clamp
