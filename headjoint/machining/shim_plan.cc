#include "headjoint/machining/shim_plan.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "headjoint/base/error.h"
#include "headjoint/machining/internal/assignment.h"

namespace headjoint::machining {
namespace {

constexpr std::size_t kMostValves = 256, kMostDrawer = 5000, kMostSizes = 5000;
constexpr double kTenths = 1e7;                 // tenths of a micrometre in a metre
constexpr double kThickest = 50e-3;             // no shim and no lash is larger
constexpr std::int64_t kForbidden = 1'000'000;  // more valves outside than there are

std::int64_t tenths(Length length) { return std::llround(length.si() * kTenths); }

const RankedCost kNever({kForbidden, 0, 0, 0, 0});

/// A shim that is in hand: taken out of a valve, or loose.
struct InHand {
  Length size;
  ShimSource from = ShimSource::kDrawer;
  std::size_t valve = 0;
};

RankedCost cost_of(const ShimValve& valve, Length shim, bool is_bought, bool is_moved) {
  const std::int64_t lash = tenths(lash_with(valve, shim)), off = lash - tenths(valve.target);
  const bool is_outside = lash < tenths(valve.lash_least) || lash > tenths(valve.lash_most);
  return RankedCost({is_outside ? 1 : 0, is_bought ? 1 : 0, off * off, is_moved ? 1 : 0, off < 0 ? 1 : 0});
}

bool is_inside(const ShimValve& valve, Length shim) { return cost_of(valve, shim, false, false).rank(0) == 0; }

std::vector<Length> sizes_of(const std::optional<SizesOnSale>& sale) {
  std::vector<Length> sizes;
  if (!sale) return sizes;
  const auto steps = static_cast<std::size_t>(std::floor((sale->to - sale->from) / sale->step + 1e-6));
  for (std::size_t i = 0; i <= steps; ++i) sizes.push_back(sale->from + static_cast<double>(i) * sale->step);
  return sizes;
}

void check_length(const char* name, Length length, bool may_be_zero) {
  if (!((may_be_zero ? length.si() >= 0 : length.si() > 0) && length.si() < kThickest))
    throw InputError(name, may_be_zero ? "0 mm to 50 mm" : "more than 0 mm, to 50 mm");
}

void check(const ShimTask& task) {
  if (task.valves.empty() || task.valves.size() > kMostValves) throw InputError("valves", "1 to 256 valves");
  if (task.drawer.size() > kMostDrawer) throw InputError("drawer", "at most 5000 shims");
  for (const ShimValve& valve : task.valves) {
    if (valve.lash) check_length("lash", *valve.lash, true);
    check_length("shim", valve.shim, false);
    if (!(valve.lash_least <= valve.target && valve.target <= valve.lash_most)) throw InputError("target", "inside its limits");
    if (!(std::abs(valve.lash_per_shim) >= 0.1 && std::abs(valve.lash_per_shim) <= 10)) throw InputError("lash_per_shim", "0.1 to 10");
  }
  for (const Length shim : task.drawer) check_length("drawer", shim, false);
  if (!task.sale) return;
  check_length("sale", task.sale->from, false);
  check_length("sale", task.sale->to, false);
  if (!(task.sale->step.si() > 0 && task.sale->to >= task.sale->from)) throw InputError("sale", "from, to and a step above zero");
  if (!((task.sale->to - task.sale->from) / task.sale->step < static_cast<double>(kMostSizes)))
    throw InputError("sale", "at most 5000 sizes");
}

/// The assignment behind a task: which valves take part, and what each could get.
class Puzzle {
 public:
  explicit Puzzle(const ShimTask& task);

  [[nodiscard]] ShimPlan solve() const;

 private:
  [[nodiscard]] CostTable costs() const;
  /// The size to buy for each valve that takes part; empty without a sale.
  [[nodiscard]] std::vector<Length> best_purchases() const;
  void fit(std::size_t valve, const InHand& shim, ShimPlan& plan) const;

  const ShimTask& task_;
  std::vector<std::size_t> takes_part_;
  std::vector<InHand> in_hand_;
  std::vector<Length> to_buy_;
};

Puzzle::Puzzle(const ShimTask& task) : task_(task) {
  for (std::size_t i = 0; i < task.valves.size(); ++i) {
    const ShimValve& valve = task.valves[i];
    const bool stays = !valve.lash || (task.leave_those_inside && is_inside(valve, valve.shim));
    if (stays) continue;
    takes_part_.push_back(i);
    in_hand_.push_back({valve.shim, ShimSource::kOtherValve, i});
  }
  for (const Length shim : task.drawer) in_hand_.push_back({shim, ShimSource::kDrawer, 0});
  to_buy_ = best_purchases();
}

std::vector<Length> Puzzle::best_purchases() const {
  std::vector<Length> best;
  const std::vector<Length> sizes = sizes_of(task_.sale);
  if (sizes.empty()) return best;
  for (const std::size_t i : takes_part_) {
    const auto is_better = [&](Length a, Length b) {
      return cost_of(task_.valves[i], a, true, true) < cost_of(task_.valves[i], b, true, true);
    };
    best.push_back(*std::min_element(sizes.begin(), sizes.end(), is_better));
  }
  return best;
}

/// Columns: the shims in hand, then one purchase for each valve, which nobody else may have.
CostTable Puzzle::costs() const {
  CostTable table(takes_part_.size(), in_hand_.size() + to_buy_.size(), kNever);
  for (std::size_t row = 0; row < takes_part_.size(); ++row) {
    const ShimValve& valve = task_.valves[takes_part_[row]];
    for (std::size_t j = 0; j < in_hand_.size(); ++j) table.at(row, j) = cost_of(valve, in_hand_[j].size, false, j != row);
    if (!to_buy_.empty()) table.at(row, in_hand_.size() + row) = cost_of(valve, to_buy_[row], true, true);
  }
  return table;
}

void Puzzle::fit(std::size_t valve, const InHand& shim, ShimPlan& plan) const {
  ShimFit& fit = plan.valves[valve];
  const bool is_own = shim.from == ShimSource::kOtherValve && shim.valve == valve;
  fit.from = is_own ? ShimSource::kOwn : shim.from;
  fit.other_valve = shim.valve;
  fit.shim = shim.size;
  if (fit.from != ShimSource::kOwn) ++plan.moved;
}

ShimPlan Puzzle::solve() const {
  const CostTable table = costs();
  const Assignment best = cheapest_assignment(table);
  ShimPlan plan;
  plan.status = is_proven(table, best) ? ShimPlan::Status::kProven : ShimPlan::Status::kNotProven;
  for (const ShimValve& valve : task_.valves) plan.valves.push_back({ShimSource::kOwn, 0, valve.shim, {}, false, {}, {}});
  std::vector<bool> is_used(in_hand_.size(), false);
  std::map<std::int64_t, Purchase> buy;
  for (std::size_t row = 0; row < takes_part_.size(); ++row) {
    const std::size_t column = best.column_of[row];
    if (column < in_hand_.size()) {
      is_used[column] = true;
      fit(takes_part_[row], in_hand_[column], plan);
      continue;
    }
    fit(takes_part_[row], {to_buy_[row], ShimSource::kBuy, 0}, plan);
    Purchase& purchase = buy[tenths(to_buy_[row])];
    purchase.size = to_buy_[row];
    ++purchase.count;
  }
  for (const auto& [size, purchase] : buy) plan.buy.push_back(purchase);
  for (std::size_t j = 0; j < in_hand_.size(); ++j)
    if (!is_used[j]) plan.left_over.push_back(in_hand_[j].size);
  std::sort(plan.left_over.begin(), plan.left_over.end());
  return plan;
}

}  // namespace

Length exact_shim(const ShimValve& valve, Length wanted) {
  require(valve.lash.has_value(), "a valve without a reading has no exact shim");
  return valve.shim + (*valve.lash - wanted) / valve.lash_per_shim;
}

Length lash_with(const ShimValve& valve, Length shim) {
  require(valve.lash.has_value(), "a valve without a reading has no lash");
  return *valve.lash + (valve.shim - shim) * valve.lash_per_shim;
}

ShimPlan plan_shims(const ShimTask& task) {
  check(task);
  ShimPlan plan = Puzzle(task).solve();
  for (std::size_t i = 0; i < task.valves.size(); ++i) {
    const ShimValve& valve = task.valves[i];
    if (!valve.lash) continue;
    ShimFit& fit = plan.valves[i];
    fit.lash_after = lash_with(valve, fit.shim);
    fit.is_inside = is_inside(valve, fit.shim);
    const Length at_most = exact_shim(valve, valve.lash_most), at_least = exact_shim(valve, valve.lash_least);
    fit.least_shim = std::min(at_most, at_least);
    fit.most_shim = std::max(at_most, at_least);
    if (!fit.is_inside) ++plan.outside;
  }
  return plan;
}

}  // namespace headjoint::machining
