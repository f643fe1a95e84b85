#include "headjoint/report/internal/tag_layout.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <optional>

namespace headjoint::report {
namespace {

using Indices = std::vector<std::size_t>;

constexpr double kLeaderWeight = 4;
constexpr double kRowWorth = 0.08;  // one more row is worth a label this share of the line nearer to its wish

/// What a row has to keep apart: its own labels, and the leaders that pass it on their way to the rows beyond.
struct Item {
  std::size_t tag = 0;
  double wish = 0;
  double width = 0;
  double weight = 1;  ///< how strongly it holds its place
  bool is_leader = false;
};

/// Items that touch: they move together, so that their wishes are missed as little as possible.
struct Cluster {
  std::size_t first = 0;
  double sum = 0;  ///< of where each item wants the cluster's left end, by weight
  double weight = 0;
  double width = 0;  ///< with the gaps between
  double left = 0;
};

Cluster settled(Cluster cluster, double left, double right) {
  cluster.left = std::max(left, std::min(cluster.sum / cluster.weight, right - cluster.width));
  return cluster;
}

Cluster merged(const Cluster& a, const Cluster& b, double gap) {
  const double offset = a.width + gap;
  return {a.first, a.sum + b.sum - b.weight * offset, a.weight + b.weight, offset + b.width, 0};
}

/// Middles of the items of one row, in order of their wishes; empty when they do not fit.
std::optional<std::vector<double>> middles(const std::vector<Item>& row, double left, double right, double gap) {
  std::vector<Cluster> clusters;
  for (std::size_t k = 0; k < row.size(); ++k) {
    clusters.push_back(settled({k, row[k].weight * (row[k].wish - row[k].width / 2), row[k].weight, row[k].width, 0}, left, right));
    while (clusters.size() > 1 && clusters[clusters.size() - 2].left + clusters[clusters.size() - 2].width + gap > clusters.back().left) {
      const Cluster last = clusters.back();
      clusters.pop_back();
      clusters.back() = settled(merged(clusters.back(), last, gap), left, right);
    }
  }
  std::vector<double> at(row.size());
  for (std::size_t c = 0; c < clusters.size(); ++c) {
    if (clusters[c].left + clusters[c].width > right + 1e-9) return std::nullopt;
    double from = clusters[c].left;
    const std::size_t end = c + 1 < clusters.size() ? clusters[c + 1].first : row.size();
    for (std::size_t k = clusters[c].first; k < end; ++k) {
      at[k] = from + row[k].width / 2;
      from += row[k].width + gap;
    }
  }
  return at;
}

/// The labels are dealt to the rows like cards, so that each row's labels stand apart. @returns what stands in or passes row `r`
std::vector<Item> items_of_row(const std::vector<TagWish>& wishes, const Indices& order, std::size_t rows, std::size_t r) {
  std::vector<Item> out;
  for (std::size_t k = 0; k < order.size(); ++k) {
    const TagWish& tag = wishes[order[k]];
    if (k % rows == r) out.push_back({order[k], tag.wish, tag.width, 1, false});
    if (k % rows > r) out.push_back({order[k], tag.wish, 0, kLeaderWeight, true});
  }
  return out;
}

/// All labels in `rows` rows; empty when one row does not hold its share.
std::optional<std::vector<TagPlace>> in_rows(const std::vector<TagWish>& wishes, const Indices& order, std::size_t rows, double left,
                                             double right, double gap) {
  std::vector<TagPlace> places(wishes.size());
  for (std::size_t r = 0; r < rows; ++r) {
    const std::vector<Item> row = items_of_row(wishes, order, rows, r);
    const auto at = middles(row, left, right, gap);
    if (!at) return std::nullopt;
    for (std::size_t k = 0; k < row.size(); ++k) {
      if (!row[k].is_leader) places[row[k].tag] = {(*at)[k], static_cast<int>(r)};
    }
  }
  return places;
}

double farthest(const std::vector<TagWish>& wishes, const std::vector<TagPlace>& places) {
  double out = 0;
  for (std::size_t i = 0; i < wishes.size(); ++i) out = std::max(out, std::abs(places[i].middle - wishes[i].wish));
  return out;
}

}  // namespace

std::vector<TagPlace> place_tags(const std::vector<TagWish>& wishes, double left, double right, double gap) {
  Indices order(wishes.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return wishes[a].wish < wishes[b].wish; });
  std::optional<std::vector<TagPlace>> best;
  double best_cost = HUGE_VAL;
  for (std::size_t rows = 1; rows <= wishes.size(); ++rows) {
    const auto places = in_rows(wishes, order, rows, left, right, gap);
    const double cost = places ? farthest(wishes, *places) + kRowWorth * (right - left) * static_cast<double>(rows) : HUGE_VAL;
    if (cost < best_cost) {
      best = places;
      best_cost = cost;
    }
  }
  if (best) return *best;
  std::vector<TagPlace> places(wishes.size());
  for (std::size_t k = 0; k < order.size(); ++k) places[order[k]] = {(left + right) / 2, static_cast<int>(k)};
  return places;
}

}  // namespace headjoint::report
