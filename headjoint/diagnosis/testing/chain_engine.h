#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

#include "headjoint/diagnosis/finding.h"

namespace headjoint::diagnosis::testing {

/// A second exact engine, for tests only. It shares no code and no algebra with the first one: a noisy node is spelled out as a chain of
/// maxima with one parent at a time and no negative entry anywhere, and buckets of whole tables are summed up and handed down.
class ChainEngine {
 public:
  ChainEngine(const InstanceNetwork& network, const std::vector<Observation>& observations) : network_(network) {
    std::vector<std::vector<double>> seen(network.instances.size());
    for (const Observation& observation : observations) see(observation, seen);
    std::vector<bool> needed(network.instances.size(), false);
    for (std::size_t i = network.instances.size(); i-- > 0;) {
      needed[i] = needed[i] || network.instances[i].is_cause || !seen[i].empty();
      if (needed[i])
        for (const Influence& influence : network.instances[i].parents) needed[influence.parent] = true;
    }
    variable_.assign(network.instances.size(), 0);
    for (std::size_t i = 0; i < network.instances.size(); ++i) {
      if (!needed[i] || network.instances[i].measures >= 0) continue;
      add_chain(i);
      if (!seen[i].empty()) tables_.push_back({{variable_[i]}, seen[i]});
    }
    run();
  }

  [[nodiscard]] bool too_large() const { return too_large_; }
  [[nodiscard]] double log_evidence() const { return log_evidence_; }
  [[nodiscard]] double present(std::size_t instance) const {
    const std::vector<double>& p = marginal_[variable_[instance]];
    return 1 - p[0] / (p[0] + p[1]);
  }

 private:
  static constexpr double kMostCells = 70000;  ///< of one bucket

  struct Table {
    std::vector<std::size_t> scope;  ///< last one fastest
    std::vector<double> value;
  };

  void see(const Observation& observation, std::vector<std::vector<double>>& seen) const {
    auto i = static_cast<std::size_t>(network_.find(observation.finding, observation.place));
    std::vector<double> likelihood = observation.likelihood;
    if (const int measured = network_.instances[i].measures; measured >= 0) {
      if (!observation.over_measured) {
        std::vector<double> over;
        for (const auto& row : network_.finding(i).confusion) {
          over.push_back(0);
          for (std::size_t t = 0; t < row.size(); ++t) over.back() += row[t] * observation.likelihood[t];
        }
        likelihood = over;
      }
      i = static_cast<std::size_t>(measured);
    }
    if (seen[i].empty()) seen[i].assign(likelihood.size(), 1.0);
    for (std::size_t s = 0; s < likelihood.size(); ++s) seen[i][s] *= likelihood[s];
  }

  std::size_t new_variable(std::size_t states) {
    states_.push_back(states);
    return states_.size() - 1;
  }

  /// Chance that a contribution with these "at least" chances is exactly k.
  static double exactly(const std::vector<double>& at_least, std::size_t k) {
    return (k == 0 ? 1.0 : at_least[k - 1]) - (k < at_least.size() ? at_least[k] : 0.0);
  }

  void add_chain(std::size_t i) {
    const Instance& instance = network_.instances[i];
    std::size_t last = new_variable(instance.states);
    Table first{{last}, {}};
    for (std::size_t k = 0; k < instance.states; ++k) first.value.push_back(exactly(instance.leak, k));
    tables_.push_back(first);
    for (const Influence& influence : instance.parents) {
      const std::size_t next = new_variable(instance.states);
      const std::size_t parent = variable_[influence.parent];
      Table link{{parent, last, next}, {}};
      for (std::size_t p = 0; p < states_[parent]; ++p)
        for (std::size_t before = 0; before < instance.states; ++before)
          for (std::size_t after = 0; after < instance.states; ++after) {
            double chance = 0;
            for (std::size_t own = 0; own < instance.states; ++own)
              if (std::max(own, before) == after) chance += p > 0 ? exactly(influence.strength, own) : (own == 0 ? 1.0 : 0.0);
            link.value.push_back(chance);
          }
      tables_.push_back(link);
      last = next;
    }
    variable_[i] = last;
  }

  // ---- buckets ----
  struct Bucket {
    std::size_t variable = 0;
    std::vector<std::size_t> scope;
    std::vector<Table> own;
    std::vector<std::size_t> children;
    Table up;
    Table down;  ///< what comes from the bucket that took `up`
  };

  /// Product of tables over a scope, then summed onto a part of it.
  Table product(const std::vector<std::size_t>& scope, const std::vector<const Table*>& factors,
                const std::vector<std::size_t>& onto) const {
    std::size_t cells = 1;
    for (std::size_t v : scope) cells *= states_[v];
    const auto index_in = [&](const std::vector<std::size_t>& part, const std::vector<std::size_t>& state) {
      std::size_t index = 0;
      for (std::size_t v : part) index = index * states_[v] + state[v];
      return index;
    };
    Table result{onto, {}};
    std::size_t size = 1;
    for (std::size_t v : onto) size *= states_[v];
    result.value.assign(size, 0.0);
    std::vector<std::size_t> state(states_.size(), 0);
    for (std::size_t cell = 0; cell < cells; ++cell) {
      double value = 1;
      for (const Table* factor : factors) value *= factor->value[index_in(factor->scope, state)];
      result.value[index_in(onto, state)] += value;
      for (std::size_t at = scope.size(); at-- > 0;) {
        if (++state[scope[at]] < states_[scope[at]]) break;
        state[scope[at]] = 0;
      }
    }
    return result;
  }

  /// Variable whose elimination makes the smallest table.
  std::size_t cheapest(const std::vector<std::vector<bool>>& joined, const std::vector<bool>& gone) const {
    std::size_t best = states_.size();
    double least = kMostCells;
    for (std::size_t v = 0; v < states_.size(); ++v) {
      if (gone[v]) continue;
      double cells = static_cast<double>(states_[v]);
      for (std::size_t u = 0; u < states_.size(); ++u)
        if (joined[v][u] && !gone[u]) cells *= static_cast<double>(states_[u]);
      if (cells < least) {
        least = cells;
        best = v;
      }
    }
    return best;
  }

  void run() {
    const std::size_t count = states_.size();
    std::vector<std::vector<bool>> joined(count, std::vector<bool>(count, false));
    for (const Table& table : tables_)
      for (std::size_t a : table.scope)
        for (std::size_t b : table.scope) joined[a][b] = a != b;
    std::vector<bool> gone(count, false);
    std::vector<std::size_t> position(count, count);
    for (std::size_t step = 0; step < count; ++step) {
      const std::size_t v = cheapest(joined, gone);
      too_large_ = too_large_ || v == count;
      if (too_large_) return;
      Bucket bucket{v, {}, {}, {}, {}, {}};
      for (std::size_t u = 0; u < count; ++u)
        if (joined[v][u] && !gone[u]) bucket.scope.push_back(u);
      for (std::size_t a : bucket.scope)
        for (std::size_t b : bucket.scope) joined[a][b] = joined[a][b] || a != b;
      gone[v] = true;
      position[v] = step;
      buckets_.push_back(std::move(bucket));
    }
    const auto first_of = [&](const std::vector<std::size_t>& scope) {
      std::size_t first = count;
      for (std::size_t v : scope) first = std::min(first, position[v]);
      return first;
    };
    for (const Table& table : tables_) buckets_[first_of(table.scope)].own.push_back(table);
    std::vector<std::size_t> parent(count, count);
    for (std::size_t b = 0; b < count; ++b) {
      Bucket& bucket = buckets_[b];
      bucket.up = product(whole(bucket), factors(bucket, count, false), bucket.scope);
      const double scale = *std::max_element(bucket.up.value.begin(), bucket.up.value.end());
      if (scale > 0)
        for (double& value : bucket.up.value) value /= scale;
      log_evidence_ += std::log(scale);
      parent[b] = first_of(bucket.scope);
      if (parent[b] < count) buckets_[parent[b]].children.push_back(b);
    }
    marginal_.resize(count);
    for (std::size_t b = count; b-- > 0;) {
      Bucket& bucket = buckets_[b];
      if (parent[b] < count) bucket.down = product(whole(buckets_[parent[b]]), factors(buckets_[parent[b]], b, true), bucket.scope);
      marginal_[bucket.variable] = product(whole(bucket), factors(bucket, count, true), {bucket.variable}).value;
    }
  }

  static std::vector<std::size_t> whole(const Bucket& bucket) {
    std::vector<std::size_t> scope = bucket.scope;
    scope.push_back(bucket.variable);
    return scope;
  }

  /// All that meets in a bucket but what came from `without`.
  std::vector<const Table*> factors(const Bucket& bucket, std::size_t without, bool with_down) const {
    std::vector<const Table*> list;
    for (const Table& table : bucket.own) list.push_back(&table);
    for (std::size_t child : bucket.children)
      if (child != without) list.push_back(&buckets_[child].up);
    if (with_down && !bucket.down.value.empty()) list.push_back(&bucket.down);
    return list;
  }

  const InstanceNetwork& network_;
  std::vector<std::size_t> states_;
  std::vector<std::size_t> variable_;  ///< [instance]
  std::vector<Table> tables_;
  std::vector<Bucket> buckets_;
  double log_evidence_ = 0;
  bool too_large_ = false;
  std::vector<std::vector<double>> marginal_;
};

}  // namespace headjoint::diagnosis::testing
