#include "headjoint/diagnosis/internal/compiled_network.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "headjoint/base/error.h"
#include "headjoint/diagnosis/internal/sweep.h"
#include "headjoint/diagnosis/status.h"

namespace headjoint::diagnosis::internal {
namespace {

constexpr std::size_t kPlainTableParents = 2;  // up to here a plain table is as small as an auxiliary, and has no negative entries
constexpr std::size_t kPlainTableCells = 16;
constexpr int kWideLocation = 3;  // places that hold at least so many others may be kept for the end of the sweep

}  // namespace

Numbers numbers_of(const Instance& instance) {
  Numbers numbers{instance.leak, {}};
  for (const Influence& influence : instance.parents) numbers.strength.push_back(influence.strength);
  return numbers;
}

CompiledNetwork::CompiledNetwork(const InstanceNetwork& network, const Likelihoods& likelihoods, const CompileOptions& options)
    : network_(network), likelihoods_(likelihoods), parts_(network.instances.size()) {
  mark_needed(options);
  find_families();
  for (std::size_t i = 0; i < network.instances.size(); ++i)
    if (needed_[i]) add(i, options);
  define_families();
  const Elimination order = best_order(graph_, stagings());
  cells_ = order.cells;
  if (cells_ <= kCellLimit) tree_ = std::make_unique<EliminationTree>(graph_, order);
}

bool CompiledNetwork::is_definition(std::size_t i) const {
  const Instance& instance = network_.instances[i];
  if (!instance.is_cause || instance.states != 2 || instance.leak[0] != 0 || instance.parents.size() <= kPlainTableParents) return false;
  return std::all_of(instance.parents.begin(), instance.parents.end(), [](const Influence& p) { return p.strength[0] == 1; });
}

bool CompiledNetwork::is_flag(std::size_t i, bool keep_decision_flags) const {
  if (!is_definition(i) || below_[i] || !likelihoods_[i].empty()) return false;
  const auto& parents = network_.instances[i].parents;
  return !keep_decision_flags ||
         std::any_of(parents.begin(), parents.end(), [this](const Influence& p) { return network_.cause(p.parent).decision.empty(); });
}

/// A parent of a flag joins the first family it fits: those under the parent it shares with most others.
void CompiledNetwork::find_families() {
  const auto& instances = network_.instances;
  for (std::size_t flag = 0; flag < instances.size(); ++flag) {
    if (flag_[flag] || !is_definition(flag)) continue;
    std::map<std::size_t, std::size_t> children;  // of a parent of the flag's parents
    for (const Influence& member : instances[flag].parents)
      for (const Influence& parent : instances[member.parent].parents) ++children[parent.parent];
    std::map<std::size_t, int> family_of;
    for (const Influence& member : instances[flag].parents) {
      const Instance& instance = instances[member.parent];
      if (parts_[member.parent].family >= 0 || instance.states != 2 || instance.parents.empty() ||
          instance.parents.size() > kPlainTableParents)
        continue;
      const auto most = std::max_element(instance.parents.begin(), instance.parents.end(), [&](const Influence& a, const Influence& b) {
        return children.at(a.parent) < children.at(b.parent);
      });
      if (children.at(most->parent) < 2 || instances[most->parent].states != 2 || !(most->strength[0] > 0)) continue;
      const auto [found, is_new] = family_of.emplace(most->parent, static_cast<int>(families_.size()));
      if (is_new) families_.push_back({most->parent, flag, -1});
      parts_[member.parent].family = found->second;
      parts_[member.parent].shared_parent = static_cast<std::size_t>(most - instance.parents.begin());
    }
    if (family_of.empty()) continue;
    parts_[flag].auxiliary = static_cast<int>(graph_.add_variable(2));
    location_of_variable_.push_back(instances[flag].location);
    for (const auto& [shared, family] : family_of) {
      families_[static_cast<std::size_t>(family)].variable = static_cast<int>(graph_.add_variable(3));
      location_of_variable_.push_back(instances[shared].location);
    }
  }
}

/// Whether the auxiliary of a flag reaches this parent through the variable of its family.
bool CompiledNetwork::is_in_family_of(std::size_t flag, std::size_t parent) const {
  const int family = parts_[network_.instances[flag].parents[parent].parent].family;
  return family >= 0 && families_[static_cast<std::size_t>(family)].flag == flag;
}

void CompiledNetwork::define_families() {
  for (const Family& family : families_) {
    const auto shared = static_cast<Variable>(parts_[family.shared].variable);
    const auto auxiliary = static_cast<Variable>(parts_[family.flag].auxiliary);
    const auto variable = static_cast<Variable>(family.variable);
    graph_.factors.push_back({{shared, variable}, {1, 0, 1, 0, 1, 1}});
    // The first value of the auxiliary is the cumulative "flag absent".
    graph_.factors.push_back({{auxiliary, variable}, {0, 0, 1, 1, 1, 0}});
  }
}

void CompiledNetwork::mark_needed(const CompileOptions& options) {
  const auto& instances = network_.instances;
  needed_.assign(instances.size(), false);
  stays_.assign(instances.size(), false);
  below_.assign(instances.size(), false);
  flag_.assign(instances.size(), false);
  for (std::size_t i = instances.size(); i-- > 0;) {
    const Instance& instance = instances[i];
    if (instance.measures >= 0) continue;
    flag_[i] = is_flag(i, options.keep_decision_flags);
    if (flag_[i]) continue;
    const bool hidden = !instance.is_cause && network_.finding(i).kind == FindingKind::kHidden;
    needed_[i] = needed_[i] || instance.is_cause || !likelihoods_[i].empty();
    stays_[i] = stays_[i] || instance.is_cause || (needed_[i] && hidden);
    for (const Influence& influence : instance.parents) {
      below_[influence.parent] = below_[influence.parent] || needed_[i];
      if (needed_[i] || (options.keep_parents && !instances[influence.parent].is_cause))
        needed_[influence.parent] = stays_[influence.parent] = true;
    }
  }
  for (std::size_t i = 0; i < instances.size(); ++i)
    if (flag_[i]) flags_.push_back(i);
  // A finding that anything measures stays a variable once it was measured: another reading of it may follow.
  for (const Instance& instance : instances)
    if (instance.measures >= 0 && needed_[static_cast<std::size_t>(instance.measures)])
      stays_[static_cast<std::size_t>(instance.measures)] = true;
}

void CompiledNetwork::add(std::size_t i, const CompileOptions& options) {
  const Instance& instance = network_.instances[i];
  Part& part = parts_[i];
  for (std::size_t p = 0; p < instance.parents.size(); ++p)
    if (std::any_of(instance.parents[p].strength.begin(), instance.parents[p].strength.end(), [](double s) { return s > 0; }))
      part.parents.push_back(p);
  const bool stays = stays_[i] || part.parents.empty();
  if (stays) {
    part.variable = static_cast<int>(graph_.add_variable(instance.states));
    location_of_variable_.push_back(instance.location);
  }
  std::size_t cells = stays ? instance.states : 1;
  for (std::size_t p : part.parents) cells *= network_.instances[instance.parents[p].parent].states;
  if (part.parents.size() <= kPlainTableParents && cells <= kPlainTableCells) {
    part.form = Form::kTable;
  } else {
    part.form = Form::kAuxiliary;
    const bool all = stays || (!options.keep_levels.empty() && options.keep_levels[i]);
    for (std::size_t k = 0; k < instance.states; ++k)
      if (all || level_weight(likelihoods_[i], k) != 0) part.levels.push_back(k);
    if (part.levels.empty()) part.levels.push_back(0);
    if (part.levels.size() > 1 && part.auxiliary < 0) {
      part.auxiliary = static_cast<int>(graph_.add_variable(part.levels.size()));
      location_of_variable_.push_back(instance.location);
    }
  }
  part.likelihood_factor = stays && !likelihoods_[i].empty();
  const auto own_scopes = scopes(i);
  const auto own_tables = tables(i, likelihoods_[i], numbers_of(instance));
  for (std::size_t f = 0; f < own_scopes.size(); ++f) {
    part.factors.push_back(graph_.factors.size());
    graph_.factors.push_back({own_scopes[f], own_tables[f]});
  }
}

bool CompiledNetwork::feels_leak(std::size_t i) const {
  const Part& part = parts_[i];
  return part.form == Form::kTable || part.levels.size() > 1;
}

void CompiledNetwork::replace(Trial& trial, std::size_t i, const std::vector<double>& likelihood, const Numbers& numbers) const {
  const Part& part = parts_[i];
  const auto changed = tables(i, likelihood, numbers);
  for (std::size_t f = 0; f < changed.size(); ++f)
    if (changed[f] != graph_.factors[part.factors[f]].table) trial.replaced.push_back({part.factors[f], changed[f]});
}

void CompiledNetwork::hold_absent(Trial& trial, std::size_t i) const {
  if (flag_[i]) {
    for (const Influence& influence : network_.instances[i].parents) hold_absent(trial, influence.parent);
    return;
  }
  std::vector<double> weight(network_.instances[i].states, 0.0);
  weight[0] = 1;
  const auto variable = static_cast<Variable>(parts_[i].variable);
  for (const Trial::Weighted& weighted : trial.weighted)
    if (weighted.variable == variable && weighted.weight == weight) return;
  trial.weighted.push_back({variable, std::move(weight)});
}

int CompiledNetwork::variable_of_any(const std::vector<std::size_t>& instances) const {
  if (instances.size() == 1) return parts_[instances[0]].variable;
  for (std::size_t flag = 0; flag < network_.instances.size(); ++flag) {
    const auto& parents = network_.instances[flag].parents;
    if (parts_[flag].variable < 0 || !is_definition(flag) || parents.size() != instances.size()) continue;
    const auto gathered = [&](std::size_t i) {
      return std::any_of(parents.begin(), parents.end(), [i](const Influence& p) { return p.parent == i; });
    };
    if (std::all_of(instances.begin(), instances.end(), gathered)) return parts_[flag].variable;
  }
  return -1;
}

void CompiledNetwork::hold_all_absent(Trial& trial, const std::vector<std::size_t>& instances) const {
  std::vector<bool> left(network_.instances.size(), false);
  for (std::size_t i : instances) left[i] = true;
  for (std::size_t flag = 0; flag < network_.instances.size(); ++flag) {
    if (parts_[flag].variable < 0 || !is_definition(flag)) continue;
    const auto& parents = network_.instances[flag].parents;
    if (!std::all_of(parents.begin(), parents.end(), [&](const Influence& p) { return left[p.parent]; })) continue;
    hold_absent(trial, flag);
    for (const Influence& parent : parents) left[parent.parent] = false;
  }
  for (std::size_t i : instances)
    if (left[i]) hold_absent(trial, i);
}

std::vector<CompiledNetwork::Term> CompiledNetwork::at_most(std::size_t i, std::size_t k) const {
  const Instance& instance = network_.instances[i];
  std::vector<Term> terms(1);
  terms[0].factor = k < instance.leak.size() ? 1 - instance.leak[k] : 1.0;
  for (const Influence& influence : instance.parents) {
    const double factor = k < influence.strength.size() ? 1 - influence.strength[k] : 1.0;
    if (factor == 1) continue;
    if (flag_[influence.parent]) {
      const std::size_t count = terms.size();
      for (std::size_t t = 0; t < count; ++t) {
        terms.push_back(terms[t]);
        terms[t].factor *= factor;
        terms.back().factor *= 1 - factor;
        hold_absent(terms.back().trial, influence.parent);
      }
      continue;
    }
    const int parent = parts_[influence.parent].variable;
    require(parent >= 0, "the parent of a check must be a variable");
    std::vector<double> weight(network_.instances[influence.parent].states, factor);
    weight[0] = 1;
    for (Term& term : terms) term.trial.weighted.push_back({static_cast<Variable>(parent), weight});
  }
  return terms;
}

/// Under one head the head's own variables wait for the end of the sweep. Of several heads each is summed out after its last cylinder, so
/// that the weaknesses of no two heads meet in one table.
std::vector<std::vector<int>> CompiledNetwork::stagings() const {
  constexpr std::size_t kManyVariables = 220;  // beyond, the unstaged search costs more than it can win
  const Sweep sweep = sweep_of(network_.layout);
  const int end = static_cast<int>(2 * network_.layout.locations.size() + 2);
  const bool wide_last = std::count_if(sweep.extent.begin(), sweep.extent.end(), [](int extent) { return extent >= kWideLocation; }) <= 1;
  std::vector<int> stage;
  for (int location : location_of_variable_) {
    const auto at = static_cast<std::size_t>(location);
    const bool last = location < 0 || sweep.last[at] < 0 || (wide_last && sweep.extent[at] >= kWideLocation);
    stage.push_back(last ? end : 2 * sweep.last[at] + (sweep.on_line[at] ? 0 : 1));
  }
  std::vector<std::vector<int>> result{std::move(stage)};
  if (wide_last && location_of_variable_.size() <= kManyVariables) result.emplace_back();
  return result;
}

}  // namespace headjoint::diagnosis::internal
