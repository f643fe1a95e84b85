#include "headjoint/diagnosis/internal/elimination_order.h"

#include <algorithm>
#include <bit>
#include <cstdint>
#include <limits>

#include "headjoint/diagnosis/status.h"

namespace headjoint::diagnosis::internal {
namespace {

/// Undirected graph over the variables as rows of bits.
class Neighbours {
 public:
  explicit Neighbours(const FactorGraph& graph)
      : words_((graph.states.size() + 63) / 64), bits_(graph.states.size() * words_, 0), states_(graph.states) {
    for (const Factor& factor : graph.factors)
      for (Variable a : factor.scope)
        for (Variable b : factor.scope)
          if (a != b) set(a, b);
  }

  [[nodiscard]] std::vector<Variable> of(Variable v) const {
    std::vector<Variable> found;
    for (std::size_t w = 0; w < words_; ++w)
      for (std::uint64_t left = row(v)[w]; left != 0; left &= left - 1)
        found.push_back(w * 64 + static_cast<std::size_t>(std::countr_zero(left)));
    return found;
  }

  /// Size of the table over v and its neighbours.
  [[nodiscard]] double table(Variable v, const std::vector<Variable>& around) const {
    double size = weight(v);
    for (Variable u : around) size *= weight(u);
    return size;
  }

  /// Sum over pairs of neighbours not yet joined of the product of their state counts.
  [[nodiscard]] double fill(Variable v, const std::vector<Variable>& around) const {
    double sum = 0;
    for (Variable u : around)
      for (std::size_t w = 0; w < words_; ++w)
        for (std::uint64_t left = row(v)[w] & ~row(u)[w]; left != 0; left &= left - 1) {
          const std::size_t other = w * 64 + static_cast<std::size_t>(std::countr_zero(left));
          if (other > u) sum += weight(u) * weight(other);
        }
    return sum;
  }

  /// Joins all neighbours of v and takes v out.
  void eliminate(Variable v, const std::vector<Variable>& around) {
    for (Variable u : around) {
      for (std::size_t w = 0; w < words_; ++w) row(u)[w] |= row(v)[w];
      clear(u, u);
      clear(u, v);
    }
    std::fill(row(v), row(v) + words_, 0);
  }

 private:
  [[nodiscard]] double weight(Variable v) const { return static_cast<double>(states_[v]); }
  std::uint64_t* row(Variable v) { return bits_.data() + v * words_; }
  [[nodiscard]] const std::uint64_t* row(Variable v) const { return bits_.data() + v * words_; }
  void set(Variable a, Variable b) { row(a)[b / 64] |= std::uint64_t{1} << (b % 64); }
  void clear(Variable a, Variable b) { row(a)[b / 64] &= ~(std::uint64_t{1} << (b % 64)); }

  std::size_t words_;
  std::vector<std::uint64_t> bits_;
  const std::vector<std::size_t>& states_;
};

/// What one elimination step would cost; kept until the neighbourhood changes.
struct Score {
  double first = 0;
  double second = 0;
  bool known = false;

  [[nodiscard]] bool operator<(const Score& other) const { return first != other.first ? first < other.first : second < other.second; }
};

Score score_of(const Neighbours& neighbours, Variable v, Greed greed) {
  const std::vector<Variable> around = neighbours.of(v);
  const double table = neighbours.table(v, around);
  if (!(table <= kCellLimit)) return {std::numeric_limits<double>::infinity(), table, true};  // hopeless: not worth counting edges
  return greed == Greed::kFill ? Score{neighbours.fill(v, around), table, true} : Score{table, 0, true};
}

}  // namespace

Elimination order_greedily(const FactorGraph& graph, const std::vector<int>& stage, Greed greed, double limit) {
  const std::size_t count = graph.states.size();
  Neighbours neighbours(graph);
  std::vector<Score> scores(count);
  std::vector<bool> gone(count, false);
  Elimination result;
  result.rank.assign(count, 0);
  std::vector<Variable> waiting(count);
  for (Variable v = 0; v < count; ++v) waiting[v] = v;
  std::stable_sort(waiting.begin(), waiting.end(), [&](Variable a, Variable b) { return !stage.empty() && stage[a] < stage[b]; });

  for (std::size_t begin = 0; begin < count;) {
    std::size_t end = begin + 1;
    while (end < count && (stage.empty() || stage[waiting[end]] == stage[waiting[begin]])) ++end;
    for (std::size_t step = begin; step < end; ++step) {
      Variable best = count;
      for (std::size_t i = begin; i < end; ++i) {
        const Variable v = waiting[i];
        if (gone[v]) continue;
        if (!scores[v].known) scores[v] = score_of(neighbours, v, greed);
        if (best == count || scores[v] < scores[best] || (!(scores[best] < scores[v]) && v < best)) best = v;
      }
      const std::vector<Variable> around = neighbours.of(best);
      result.cells += neighbours.table(best, around);
      if (!(result.cells < limit)) return result;
      result.rank[best] = result.buckets.size();
      result.buckets.push_back({best, around});
      neighbours.eliminate(best, around);
      gone[best] = true;
      // Without new edges, and for the size of tables, only the neighbours' scores change.
      const bool joined = greed == Greed::kFill && scores[best].first > 0;
      for (Variable u : around) {
        scores[u].known = false;
        if (!joined) continue;
        for (Variable w : neighbours.of(u)) scores[w].known = false;
      }
    }
    begin = end;
  }
  for (Bucket& bucket : result.buckets)
    std::sort(bucket.rest.begin(), bucket.rest.end(), [&](Variable a, Variable b) { return result.rank[a] < result.rank[b]; });
  return result;
}

Elimination best_order(const FactorGraph& graph, const std::vector<std::vector<int>>& stagings) {
  Elimination best;
  best.cells = std::numeric_limits<double>::infinity();
  for (const std::vector<int>& stage : stagings)
    for (Greed greed : {Greed::kFill, Greed::kTable}) {
      Elimination tried = order_greedily(graph, stage, greed, std::min(best.cells, 2 * kCellLimit));
      if (tried.cells < best.cells) best = std::move(tried);  // one that gave up has at least the limit
    }
  return best;
}

}  // namespace headjoint::diagnosis::internal
