#include "headjoint/faces/internal/linear_programme.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace headjoint::faces::internal {
namespace {

constexpr double kNothing = 1e-11;    // a reduced cost or a step below this gains nothing
constexpr double kLeastPivot = 1e-9;  // rows are scaled to about 1
constexpr double kFeasible = 1e-10;   // sum of artificial variables that counts as none
constexpr int kTiesBeforeBland = 40;
constexpr int kMostSteps = 20'000;
constexpr double kInfinity = std::numeric_limits<double>::infinity();

}  // namespace

BoundedProgramme::BoundedProgramme(std::vector<std::vector<double>> rows, std::vector<double> low, std::vector<double> high)
    : rows_(std::move(rows)), low_(std::move(low)), high_(std::move(high)), given_(low_.size()) {
  for (std::vector<double>& row : rows_) {
    double largest = 0;
    for (const double a : row) largest = std::max(largest, std::abs(a));
    if (largest > 0)
      for (double& a : row) a /= largest;
  }
}

double BoundedProgramme::resting_value(std::size_t column) const {
  switch (at_[column]) {
    case At::kLow:
      return low_[column];
    case At::kHigh:
      return high_[column];
    case At::kFree:
    case At::kBasic:
      break;
  }
  return 0;
}

void BoundedProgramme::recompute_basic() {
  for (std::size_t r = 0; r < tableau_.size(); ++r) {
    double value = 0;
    for (std::size_t c = 0; c < columns(); ++c)
      if (at_[c] != At::kBasic) value -= tableau_[r][c] * resting_value(c);
    basic_value_[r] = value;
  }
}

std::vector<double> BoundedProgramme::reduced_costs(const std::vector<double>& objective) const {
  std::vector<double> reduced(columns(), 0.0);
  std::copy(objective.begin(), objective.end(), reduced.begin());
  for (std::size_t r = 0; r < tableau_.size(); ++r) {
    const double cost = basis_[r] < objective.size() ? objective[basis_[r]] : 0;
    if (cost == 0) continue;
    for (std::size_t c = 0; c < columns(); ++c) reduced[c] -= cost * tableau_[r][c];
  }
  for (const std::size_t b : basis_) reduced[b] = 0;
  return reduced;
}

void BoundedProgramme::pivot(std::size_t row, std::size_t column, std::vector<double>& reduced) {
  std::vector<double>& chosen = tableau_[row];
  const double scale = 1 / chosen[column];
  for (double& a : chosen) a *= scale;
  const auto clear = [&](std::vector<double>& other) {
    const double factor = other[column];
    if (factor == 0) return;
    for (std::size_t c = 0; c < other.size(); ++c) other[c] -= factor * chosen[c];
    other[column] = 0;
  };
  for (std::size_t r = 0; r < tableau_.size(); ++r)
    if (r != row) clear(tableau_[r]);
  clear(reduced);
}

/// Runs exchanges until no column below `most_column` can gain. @returns false when stuck
bool BoundedProgramme::exchange(std::vector<double>& reduced, std::size_t most_column, bool& is_unbounded) {
  int ties = 0;
  is_unbounded = false;
  for (int step = 0; step < kMostSteps; ++step) {
    const bool bland = ties >= kTiesBeforeBland;
    std::size_t entering = columns();
    double best = kNothing;
    double direction = 1;
    for (std::size_t c = 0; c < most_column; ++c) {
      if (at_[c] == At::kBasic || low_[c] == high_[c]) continue;
      const double gain = at_[c] == At::kLow ? reduced[c] : at_[c] == At::kHigh ? -reduced[c] : std::abs(reduced[c]);
      if (!(gain > best)) continue;
      entering = c;
      best = gain;
      direction = at_[c] == At::kHigh || (at_[c] == At::kFree && reduced[c] < 0) ? -1 : 1;
      if (bland) break;
    }
    if (entering == columns()) return true;

    double reach = high_[entering] - low_[entering];  // to its own other bound
    std::size_t leaving = tableau_.size();
    bool leaves_high = false;
    double firmest = 0;
    for (std::size_t r = 0; r < tableau_.size(); ++r) {
      const double change = -tableau_[r][entering] * direction;  // of the basic variable per unit of step
      if (std::abs(change) < kLeastPivot) continue;
      const double room = change > 0 ? high_[basis_[r]] - basic_value_[r] : basic_value_[r] - low_[basis_[r]];
      const double step_here = std::max(room, 0.0) / std::abs(change);
      const bool is_nearer = step_here < reach - kNothing;
      const bool is_as_near =
          step_here <= reach + kNothing && leaving < tableau_.size() && (bland ? basis_[r] < basis_[leaving] : std::abs(change) > firmest);
      if (!is_nearer && !is_as_near) continue;
      reach = std::min(reach, step_here);
      leaving = r;
      leaves_high = change > 0;
      firmest = std::abs(change);
    }
    if (!std::isfinite(reach)) {
      is_unbounded = true;
      return true;
    }
    ties = reach * best > kNothing * kNothing ? 0 : ties + 1;
    if (leaving == tableau_.size()) {
      at_[entering] = at_[entering] == At::kLow ? At::kHigh : At::kLow;
    } else {
      const std::size_t out = basis_[leaving];
      at_[out] = leaves_high ? At::kHigh : At::kLow;
      basis_[leaving] = entering;
      at_[entering] = At::kBasic;
      pivot(leaving, entering, reduced);
    }
    recompute_basic();
  }
  return false;
}

/// First phase: one artificial variable a row, their sum driven to 0.
bool BoundedProgramme::find_feasible() {
  const std::size_t m = rows_.size();
  at_.assign(given_ + m, At::kLow);
  for (std::size_t c = 0; c < given_; ++c) {
    if (std::isfinite(low_[c]))
      at_[c] = std::isfinite(high_[c]) && std::abs(high_[c]) < std::abs(low_[c]) ? At::kHigh : At::kLow;
    else
      at_[c] = std::isfinite(high_[c]) ? At::kHigh : At::kFree;
  }
  low_.resize(given_ + m, 0);
  high_.resize(given_ + m, kInfinity);
  tableau_.assign(m, std::vector<double>(given_ + m, 0.0));
  basis_.resize(m);
  basic_value_.assign(m, 0);
  artificial_sign_.assign(m, 1);
  for (std::size_t r = 0; r < m; ++r) {
    double rest = 0;
    for (std::size_t c = 0; c < given_; ++c) rest += rows_[r][c] * resting_value(c);
    const double sign = rest > 0 ? -1 : 1;
    artificial_sign_[r] = sign;
    for (std::size_t c = 0; c < given_; ++c) tableau_[r][c] = sign * rows_[r][c];
    tableau_[r][given_ + r] = 1;
    basis_[r] = given_ + r;
    at_[given_ + r] = At::kBasic;
  }
  recompute_basic();
  std::vector<double> artificial(given_ + m, 0.0);
  std::fill(artificial.begin() + static_cast<std::ptrdiff_t>(given_), artificial.end(), -1.0);
  std::vector<double> reduced = reduced_costs(artificial);
  bool is_unbounded = false;
  if (!exchange(reduced, columns(), is_unbounded)) return false;
  double left = 0;
  for (std::size_t r = 0; r < m; ++r)
    if (basis_[r] >= given_) left += basic_value_[r];
  if (left > kFeasible) return false;
  for (std::size_t c = given_; c < columns(); ++c) high_[c] = 0;
  return true;
}

ProgrammeSolution BoundedProgramme::maximise(const std::vector<double>& objective) {
  if (!is_started_) {
    is_started_ = true;
    for (std::size_t c = 0; c < given_; ++c)
      if (low_[c] > high_[c]) return {ProgrammeStatus::kInfeasible, 0, {}, {}};
    is_feasible_ = find_feasible();
  }
  ProgrammeSolution solution;
  if (!is_feasible_) {
    solution.status = ProgrammeStatus::kInfeasible;
    return solution;
  }
  std::vector<double> reduced = reduced_costs(objective);
  bool is_unbounded = false;
  if (!exchange(reduced, given_, is_unbounded)) {
    solution.status = ProgrammeStatus::kStuck;
    return solution;
  }
  solution.status = is_unbounded ? ProgrammeStatus::kUnbounded : ProgrammeStatus::kOptimal;
  solution.x.resize(given_);
  for (std::size_t c = 0; c < given_; ++c)
    if (at_[c] != At::kBasic) solution.x[c] = resting_value(c);
  for (std::size_t r = 0; r < basis_.size(); ++r)
    if (basis_[r] < given_) solution.x[basis_[r]] = basic_value_[r];
  for (std::size_t c = 0; c < given_; ++c) solution.value += objective[c] * solution.x[c];
  // The columns of the artificial variables began as plus or minus the unit matrix; minus their reduced costs are the multipliers.
  for (std::size_t r = 0; r < rows_.size(); ++r) {
    double multiplier = 0;
    for (std::size_t k = 0; k < basis_.size(); ++k)
      if (basis_[k] < given_) multiplier += objective[basis_[k]] * tableau_[k][given_ + r];
    solution.row_multipliers.push_back(multiplier * artificial_sign_[r]);
  }
  return solution;
}

double BoundedProgramme::bound_from(const std::vector<double>& objective, const std::vector<double>& row_multipliers) const {
  double bound = 0;
  for (std::size_t c = 0; c < given_; ++c) {
    double cost = objective[c];
    for (std::size_t r = 0; r < rows_.size(); ++r) cost -= row_multipliers[r] * rows_[r][c];
    if (std::abs(cost) < kNothing) continue;
    bound += cost * (cost > 0 ? high_[c] : low_[c]);
  }
  return bound;
}

}  // namespace headjoint::faces::internal
