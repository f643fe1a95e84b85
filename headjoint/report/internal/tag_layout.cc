#include "headjoint/report/internal/tag_layout.h"

#include <algorithm>
#include <numeric>
#include <optional>

namespace headjoint::report {
namespace {

using Indices = std::vector<std::size_t>;

/// Middles of the labels of one row, in order of their wishes; empty when they do not fit.
std::optional<std::vector<double>> middles(const std::vector<TagWish>& wishes, const Indices& row, double left, double right, double gap) {
  std::vector<double> at(row.size());
  double free_from = left;
  for (std::size_t k = 0; k < row.size(); ++k) {
    const TagWish& tag = wishes[row[k]];
    at[k] = std::max(tag.wish, free_from + tag.width / 2);
    free_from = at[k] + tag.width / 2 + gap;
  }
  double free_to = right;
  for (std::size_t k = row.size(); k-- > 0;) {
    const TagWish& tag = wishes[row[k]];
    at[k] = std::min(at[k], free_to - tag.width / 2);
    free_to = at[k] - tag.width / 2 - gap;
  }
  if (!row.empty() && at[0] - wishes[row[0]].width / 2 < left - 1e-9) return std::nullopt;
  return at;
}

/// Deals the labels to `rows` rows like cards, so that each row's labels stand apart.
std::vector<Indices> dealt(const Indices& order, std::size_t rows) {
  std::vector<Indices> out(rows);
  for (std::size_t k = 0; k < order.size(); ++k) out[k % rows].push_back(order[k]);
  return out;
}

}  // namespace

std::vector<TagPlace> place_tags(const std::vector<TagWish>& wishes, double left, double right, double gap) {
  Indices order(wishes.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return wishes[a].wish < wishes[b].wish; });
  std::vector<TagPlace> places(wishes.size());
  for (std::size_t rows = 1; rows <= wishes.size(); ++rows) {
    bool fits = true;
    const std::vector<Indices> deal = dealt(order, rows);
    for (std::size_t r = 0; r < rows && fits; ++r) {
      const auto at = middles(wishes, deal[r], left, right, gap);
      fits = at.has_value();
      for (std::size_t k = 0; fits && k < deal[r].size(); ++k) places[deal[r][k]] = {(*at)[k], static_cast<int>(r)};
    }
    if (fits) return places;
  }
  for (std::size_t k = 0; k < order.size(); ++k) places[order[k]] = {(left + right) / 2, static_cast<int>(k)};
  return places;
}

}  // namespace headjoint::report
