#pragma once

#include <cmath>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "headjoint/base/document.h"

/// Small pieces that the answers' keys are made of.
namespace headjoint::assess::internal {

/// Null where there is no number.
[[nodiscard]] inline Document number(double value) { return std::isfinite(value) ? Document(value) : Document(nullptr); }
[[nodiscard]] inline Document number(const std::optional<double>& value) { return value ? number(*value) : Document(nullptr); }

[[nodiscard]] inline Document texts(const std::vector<std::string>& items) { return Array(items.begin(), items.end()); }

/// A list of tables; `fill` puts the keys of one item into its table.
template <class Item, class Fill>
[[nodiscard]] Document listed(const std::vector<Item>& items, Fill fill) {
  Array list;
  for (const Item& item : items) {
    Document entry(Table{});
    fill(entry, item);
    list.push_back(std::move(entry));
  }
  return list;
}

}  // namespace headjoint::assess::internal
