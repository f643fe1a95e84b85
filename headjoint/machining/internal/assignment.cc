#include "headjoint/machining/internal/assignment.h"

#include "headjoint/base/error.h"

namespace headjoint::machining {
namespace {

constexpr std::size_t kNone = static_cast<std::size_t>(-1);

/// Rows join one by one along the cheapest alternating path; prices keep every reduced cost at zero or above.
class Matcher {
 public:
  explicit Matcher(const CostTable& costs)
      : costs_(costs), row_price_(costs.rows()), column_price_(costs.columns()), row_of_(costs.columns(), kNone) {}

  void join(std::size_t row);
  [[nodiscard]] Assignment take();

 private:
  struct Reach {
    RankedCost distance;
    std::size_t from = kNone;  ///< column before it on the path; kNone = the new row itself
    bool is_reached = false;
    bool is_done = false;
  };
  void widen(std::size_t row, std::size_t column, std::vector<Reach>& reach) const;
  [[nodiscard]] std::size_t nearest(const std::vector<Reach>& reach) const;

  const CostTable& costs_;
  std::vector<RankedCost> row_price_, column_price_;
  std::vector<std::size_t> row_of_;
};

/// Distances over `row`, whose own distance is that of the column it holds.
void Matcher::widen(std::size_t row, std::size_t column, std::vector<Reach>& reach) const {
  const RankedCost start = (column == kNone ? RankedCost{} : reach[column].distance) - row_price_[row];
  for (std::size_t j = 0; j < reach.size(); ++j) {
    if (reach[j].is_done) continue;
    const RankedCost distance = start + costs_.at(row, j) - column_price_[j];
    if (reach[j].is_reached && !(distance < reach[j].distance)) continue;
    reach[j].distance = distance;
    reach[j].from = column;
    reach[j].is_reached = true;
  }
}

std::size_t Matcher::nearest(const std::vector<Reach>& reach) const {
  std::size_t best = kNone;
  for (std::size_t j = 0; j < reach.size(); ++j)
    if (!reach[j].is_done && reach[j].is_reached && (best == kNone || reach[j].distance < reach[best].distance)) best = j;
  return best;
}

void Matcher::join(std::size_t row) {
  std::vector<Reach> reach(costs_.columns());
  widen(row, kNone, reach);
  std::size_t end = nearest(reach);
  while (row_of_[end] != kNone) {
    reach[end].is_done = true;
    widen(row_of_[end], end, reach);
    end = nearest(reach);
  }
  const RankedCost length = reach[end].distance;
  row_price_[row] += length;
  for (std::size_t j = 0; j < reach.size(); ++j) {
    if (!reach[j].is_done) continue;
    row_price_[row_of_[j]] += length - reach[j].distance;
    column_price_[j] -= length - reach[j].distance;
  }
  while (reach[end].from != kNone) {
    row_of_[end] = row_of_[reach[end].from];
    end = reach[end].from;
  }
  row_of_[end] = row;
}

Assignment Matcher::take() {
  Assignment result;
  result.column_of.assign(costs_.rows(), kNone);
  for (std::size_t j = 0; j < row_of_.size(); ++j)
    if (row_of_[j] != kNone) result.column_of[row_of_[j]] = j;
  result.row_price = std::move(row_price_);
  result.column_price = std::move(column_price_);
  return result;
}

}  // namespace

Assignment cheapest_assignment(const CostTable& costs) {
  require(costs.columns() >= costs.rows(), "an assignment needs a column for every row");
  Matcher matcher(costs);
  for (std::size_t row = 0; row < costs.rows(); ++row) matcher.join(row);
  return matcher.take();
}

bool is_proven(const CostTable& costs, const Assignment& assignment) {
  std::vector<bool> taken(costs.columns(), false);
  for (std::size_t i = 0; i < costs.rows(); ++i) {
    const std::size_t column = assignment.column_of[i];
    if (column >= costs.columns() || taken[column]) return false;
    taken[column] = true;
    if (assignment.row_price[i] + assignment.column_price[column] != costs.at(i, column)) return false;
    for (std::size_t j = 0; j < costs.columns(); ++j)
      if (costs.at(i, j) < assignment.row_price[i] + assignment.column_price[j]) return false;
  }
  const RankedCost zero;
  for (std::size_t j = 0; j < costs.columns(); ++j)
    if (taken[j] ? zero < assignment.column_price[j] : assignment.column_price[j] != zero) return false;
  return true;
}

}  // namespace headjoint::machining
