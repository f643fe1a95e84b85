#include "headjoint/diagnosis/internal/elimination_order.h"

#include <algorithm>
#include <bit>
#include <cstdint>
#include <limits>
#include <numeric>

#include "headjoint/diagnosis/status.h"

namespace headjoint::diagnosis::internal {
namespace {

constexpr double kFewCells = 2000;  // summed in less time than another search takes
constexpr double kNoLimit = std::numeric_limits<double>::infinity();

/// Undirected graph over the variables as rows of bits.
class Neighbours {
 public:
  explicit Neighbours(const FactorGraph& graph) : words_((graph.states.size() + 63) / 64), bits_(graph.states.size() * words_, 0) {
    for (std::size_t count : graph.states) weights_.push_back(static_cast<double>(count));
    for (const Factor& factor : graph.factors)
      for (Variable a : factor.scope)
        for (Variable b : factor.scope)
          if (a != b) set(a, b);
  }

  void list(Variable v, std::vector<Variable>& found) const {
    found.clear();
    for_bits(row(v), [&](Variable u) { found.push_back(u); });
  }

  /// Size of the table over v and its neighbours.
  [[nodiscard]] double table(Variable v) const {
    double size = weights_[v];
    for_bits(row(v), [&](Variable u) { size *= weights_[u]; });
    return size;
  }

  /// Sum over pairs of neighbours not yet joined of the product of their state counts; given up, with what was found, beyond the limit.
  [[nodiscard]] double fill(Variable v, double limit) const {
    double twice = 0;
    const std::uint64_t* const own = row(v);
    for (std::size_t w = 0; w < words_; ++w)
      for (std::uint64_t left = own[w]; left != 0 && twice <= 2 * limit; left &= left - 1) {
        const Variable u = w * 64 + static_cast<std::size_t>(std::countr_zero(left));
        const std::uint64_t* const other = row(u);
        double missing = -weights_[u];  // u is no neighbour of its own
        for (std::size_t x = 0; x < words_; ++x)
          for (std::uint64_t lacks = own[x] & ~other[x]; lacks != 0; lacks &= lacks - 1)
            missing += weights_[x * 64 + static_cast<std::size_t>(std::countr_zero(lacks))];
        twice += weights_[u] * missing;
      }
    return twice / 2;
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

  /// Calls body for every variable outside `around` that touches two or more of them.
  template <class Body>
  void for_touching_two(const std::vector<Variable>& around, const Body& body) const {
    std::vector<std::uint64_t> once(words_, 0);
    std::vector<std::uint64_t> twice(words_, 0);
    for (Variable u : around)
      for (std::size_t w = 0; w < words_; ++w) {
        twice[w] |= once[w] & row(u)[w];
        once[w] |= row(u)[w];
      }
    for_bits(twice.data(), body);
  }

 private:
  template <class Body>
  void for_bits(const std::uint64_t* bits, const Body& body) const {
    for (std::size_t w = 0; w < words_; ++w)
      for (std::uint64_t left = bits[w]; left != 0; left &= left - 1) body(w * 64 + static_cast<std::size_t>(std::countr_zero(left)));
  }
  std::uint64_t* row(Variable v) { return bits_.data() + v * words_; }
  [[nodiscard]] const std::uint64_t* row(Variable v) const { return bits_.data() + v * words_; }
  void set(Variable a, Variable b) { row(a)[b / 64] |= std::uint64_t{1} << (b % 64); }
  void clear(Variable a, Variable b) { row(a)[b / 64] &= ~(std::uint64_t{1} << (b % 64)); }

  std::size_t words_;
  std::vector<std::uint64_t> bits_;
  std::vector<double> weights_;
};

/// What one elimination step would cost; kept until the neighbourhood changes.
struct Score {
  double first = 0;
  double second = 0;
  bool known = false;

  [[nodiscard]] bool operator<(const Score& other) const { return first != other.first ? first < other.first : second < other.second; }
};

/// @param limit  a score above it need not be counted to the end; it stays unknown then
Score score_of(const Neighbours& neighbours, Variable v, Greed greed, double limit) {
  const double table = neighbours.table(v);
  if (!(table <= kCellLimit)) return {kNoLimit, table, true};  // hopeless: not worth counting edges
  if (greed == Greed::kTable) return {table, 0, true};
  const double fill = neighbours.fill(v, limit);
  return {fill, table, fill <= limit};
}

}  // namespace

Elimination order_greedily(const FactorGraph& graph, const std::vector<int>& stage, Greed greed, double limit) {
  const std::size_t count = graph.states.size();
  Neighbours neighbours(graph);
  std::vector<Score> scores(count);
  Elimination result;
  result.rank.assign(count, 0);
  std::vector<Variable> waiting(count);
  std::iota(waiting.begin(), waiting.end(), Variable{0});
  std::stable_sort(waiting.begin(), waiting.end(), [&](Variable a, Variable b) { return !stage.empty() && stage[a] < stage[b]; });

  std::vector<Variable> around;
  std::vector<Variable> now;
  for (std::size_t begin = 0; begin < count;) {
    std::size_t end = begin + 1;
    while (end < count && (stage.empty() || stage[waiting[end]] == stage[waiting[begin]])) ++end;
    now.assign(waiting.begin() + static_cast<std::ptrdiff_t>(begin), waiting.begin() + static_cast<std::ptrdiff_t>(end));
    while (!now.empty()) {
      std::size_t best = now.size();
      for (std::size_t i = 0; i < now.size(); ++i) {
        Score& score = scores[now[i]];
        if (!score.known) score = score_of(neighbours, now[i], greed, best < now.size() ? scores[now[best]].first : kNoLimit);
        if (best == now.size() || score < scores[now[best]]) best = i;
      }
      const Variable chosen = now[best];
      now.erase(now.begin() + static_cast<std::ptrdiff_t>(best));
      result.cells += neighbours.table(chosen);
      if (!(result.cells < limit)) return result;
      neighbours.list(chosen, around);
      result.rank[chosen] = result.buckets.size();
      result.buckets.push_back({chosen, around});
      neighbours.eliminate(chosen, around);
      // Without new edges, and for the size of tables, only the neighbours' scores change; else also those of what touches both ends of
      // one.
      for (Variable u : around) scores[u].known = false;
      if (greed == Greed::kFill && scores[chosen].first > 0)
        neighbours.for_touching_two(around, [&](Variable w) { scores[w].known = false; });
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
    for (Greed greed : {Greed::kTable, Greed::kFill}) {  // the quicker search first: its figure cuts the other one short
      Elimination tried = order_greedily(graph, stage, greed, std::min(best.cells, 2 * kCellLimit));
      if (tried.cells < best.cells) best = std::move(tried);  // one that gave up has at least the limit
      if (best.cells < kFewCells) return best;
    }
  return best;
}

}  // namespace headjoint::diagnosis::internal
