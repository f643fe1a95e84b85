#include "headjoint/diagnosis/internal/elimination_tree.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>

#include "headjoint/diagnosis/internal/rounding_bound.h"

namespace headjoint::diagnosis::internal {
namespace {

constexpr double kLarge = 0x1p100;  // tables are left as they are while the sum of their magnitudes is between 1 / kLarge and kLarge
constexpr std::array<double, 1> kOne{1.0};

/// Sum of the magnitudes, in eight sums side by side.
double magnitude(std::span<const double> table) {
  constexpr std::size_t kLanes = 8;
  std::array<double, kLanes> lanes{};
  std::size_t i = 0;
  for (; i + kLanes <= table.size(); i += kLanes)
    for (std::size_t lane = 0; lane < kLanes; ++lane) lanes[lane] += std::abs(table[i + lane]);
  double sum = 0;
  for (; i < table.size(); ++i) sum += std::abs(table[i]);
  for (double lane : lanes) sum += lane;
  return sum;
}

/// Divides by a power of two when the magnitudes are far from 1. @returns the power
int take_scale(std::span<double> table) {
  const double size = magnitude(table);
  if (!(size > 0) || (size > 1 / kLarge && size < kLarge)) return 0;
  int exponent = 0;
  (void)std::frexp(size, &exponent);
  const double factor = std::ldexp(1.0, -exponent);
  for (double& value : table) value *= factor;
  return exponent;
}

/// The replacement of a factor that counts: the last one.
const Trial::Replaced* replacement(const Trial& trial, std::size_t factor) {
  const auto found = std::find_if(trial.replaced.rbegin(), trial.replaced.rend(), [=](const auto& r) { return r.factor == factor; });
  return found == trial.replaced.rend() ? nullptr : &*found;
}

}  // namespace

double LogValue::over(const LogValue& other) const { return sign == 0 ? 0.0 : sign * other.sign * std::exp(log - other.log); }

EliminationTree::EliminationTree(const FactorGraph& graph, const Elimination& elimination)
    : shape_(std::make_shared<const TreeShape>(graph, elimination)), layer_(shape_->nodes.size(), kOwn) {
  make_room(layers_[kOwn]);
}

void EliminationTree::make_room(Tables& tables) const {
  if (!tables.values.empty()) return;
  tables.values = TableStore(shape_->cells);
  tables.exponent.resize(shape_->nodes.size());
}

std::span<double> EliminationTree::table(Tables& tables, std::size_t n) const {
  return {tables.values.data() + shape_->nodes[n].offset, shape_->nodes[n].size};
}

std::span<const double> EliminationTree::up(std::size_t n) const {
  return {layers_[layer_[n]].values.data() + shape_->nodes[n].offset, shape_->nodes[n].size};
}

void EliminationTree::form_leaf(std::size_t n, const Trial& trial, std::span<double> result) const {
  std::fill(result.begin(), result.end(), 1.0);
  for (std::size_t f : shape_->nodes[n].factors) {
    const Trial::Replaced* replaced = replacement(trial, f);
    if (replaced == nullptr)
      multiply(result, shape_->factor_map[f], shape_->factors[f].table);
    else
      multiply(result, shape_->factor_map[f], shape_->canonical(f, replaced->table));
  }
}

void EliminationTree::send_up(std::size_t n, const Trial& trial, Tables& into) {
  const TreeNode& node = shape_->nodes[n];
  const std::span<double> result = table(into, n);
  into.exponent[n] = 0;
  if (node.left < 0) {
    form_leaf(n, trial, result);
  } else {
    const auto left = static_cast<std::size_t>(node.left);
    const auto right = static_cast<std::size_t>(node.right);
    node.plan->sum_onto(Side::kOut, result, up(left), node.right < 0 ? std::span<const double>(kOne) : up(right));
    into.exponent[n] = up_exponent(left) + (node.right < 0 ? 0 : up_exponent(right));
  }
  into.exponent[n] += take_scale(result);
}

LogValue EliminationTree::sum_roots() const {
  LogValue total;
  for (std::size_t n = 0; n < shape_->nodes.size(); ++n) {
    if (shape_->nodes[n].parent >= 0) continue;
    const double value = up(n).front();
    total.sign *= value > 0 ? 1.0 : (value < 0 ? -1.0 : 0.0);
    if (value != 0) total.log += std::log(std::abs(value)) + up_exponent(n) * std::numbers::ln2;
  }
  return total;
}

LogValue EliminationTree::total(bool bounded) {
  std::fill(layer_.begin(), layer_.end(), kOwn);
  RoundingBound bound(*shape_);
  for (std::size_t n = 0; n < shape_->nodes.size(); ++n) {
    send_up(n, {}, layers_[kOwn]);
    if (!bounded) continue;
    const TreeNode& node = shape_->nodes[n];
    const auto child = [this](int at) { return at < 0 ? std::span<const double>(kOne) : up(static_cast<std::size_t>(at)); };
    bound.add(n, up(n), child(node.left), child(node.right), layers_[kOwn].exponent);
  }
  ready_ = true;
  LogValue total = sum_roots();
  if (bounded) total.error = bound.of_roots();
  return total;
}

void EliminationTree::weigh(std::size_t n, const Trial& trial, std::span<double> result) const {
  for (const Trial::Weighted& weighted : trial.weighted) {
    const Site& site = shape_->sites[weighted.variable].front();
    if (site.node == n) multiply(result, site.map, weighted.weight);
  }
}

/// Recomputes what a trial changes, from the bottom to the roots, beside the tables that stand.
void EliminationTree::put_in_place(const Trial& trial) {
  if (!ready_) (void)total(false);
  std::fill(layer_.begin(), layer_.end(), kOwn);
  recompute(trial, {}, kTrial);
}

/// Total with a trial on top of the one in place, which stands again afterwards.
LogValue EliminationTree::total_with(const Trial& on_top, const Trial& trial) {
  const std::vector<Layer> before = layer_;
  recompute(on_top, trial, kOnTop);
  const LogValue total = sum_roots();
  layer_ = before;
  return total;
}

/// @param below  a trial already in place, whose weights belong to every table made anew
void EliminationTree::recompute(const Trial& changed, const Trial& below, Layer layer) {
  Tables& tables = layers_[layer];
  make_room(tables);
  const std::size_t count = shape_->nodes.size();
  std::vector<bool> anew(count, false);
  std::vector<bool> weighed(count, false);
  for (const Trial::Replaced& replaced : changed.replaced) anew[shape_->factor_leaf[replaced.factor]] = true;
  for (const Trial::Weighted& weighted : changed.weighted) weighed[shape_->sites[weighted.variable].front().node] = true;
  for (std::size_t n = 0; n < count; ++n) {
    if (!anew[n] && !weighed[n]) continue;
    const std::span<double> result = table(tables, n);
    if (anew[n]) {
      send_up(n, changed, tables);
      weigh(n, below, result);
    } else {
      const std::span<const double> before = up(n);
      std::copy(before.begin(), before.end(), result.begin());
      tables.exponent[n] = up_exponent(n);
    }
    if (weighed[n]) weigh(n, changed, result);
    layer_[n] = layer;
    if (shape_->nodes[n].parent >= 0) anew[static_cast<std::size_t>(shape_->nodes[n].parent)] = true;
  }
}

LogValue EliminationTree::total(const Trial& trial) {
  put_in_place(trial);
  return sum_roots();
}

/// One table for each variable to read it from, and which nodes must be told what is outside them.
std::vector<const Site*> EliminationTree::choose_sites(std::span<const Variable> wanted, std::vector<bool>& needed) const {
  std::vector<std::size_t> order(wanted.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
  const auto node_of = [&](std::size_t i) { return shape_->sites[wanted[i]].front().node; };
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return node_of(a) < node_of(b); });
  std::vector<const Site*> chosen(wanted.size());
  for (std::size_t i : order) {
    const std::vector<Site>& sites = shape_->sites[wanted[i]];
    chosen[i] = sites.size() > 1 && needed[sites[1].node] && !needed[sites[0].node] ? &sites[1] : &sites[0];
    for (auto n = static_cast<int>(chosen[i]->node); n >= 0 && !needed[static_cast<std::size_t>(n)];
         n = shape_->nodes[static_cast<std::size_t>(n)].parent)
      needed[static_cast<std::size_t>(n)] = true;
  }
  return chosen;
}

void EliminationTree::hand_down(std::size_t child, int sibling, Side side, std::span<const double> above, int exponent) {
  const auto& plan = *shape_->nodes[static_cast<std::size_t>(shape_->nodes[child].parent)].plan;
  const auto other = static_cast<std::size_t>(sibling);
  const std::span<const double> beside = sibling < 0 ? std::span<const double>(kOne) : up(other);
  const std::span<double> result = table(down_, child);
  if (side == Side::kLeft)
    plan.sum_onto(side, result, beside, above);
  else
    plan.sum_onto(side, result, above, beside);
  down_.exponent[child] = exponent + (sibling < 0 ? 0 : up_exponent(other)) + take_scale(result);
}

void EliminationTree::send_down(const std::vector<bool>& needed, const Trial& trial) {
  make_room(down_);
  for (std::size_t n = needed.size(); n-- > 0;) {
    const TreeNode& node = shape_->nodes[n];
    if (!needed[n]) continue;
    if (node.parent < 0) {
      table(down_, n)[0] = 1;
      down_.exponent[n] = 0;
    }
    if (node.left < 0) continue;
    // The weights put on this node's own table stand between what comes from above and the subtree.
    std::span<const double> above = table(down_, n);
    const auto weighed_here = [&](const auto& w) { return shape_->sites[w.variable].front().node == n; };
    if (std::any_of(trial.weighted.begin(), trial.weighted.end(), weighed_here)) {
      scratch_.assign(above.begin(), above.end());
      weigh(n, trial, scratch_);
      above = scratch_;
    }
    if (needed[static_cast<std::size_t>(node.left)])
      hand_down(static_cast<std::size_t>(node.left), node.right, Side::kLeft, above, down_.exponent[n]);
    if (node.right >= 0 && needed[static_cast<std::size_t>(node.right)])
      hand_down(static_cast<std::size_t>(node.right), node.left, Side::kRight, above, down_.exponent[n]);
  }
}

Marginals EliminationTree::evaluate(const Trial& trial, const Asked& asked) {
  put_in_place(trial);
  const std::span<const Variable> wanted = asked.marginals;
  Marginals result;
  result.total = sum_roots();
  for (const Trial& on_top : asked.on_top) result.on_top.push_back(total_with(on_top, trial));
  if (result.total.sign == 0) return result;
  std::vector<bool> needed(shape_->nodes.size(), false);
  const std::vector<const Site*> sites = choose_sites(wanted, needed);
  send_down(needed, trial);
  std::vector<LogValue> root(needed.size());
  for (std::size_t n = needed.size(); n-- > 0;) {
    if (!needed[n]) continue;
    const int parent = shape_->nodes[n].parent;
    root[n] = parent >= 0 ? root[static_cast<std::size_t>(parent)]
                          : LogValue{std::log(std::abs(up(n).front())) + up_exponent(n) * std::numbers::ln2};
  }
  for (std::size_t i = 0; i < wanted.size(); ++i) {
    const std::size_t n = sites[i]->node;
    std::vector<double> value(shape_->states[wanted[i]], 0.0);
    add_up_product(up(n), table(down_, n), sites[i]->map, value);
    double whole = 0;
    for (double v : value) whole += v;
    for (double& p : value) p /= whole;
    const double away = std::abs(std::log(std::abs(whole)) + (up_exponent(n) + down_.exponent[n]) * std::numbers::ln2 - root[n].log);
    result.disagreement = std::max(result.disagreement, away == away ? away : std::numeric_limits<double>::infinity());
    result.values.push_back(std::move(value));
  }
  return result;
}

}  // namespace headjoint::diagnosis::internal
