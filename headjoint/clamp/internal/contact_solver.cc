#include "headjoint/clamp/internal/contact_solver.h"

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include "headjoint/base/error.h"

namespace headjoint::clamp {
namespace {

using numerics::BandedCholesky;
constexpr std::size_t kSides = BandedCholesky::kRightSides;
constexpr double kLeastSlopeShare = 1e-8;  // of a region's stiffness, only in the matrix, never in the forces

std::size_t first_unknown(const SpreadLoad& load) { return load.shares.empty() ? 0 : 3 * load.shares.front().first; }

double dot(std::span<const double> a, std::span<const double> b) { return std::inner_product(a.begin(), a.end(), b.begin(), 0.0); }

}  // namespace

ContactSolver::ContactSolver(const Plate& plate, GasketPoints points, std::vector<SpreadLoad> bolts, double bolt_stiffness)
    : plate_(&plate),
      points_(std::move(points)),
      bolts_(std::move(bolts)),
      bolt_stiffness_(bolt_stiffness),
      matrix_(plate.grid().unknown_count(), plate.grid().half_band()),
      cholesky_(matrix_),
      factored_slope_(points_.size(), 0.0) {
  plate.assemble(matrix_);
  const std::size_t n = plate.grid().unknown_count(), m = points_.size();
  for (auto* array : {&residual_, &direction_, &plate_direction_, &work_}) array->assign(n, 0.0);
  for (auto* array : {&closure_, &pressure_, &slope_, &closure_rate_}) array->assign(m, 0.0);
  least_slope_.resize(m);
  for (std::size_t p = 0; p < m; ++p) least_slope_[p] = kLeastSlopeShare * points_.curve(p).typical_stiffness();
  spring_order_.resize(bolts_.size());
  std::iota(spring_order_.begin(), spring_order_.end(), std::size_t{0});
  std::stable_sort(spring_order_.begin(), spring_order_.end(),
                   [&](std::size_t a, std::size_t b) { return first_unknown(bolts_[a]) < first_unknown(bolts_[b]); });
}

std::size_t ContactSolver::bytes() const {
  std::size_t numbers = residual_.size() * 4 + points_.size() * 12;
  for (const auto& block : spring_columns_) numbers += block.size();
  return matrix_.bytes() + cholesky_.bytes() + 8 * numbers;
}

void ContactSolver::closures(std::span<const double> u, std::span<const double> gap, std::span<double> closure) const {
  std::array<double, 4> node_closure{};
  std::uint32_t cell_at_hand = ~std::uint32_t{0};
  for (std::size_t p = 0; p < points_.size(); ++p) {
    if (points_.cell[p] != cell_at_hand) {
      cell_at_hand = points_.cell[p];
      const auto nodes = plate_->grid().nodes_of(cell_at_hand);
      for (std::size_t i = 0; i < 4; ++i) node_closure[i] = u[3 * nodes[i]] + (gap.empty() ? 0 : gap[nodes[i]]);
    }
    const auto& w = points_.weights[p];
    closure[p] = w[0] * node_closure[0] + w[1] * node_closure[1] + w[2] * node_closure[2] + w[3] * node_closure[3];
  }
}

void ContactSolver::remember(std::span<const double> u, std::span<const double> gap) {
  closures(u, gap, closure_);
  for (std::size_t p = 0; p < points_.size(); ++p) points_.greatest[p] = std::max(points_.greatest[p], closure_[p]);
}

double ContactSolver::bolt_force(std::size_t bolt, const BoltAction1& action, std::span<const double> u) const {
  switch (action.kind) {
    case BoltAction1::Kind::kForce:
      return action.force_N;
    case BoltAction1::Kind::kSpring:
      return std::max(0.0, action.force_N - bolt_stiffness_ * (bolts_[bolt].mean(u) - action.movement_mm));
    case BoltAction1::Kind::kNone:
      break;
  }
  return 0;
}

/// Closure, pressure and slope of every point, and what is out of balance.
void ContactSolver::evaluate(std::span<const double> u, std::span<const double> load, std::span<const BoltAction1> bolts,
                             std::span<const double> gap) {
  closures(u, gap, closure_);
  std::fill(work_.begin(), work_.end(), 0.0);
  plate_->add_forces(u, work_);
  for (std::size_t p = 0; p < points_.size(); ++p) {
    const PressureCurve::Answer answer = points_.curve(p).at(closure_[p], points_.greatest[p]);
    pressure_[p] = answer.pressure_MPa;
    slope_[p] = std::max(answer.slope_MPa_per_mm, least_slope_[p]);
    if (answer.pressure_MPa == 0) continue;
    const auto nodes = plate_->grid().nodes_of(points_.cell[p]);
    const double force = points_.area[p] * answer.pressure_MPa;
    for (std::size_t i = 0; i < 4; ++i) work_[3 * nodes[i]] += force * points_.weights[p][i];
  }
  for (std::size_t i = 0; i < residual_.size(); ++i) residual_[i] = load[i] - work_[i];
  for (std::size_t b = 0; b < bolts_.size(); ++b) bolts_[b].add(bolt_force(b, bolts[b], u), residual_);
}

/// Brings the factor to today's slopes, from the first cell whose slopes changed.
void ContactSolver::assemble_and_factor() {
  const PlanGrid& grid = plate_->grid();
  std::size_t first_column = grid.unknown_count();
  for (std::size_t p = 0; p < points_.size(); ++p) {
    const double change = points_.area[p] * (slope_[p] - factored_slope_[p]);
    if (change == 0) continue;
    const auto nodes = grid.nodes_of(points_.cell[p]);
    first_column = std::min(first_column, 3 * nodes[0]);
    for (std::size_t i = 0; i < 4; ++i)
      for (std::size_t j = 0; j <= i; ++j) matrix_.add(3 * nodes[i], 3 * nodes[j], change * points_.weights[p][i] * points_.weights[p][j]);
  }
  if (first_column == grid.unknown_count() && factorisations_ > 0) return;
  factored_slope_ = slope_;
  ++factorisations_;
  springs_ready_ = false;
  if (!cholesky_.factor(matrix_, factorisations_ == 1 ? 0 : first_column)) throw InputError("plate", "the plate has no stiffness");
}

/// L^-1 of every washer, eight bolts at a time.
void ContactSolver::prepare_springs() {
  if (springs_ready_) return;
  const std::size_t n = plate_->grid().unknown_count(), blocks = (bolts_.size() + kSides - 1) / kSides;
  spring_columns_.resize(blocks);
  for (std::size_t block = 0; block < blocks; ++block) {
    auto& rows = spring_columns_[block];
    rows.assign(n * kSides, 0.0);
    const std::size_t begin = block * kSides, end = std::min(begin + kSides, bolts_.size());
    for (std::size_t s = begin; s < end; ++s)
      for (const auto& [node, share] : bolts_[spring_order_[s]].shares) rows[3 * node * kSides + s - begin] = share;
    cholesky_.solve_lower_block(rows, first_unknown(bolts_[spring_order_[begin]]));
  }
  springs_ready_ = true;
  const std::size_t count = bolts_.size();
  spring_gram_.assign(count * count, 0.0);
  std::vector<double> one(n);
  for (std::size_t s = 0; s < count; ++s) {
    for (std::size_t i = 0; i < n; ++i) one[i] = spring_columns_[s / kSides][i * kSides + s % kSides];
    const std::vector<double> products = spring_products(one);
    std::copy(products.begin(), products.begin() + static_cast<std::ptrdiff_t>(count),
              spring_gram_.begin() + static_cast<std::ptrdiff_t>(s * count));
  }
}

/// Products of every prepared column with a vector, by place in spring_order_.
std::vector<double> ContactSolver::spring_products(std::span<const double> x) const {
  std::vector<double> products;
  for (const std::vector<double>& rows : spring_columns_) {
    double sum[kSides] = {};
    for (std::size_t i = 0; i < x.size(); ++i)
      for (std::size_t s = 0; s < kSides; ++s) sum[s] += x[i] * rows[i * kSides + s];
    products.insert(products.end(), sum, sum + kSides);
  }
  return products;
}

/// (K + sum k a a^T)^-1 x in place, by the factor of K and the small system of the springs that act.
void ContactSolver::solve_tangent(std::span<double> x, std::span<const BoltAction1> bolts, std::span<const double> u) {
  std::vector<std::size_t> acting;  // positions in spring_order_
  for (std::size_t s = 0; s < bolts_.size(); ++s) {
    const std::size_t b = spring_order_[s];
    if (bolts[b].kind == BoltAction1::Kind::kSpring && bolt_force(b, bolts[b], u) > 0) acting.push_back(s);
  }
  cholesky_.solve_lower(x);
  if (!acting.empty()) {
    prepare_springs();
    const auto count = static_cast<Eigen::Index>(acting.size());
    Eigen::MatrixXd small(count, count);
    Eigen::VectorXd right(count);
    const std::vector<double> along = spring_products(x);
    for (Eigen::Index i = 0; i < count; ++i) {
      const std::size_t si = acting[static_cast<std::size_t>(i)];
      right(i) = along[si];
      for (Eigen::Index j = 0; j < count; ++j) small(i, j) = spring_gram_[si * bolts_.size() + acting[static_cast<std::size_t>(j)]];
      small(i, i) += 1 / bolt_stiffness_;
    }
    const Eigen::VectorXd answer = small.llt().solve(right);
    std::vector<double> shares(spring_columns_.size() * kSides, 0.0);
    for (Eigen::Index i = 0; i < count; ++i) shares[acting[static_cast<std::size_t>(i)]] = answer(i);
    for (std::size_t block = 0; block < spring_columns_.size(); ++block) {
      const double *rows = spring_columns_[block].data(), *share = shares.data() + block * kSides;
      for (std::size_t i = 0; i < x.size(); ++i)
        for (std::size_t s = 0; s < kSides; ++s) x[i] -= share[s] * rows[i * kSides + s];
    }
  }
  cholesky_.solve_upper(x);
}

/// Least point of the energy along the direction: 0 when there is none (the energy falls for ever).
double ContactSolver::step_length(std::span<const double> u, std::span<const BoltAction1> bolts) {
  closures(direction_, {}, closure_rate_);
  std::fill(plate_direction_.begin(), plate_direction_.end(), 0.0);
  plate_->add_forces(direction_, plate_direction_);
  const double quadratic = dot(direction_, plate_direction_), at_start = -dot(direction_, residual_);
  if (!(at_start < 0)) return 1;
  std::vector<double> movement(bolts_.size()), rate(bolts_.size());
  for (std::size_t b = 0; b < bolts_.size(); ++b) movement[b] = bolts_[b].mean(u), rate[b] = bolts_[b].mean(direction_);
  const auto bolt_pull = [&](std::size_t b, double t) {
    return std::max(0.0, bolts[b].force_N - bolt_stiffness_ * (movement[b] + t * rate[b] - bolts[b].movement_mm));
  };
  const auto slope_at = [&](double t) {
    double sum = at_start + t * quadratic;
    for (std::size_t p = 0; p < points_.size(); ++p)
      sum += points_.area[p] * closure_rate_[p] *
             (points_.curve(p).at(closure_[p] + t * closure_rate_[p], points_.greatest[p]).pressure_MPa - pressure_[p]);
    for (std::size_t b = 0; b < bolts_.size(); ++b)
      if (bolts[b].kind == BoltAction1::Kind::kSpring) sum -= rate[b] * (bolt_pull(b, t) - bolt_pull(b, 0));
    return sum;
  };
  constexpr double kFlat = 1e-3, kFarthest = 1e7;
  double low = 0, high = 1, f_low = at_start, f_high = slope_at(1);
  if (std::abs(f_high) <= kFlat * -at_start) return 1;
  while (f_high < 0) {
    low = high, f_low = f_high;
    high *= 4;
    if (high > kFarthest) return 0;
    f_high = slope_at(high);
  }
  constexpr int kRootSteps = 60;  // false position with halving (Illinois)
  double t = high;
  for (int i = 0, side = 0; i < kRootSteps; ++i) {
    t = (low * f_high - high * f_low) / (f_high - f_low);
    const double f = slope_at(t);
    if (std::abs(f) <= kFlat * -at_start) break;
    if (f < 0) {
      low = t, f_low = f;
      if (side == -1) f_high /= 2;
      side = -1;
    } else {
      high = t, f_high = f;
      if (side == 1) f_low /= 2;
      side = 1;
    }
  }
  return t;
}

ContactReport ContactSolver::solve(std::vector<double>& u, std::span<const double> load, std::span<const BoltAction1> bolts,
                                   std::span<const double> gap, double force_scale, double tolerance, int step_limit) {
  constexpr double kOldFactorServes = 0.05;
  constexpr double kRoundingFloor = 1e-6;  // a residual this small that no longer falls is rounding
  ContactReport report;
  const int factorisations_before = factorisations_;
  double best = std::numeric_limits<double>::infinity();
  double before = std::numeric_limits<double>::infinity();
  int stalled = 0;
  for (;;) {
    evaluate(u, load, bolts, gap);
    report.residual_N = 0;
    const double lever = plate_->grid().dx;  // moments count as forces at the next node
    for (std::size_t i = 0; i < residual_.size(); ++i)
      report.residual_N = std::max(report.residual_N, std::abs(residual_[i]) / (i % 3 == 0 ? 1 : lever));
    const bool balanced = report.residual_N <= tolerance * force_scale;
    stalled = report.residual_N < 0.5 * best ? 0 : stalled + 1;
    best = std::min(best, report.residual_N);
    if (balanced || (stalled > 1 && report.residual_N <= kRoundingFloor * force_scale)) {
      report.end = ContactReport::End::kConverged;
      break;
    }
    if (report.steps >= step_limit || !std::isfinite(report.residual_N)) {
      report.end = ContactReport::End::kStepLimit;
      break;
    }
    // An older factor still serves as long as it takes the residual down fast; it costs a fraction of a new one.
    if (factorisations_ == 0 || !(report.residual_N <= kOldFactorServes * before)) assemble_and_factor();
    before = report.residual_N;
    direction_ = residual_;
    solve_tangent(direction_, bolts, u);
    const double t = step_length(u, bolts);
    if (!(t > 0)) {
      report.end = ContactReport::End::kRunsAway;
      break;
    }
    for (std::size_t i = 0; i < u.size(); ++i) u[i] += t * direction_[i];
    ++report.steps;
  }
  report.factorisations = factorisations_ - factorisations_before;
  return report;
}

void ContactSolver::respond(std::span<double> load_change, std::span<const double> u, std::span<const BoltAction1> bolts) {
  assemble_and_factor();
  solve_tangent(load_change, bolts, u);
}

void ContactSolver::add_gap_load(std::span<const double> gap_change, std::span<double> load) const {
  for (std::size_t p = 0; p < points_.size(); ++p) {
    const auto nodes = plate_->grid().nodes_of(points_.cell[p]);
    double closing = 0;
    for (std::size_t i = 0; i < 4; ++i) closing += points_.weights[p][i] * gap_change[nodes[i]];
    const double push = points_.area[p] * slope_[p] * closing;
    for (std::size_t i = 0; i < 4; ++i) load[3 * nodes[i]] -= push * points_.weights[p][i];
  }
}

void ContactSolver::solve_closed(std::span<double> b) {
  for (std::size_t p = 0; p < points_.size(); ++p) slope_[p] = points_.curve(p).typical_stiffness();
  assemble_and_factor();
  cholesky_.solve(b);
}

}  // namespace headjoint::clamp
