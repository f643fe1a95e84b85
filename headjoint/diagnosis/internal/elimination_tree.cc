#include "headjoint/diagnosis/internal/elimination_tree.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "headjoint/base/error.h"

namespace headjoint::diagnosis::internal {
namespace {

constexpr double kUnitRoundoff = std::numeric_limits<double>::epsilon() / 2;

/// Divides by the largest magnitude. @returns its logarithm, 0 for a table of zeros
double take_scale(std::vector<double>& table) {
  double largest = 0;
  for (double value : table) largest = std::max(largest, std::abs(value));
  if (!(largest > 0)) return 0;
  const double factor = 1 / largest;
  for (double& value : table) value *= factor;
  return std::log(largest);
}

double sum(const std::vector<double>& table) {
  double total = 0;
  for (double value : table) total += value;
  return total;
}

}  // namespace

double LogValue::over(const LogValue& other) const { return sign == 0 ? 0.0 : sign * other.sign * std::exp(log - other.log); }

EliminationTree::EliminationTree(const FactorGraph& graph, const Elimination& elimination)
    : states_(graph.states), rank_(elimination.rank), home_(graph.states.size()) {
  make_cliques(elimination);
  sort_cliques();
  for (Clique& clique : cliques_) {
    clique.block = table_size(clique.scope, states_) / table_size(clique.separator, states_);
    if (clique.parent >= 0) clique.into.emplace_back(cliques_[static_cast<std::size_t>(clique.parent)].scope, clique.separator, states_);
  }
  place_factors(graph);
  choose_sites();
  up_.resize(cliques_.size());
  down_.resize(cliques_.size());
  belief_.resize(cliques_.size());
  belief_log_.resize(cliques_.size());
}

void EliminationTree::make_cliques(const Elimination& elimination) {
  std::vector<std::vector<std::size_t>> below(elimination.buckets.size());  // by rank: cliques that hand a message to the bucket
  for (std::size_t i = 0; i < below.size(); ++i) {
    const Bucket& bucket = elimination.buckets[i];
    // A bucket whose table is what one child hands up joins that child: one table instead of two.
    std::size_t joined = cliques_.size();
    for (std::size_t child : below[i])
      if (below[i].size() <= 2 && cliques_[child].separator.size() == bucket.rest.size() + 1) joined = child;
    if (joined == cliques_.size()) {
      Clique clique;
      clique.scope.assign(bucket.rest.rbegin(), bucket.rest.rend());
      clique.scope.push_back(bucket.variable);
      cliques_.push_back(std::move(clique));
    }
    Clique& clique = cliques_[joined];
    clique.separator.assign(bucket.rest.rbegin(), bucket.rest.rend());
    home_[bucket.variable] = joined;
    for (std::size_t child : below[i]) {
      if (child == joined) continue;
      cliques_[child].parent = static_cast<int>(joined);
      clique.children.push_back(child);
    }
    if (!bucket.rest.empty()) below[rank_[bucket.rest.front()]].push_back(joined);
  }
}

void EliminationTree::sort_cliques() {
  // A clique that a later bucket joined may stand before its children: sort by the rank of the last variable summed out.
  std::vector<std::size_t> order(cliques_.size());
  for (std::size_t c = 0; c < order.size(); ++c) order[c] = c;
  const auto last_rank = [&](std::size_t c) { return rank_[cliques_[c].scope[cliques_[c].separator.size()]]; };
  std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return last_rank(a) < last_rank(b); });
  std::vector<std::size_t> position(order.size());
  for (std::size_t c = 0; c < order.size(); ++c) position[order[c]] = c;
  std::vector<Clique> sorted;
  for (std::size_t c : order) sorted.push_back(std::move(cliques_[c]));
  cliques_ = std::move(sorted);
  for (Clique& clique : cliques_) {
    if (clique.parent >= 0) clique.parent = static_cast<int>(position[static_cast<std::size_t>(clique.parent)]);
    for (std::size_t& child : clique.children) child = position[child];
  }
  for (std::size_t& home : home_) home = position[home];
}

std::vector<double> EliminationTree::canonical(const Factor& factor, std::vector<Variable>& scope) const {
  scope = factor.scope;
  std::sort(scope.begin(), scope.end(), [&](Variable a, Variable b) { return rank_[a] > rank_[b]; });
  std::vector<std::size_t> strides(scope.size());
  for (std::size_t i = 0; i < scope.size(); ++i) {
    std::size_t stride = 1;
    for (std::size_t j = factor.scope.size(); factor.scope[j - 1] != scope[i]; --j) stride *= states_[factor.scope[j - 1]];
    strides[i] = stride;
  }
  std::vector<std::size_t> from{0};
  for (std::size_t i = 0; i < scope.size(); ++i) {
    std::vector<std::size_t> wider;
    wider.reserve(from.size() * states_[scope[i]]);
    for (std::size_t start : from)
      for (std::size_t s = 0; s < states_[scope[i]]; ++s) wider.push_back(start + s * strides[i]);
    from = std::move(wider);
  }
  std::vector<double> table(from.size());
  for (std::size_t i = 0; i < from.size(); ++i) table[i] = factor.table[from[i]];
  return table;
}

void EliminationTree::place_factors(const FactorGraph& graph) {
  originals_ = graph.factors;
  for (std::size_t f = 0; f < graph.factors.size(); ++f) {
    require(!graph.factors[f].scope.empty(), "a factor needs a variable");
    Factor factor;
    factor.table = canonical(graph.factors[f], factor.scope);
    const std::size_t home = home_[factor.scope.back()];
    cliques_[home].factors.push_back(f);
    factor_home_.push_back(home);
    factor_map_.emplace_back(cliques_[home].scope, factor.scope, states_);
    factors_.push_back(std::move(factor));
  }
  for (std::size_t c = 0; c < cliques_.size(); ++c) form_base(c, {}, cliques_[c].base);
}

void EliminationTree::choose_sites() {
  sites_.resize(states_.size());
  std::vector<std::size_t> cost(states_.size());
  for (Variable v = 0; v < states_.size(); ++v) {
    sites_[v] = {home_[v], false};
    cost[v] = cliques_[home_[v]].base.size();
  }
  for (std::size_t c = 0; c < cliques_.size(); ++c)
    for (Variable v : cliques_[c].separator) {
      const std::size_t size = cliques_[c].base.size() / cliques_[c].block;
      if (cliques_[c].parent < 0 || size >= cost[v]) continue;
      sites_[v] = {c, true};
      cost[v] = size;
    }
}

void EliminationTree::weigh(std::size_t c, const std::vector<Trial::Weighted>& weights, std::vector<double>& table) const {
  for (const Trial::Weighted& weighted : weights)
    if (home_[weighted.variable] == c) multiply(table, TableMap(cliques_[c].scope, {weighted.variable}, states_), weighted.weight);
}

void EliminationTree::form_base(std::size_t c, const Trial& trial, std::vector<double>& table) const {
  const Clique& clique = cliques_[c];
  table.assign(table_size(clique.scope, states_), 1.0);
  for (std::size_t f : clique.factors) {
    const auto swapped = std::find_if(trial.replaced.begin(), trial.replaced.end(), [f](const auto& r) { return r.factor == f; });
    if (swapped == trial.replaced.end()) {
      multiply(table, factor_map_[f], factors_[f].table);
    } else {
      std::vector<Variable> scope;
      multiply(table, factor_map_[f], canonical({originals_[f].scope, swapped->table}, scope));
    }
  }
  weigh(c, kept_, table);
}

void EliminationTree::form(std::size_t c, const Trial& trial, std::vector<double>& table) const {
  const bool rebuild =
      std::any_of(trial.replaced.begin(), trial.replaced.end(), [&](const auto& r) { return factor_home_[r.factor] == c; });
  if (rebuild)
    form_base(c, trial, table);
  else
    table.assign(cliques_[c].base.begin(), cliques_[c].base.end());
  weigh(c, trial.weighted, table);
}

void EliminationTree::send_up(std::size_t c, const Trial& trial, Message& message) {
  const Clique& clique = cliques_[c];
  form(c, trial, scratch_);
  message.log = 0;
  for (std::size_t child : clique.children) {
    multiply(scratch_, cliques_[child].into.front(), up_[child].table);
    message.log += up_[child].log;
  }
  message.table.resize(scratch_.size() / clique.block);
  for (std::size_t i = 0; i < message.table.size(); ++i) {
    double total = 0;
    for (std::size_t j = 0; j < clique.block; ++j) total += scratch_[i * clique.block + j];
    message.table[i] = total;
  }
  message.log += take_scale(message.table);
}

void EliminationTree::send_up_bounded(std::size_t c) {
  const Clique& clique = cliques_[c];
  // Entry by entry: value v and bound e on its error. A product adds |a| eb + |b| ea + u |ab|, a sum of n adds n u sum|v|.
  std::vector<double> value = clique.base;
  std::vector<double> bound(value.size());
  const double base_roundings = static_cast<double>(clique.factors.size()) + 2;
  for (std::size_t i = 0; i < value.size(); ++i) bound[i] = base_roundings * kUnitRoundoff * std::abs(value[i]);
  double log = 0;
  for (std::size_t child : clique.children) {
    const TableMap& map = cliques_[child].into.front();
    for (std::size_t r = 0; r < map.offset.size(); ++r)
      for (std::size_t j = 0; j < map.run; ++j) {
        const std::size_t at = map.offset[r] + (map.walks ? j : 0);
        const double other = up_[child].table[at];
        double& v = value[r * map.run + j];
        double& e = bound[r * map.run + j];
        e = std::abs(v) * up_[child].error[at] + std::abs(other) * e + kUnitRoundoff * std::abs(v * other);
        v *= other;
      }
    log += up_[child].log;
  }
  Message& message = up_[c];
  message.table.assign(value.size() / clique.block, 0);
  message.error.assign(message.table.size(), 0);
  for (std::size_t i = 0; i < value.size(); ++i) {
    message.table[i / clique.block] += value[i];
    message.error[i / clique.block] += bound[i] + static_cast<double>(clique.block) * kUnitRoundoff * std::abs(value[i]);
  }
  double largest = 0;
  for (double v : message.table) largest = std::max(largest, std::abs(v));
  if (largest > 0)
    for (double& e : message.error) e /= largest;
  message.log = log + take_scale(message.table);
}

LogValue EliminationTree::sum_roots(bool bounded) const {
  LogValue total;
  for (std::size_t c = 0; c < cliques_.size(); ++c) {
    if (cliques_[c].parent >= 0) continue;
    const double value = up_[c].table.front();  // scaled: -1, 0 or 1
    if (bounded) total.error += up_[c].error.front();
    total.sign *= value > 0 ? 1.0 : (value < 0 ? -1.0 : 0.0);
    total.log += up_[c].log;
  }
  return total;
}

LogValue EliminationTree::total(bool bounded) {
  for (std::size_t c = 0; c < cliques_.size(); ++c) {
    if (bounded)
      send_up_bounded(c);
    else
      send_up(c, {}, up_[c]);
  }
  ready_ = true;
  return sum_roots(bounded);
}

/// Puts the messages that a trial changes in place for as long as it lives.
class EliminationTree::TrialRun {
 public:
  TrialRun(EliminationTree& tree, const Trial& trial) : tree_(tree) {
    if (!tree.ready_) (void)tree.total(false);
    std::vector<bool> dirty(tree.cliques_.size(), false);
    for (const Trial::Replaced& replaced : trial.replaced) dirty[tree.factor_home_[replaced.factor]] = true;
    for (const Trial::Weighted& weighted : trial.weighted) dirty[tree.home_[weighted.variable]] = true;
    for (std::size_t c = 0; c < dirty.size(); ++c) {
      if (!dirty[c]) continue;
      Message message;
      tree.send_up(c, trial, message);
      std::swap(message, tree.up_[c]);
      saved_.emplace_back(c, std::move(message));
      if (tree.cliques_[c].parent >= 0) dirty[static_cast<std::size_t>(tree.cliques_[c].parent)] = true;
    }
  }
  ~TrialRun() {
    for (auto& [clique, message] : saved_) tree_.up_[clique] = std::move(message);
  }
  TrialRun(const TrialRun&) = delete;
  TrialRun& operator=(const TrialRun&) = delete;

 private:
  EliminationTree& tree_;
  std::vector<std::pair<std::size_t, Message>> saved_;
};

LogValue EliminationTree::total(const Trial& trial) {
  const TrialRun run(*this, trial);
  return sum_roots(false);
}

void EliminationTree::keep(const Trial& trial) {
  kept_.insert(kept_.end(), trial.weighted.begin(), trial.weighted.end());
  for (const Trial::Replaced& replaced : trial.replaced) {
    originals_[replaced.factor].table = replaced.table;
    std::vector<Variable> scope;
    factors_[replaced.factor].table = canonical(originals_[replaced.factor], scope);
  }
  for (std::size_t c = 0; c < cliques_.size(); ++c) form_base(c, {}, cliques_[c].base);
  (void)total(false);
}

void EliminationTree::send_down(std::size_t c, const Trial& trial, const std::vector<bool>& needed,
                                const std::vector<bool>& belief_wanted) {
  const Clique& clique = cliques_[c];
  std::vector<std::size_t> onward;
  form(c, trial, scratch_);
  double log = 0;
  if (clique.parent >= 0) {
    const Message& down = down_[c];
    for (std::size_t i = 0; i < down.table.size(); ++i)
      for (std::size_t j = 0; j < clique.block; ++j) scratch_[i * clique.block + j] *= down.table[i];
    log = down.log;
  }
  for (std::size_t child : clique.children) {
    log += up_[child].log;
    if (needed[child])
      onward.push_back(child);
    else
      multiply(scratch_, cliques_[child].into.front(), up_[child].table);
  }
  // prefix_[k] holds scratch times the first k onward messages; suffix_ the product of the ones after.
  if (prefix_.size() < onward.size() + 1) prefix_.resize(onward.size() + 1);
  prefix_[0].assign(scratch_.begin(), scratch_.end());
  for (std::size_t k = 0; k < onward.size(); ++k) {
    if (k + 1 == onward.size() && !belief_wanted[c]) break;
    prefix_[k + 1].assign(prefix_[k].begin(), prefix_[k].end());
    multiply(prefix_[k + 1], cliques_[onward[k]].into.front(), up_[onward[k]].table);
  }
  if (belief_wanted[c]) {
    belief_[c] = prefix_[onward.size()];
    belief_log_[c] = log;
  }
  for (std::size_t k = onward.size(); k-- > 0;) {
    const Clique& child = cliques_[onward[k]];
    Message& down = down_[onward[k]];
    down.table.assign(child.base.size() / child.block, 0.0);
    if (k + 1 == onward.size())
      add_up(prefix_[k], child.into.front(), down.table);
    else
      add_up_product(prefix_[k], suffix_, child.into.front(), down.table);
    down.log = log - up_[onward[k]].log + take_scale(down.table);
    if (k == 0) break;
    if (k + 1 == onward.size()) suffix_.assign(prefix_[0].size(), 1.0);
    multiply(suffix_, child.into.front(), up_[onward[k]].table);
  }
}

Marginals EliminationTree::marginals(const Trial& trial, std::span<const Variable> wanted) {
  const TrialRun run(*this, trial);
  Marginals result;
  result.total = sum_roots(false);
  if (result.total.sign == 0) return result;

  std::vector<bool> needed(cliques_.size(), false);
  std::vector<bool> belief_wanted(cliques_.size(), false);
  for (Variable v : wanted) {
    needed[sites_[v].clique] = true;
    if (!sites_[v].on_edge) belief_wanted[sites_[v].clique] = true;
  }
  // A clique wanted only for its edge need not be formed itself, but its parent must be.
  std::vector<bool> formed = belief_wanted;
  for (std::size_t c = 0; c < cliques_.size(); ++c) {
    if (!needed[c] || cliques_[c].parent < 0) continue;
    needed[static_cast<std::size_t>(cliques_[c].parent)] = true;
    formed[static_cast<std::size_t>(cliques_[c].parent)] = true;
  }
  std::vector<double> root_log(cliques_.size(), 0);
  for (std::size_t c = cliques_.size(); c-- > 0;) {
    root_log[c] = cliques_[c].parent < 0 ? up_[c].log : root_log[static_cast<std::size_t>(cliques_[c].parent)];
    if (needed[c] && formed[c]) send_down(c, trial, needed, belief_wanted);
  }
  for (Variable v : wanted) {
    const Site& site = sites_[v];
    const Clique& clique = cliques_[site.clique];
    std::vector<double> value(states_[v], 0.0);
    double log = 0;
    if (site.on_edge) {
      add_up_product(up_[site.clique].table, down_[site.clique].table, TableMap(clique.separator, {v}, states_), value);
      log = up_[site.clique].log + down_[site.clique].log;
    } else {
      add_up(belief_[site.clique], TableMap(clique.scope, {v}, states_), value);
      log = belief_log_[site.clique];
    }
    const double whole = sum(value);
    for (double& p : value) p /= whole;
    const double away = std::abs(std::log(std::abs(whole)) + log - root_log[site.clique]);
    result.disagreement = std::max(result.disagreement, away == away ? away : std::numeric_limits<double>::infinity());
    result.values.push_back(std::move(value));
  }
  return result;
}

}  // namespace headjoint::diagnosis::internal
