#include "headjoint/repair/shop_table.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "headjoint/base/error.h"
#include "headjoint/base/table_reader.h"
#include "headjoint/base/text.h"

namespace headjoint::repair {
namespace {

struct Range {
  double most;
  const char* text;
};

Range range_of(FigureKind kind) {
  switch (kind) {
    case FigureKind::kHours:
      return {1000, "0 to 1000 hours"};
    case FigureKind::kPrice:
      return {1e7, "0 to 10000000"};
    case FigureKind::kShare:
      return {1, "0 to 1, or \"0 %\" to \"100 %\""};
    case FigureKind::kKilometres:
      return {1e5, "0 to 100000 km"};
  }
  return {0, ""};
}

/// One number of a figure; a share may be text with a per cent sign.
std::optional<double> one_number(TableReader& reader, const Document& node, const std::string& key, FigureKind kind) {
  const Range range = range_of(kind);
  std::optional<double> value;
  if (node.is_number()) value = node.number();
  if (node.is_text() && kind == FigureKind::kShare) {
    std::string_view text = trimmed(node.text());
    if (text.ends_with('%')) {
      text.remove_suffix(1);
      if (const auto percent = parse_number(trimmed(text))) value = *percent / 100;
    }
  }
  if (!value) {
    reader.refuse(node, key + " is " + node.kind_text(), range.text, "a number, or [low, likely, high]");
    return std::nullopt;
  }
  if (*value >= 0 && *value <= range.most) return value;
  const char* mend = *value < 0 ? "a figure below zero would pay for doing the work" : "";
  reader.refuse(node, fmt::format("{} is {}", key, number_text(*value)), range.text, mend);
  return std::nullopt;
}

std::optional<Span> read_span(TableReader& reader, const std::string& key, FigureKind kind) {
  const Document* node = reader.find(key);
  if (node == nullptr) return std::nullopt;
  if (!node->is_array()) {
    const auto value = one_number(reader, *node, key, kind);
    return value ? std::optional<Span>({*value, *value, *value}) : std::nullopt;
  }
  const Array& list = node->array();
  if (list.size() != 3) {
    reader.refuse(*node, fmt::format("{} has {} numbers", key, list.size()), "one number, or three: [low, likely, high]");
    return std::nullopt;
  }
  const auto low = one_number(reader, list[0], key, kind);
  const auto likely = one_number(reader, list[1], key, kind);
  const auto high = one_number(reader, list[2], key, kind);
  if (!low || !likely || !high) return std::nullopt;
  if (!(*low <= *likely && *likely <= *high)) {
    reader.refuse(*node, key + " is out of order", "[low, likely, high], each no less than the one before");
    return std::nullopt;
  }
  return Span{*low, *likely, *high};
}

/// The figures of one table of the file.
void read_figures(TableReader& reader, std::string_view table, ShopTable& shop) {
  for (const ShopFigureRow& row : shop_figures())
    if (row.table == table) shop.figure[static_cast<std::size_t>(row.figure)] = read_span(reader, std::string(row.key), row.kind);
}

void read_cures(TableReader& reader, std::span<const std::string> decisions, ShopTable& shop) {
  for (const std::string& decision : decisions) {
    CureFigure cure{decision, {}, {}};
    reader.table(decision, cure, [](TableReader& inner, CureFigure& into) {
      into.hours = read_span(inner, "hours", FigureKind::kHours);
      into.price = read_span(inner, "price", FigureKind::kPrice);
    });
    if (cure.hours || cure.price) shop.cures.push_back(std::move(cure));
  }
}

std::vector<std::string_view> table_names() {
  std::vector<std::string_view> names;
  for (const ShopFigureRow& row : shop_figures())
    if (names.empty() || names.back() != row.table) names.push_back(row.table);
  return names;
}

}  // namespace

Result<ShopTable> read_shop_table(const Document& document, std::span<const std::string> decisions) {
  Problems problems;
  ShopTable shop;
  TableReader reader(document, {}, problems);
  int format = 0;
  if (reader.required("format") != nullptr) reader.integer("format", format, 1, 1);
  constexpr double kMostPrice = 1e6;
  reader.number("hour_price", shop.hour_price, 0, kMostPrice);
  if (shop.hour_price && !(*shop.hour_price > 0))
    reader.refuse(*reader.find("hour_price"), "hour_price is 0", "more than 0", "leave it out to count in workshop hours");
  reader.text("currency", shop.currency);
  for (const std::string_view name : table_names())
    reader.table(std::string(name), shop, [&](TableReader& inner, ShopTable& into) { read_figures(inner, name, into); });
  reader.table("cure", shop, [&](TableReader& inner, ShopTable& into) { read_cures(inner, decisions, into); });
  reader.finish();
  if (!shop.hour_price && !shop.currency.empty())
    reader.refuse(*reader.find("currency"), "a currency without hour_price", {}, "add hour_price = the price of one workshop hour");
  if (has_errors(problems)) return problems;
  return Result<ShopTable>(std::move(shop), std::move(problems));
}

ShopPrices prices_from(const ShopTable& shop, const ShopTable& example, const JobTerms& job) {
  ShopPrices prices;
  const std::optional<double> hour = job.hour_price && *job.hour_price > 0 ? job.hour_price : shop.hour_price;
  prices.hour_price = hour.value_or(1.0);
  const std::string& currency = shop.currency.empty() ? job.currency : shop.currency;
  prices.unit = !hour ? "workshop hours" : currency.empty() ? "units of money" : currency;
  const double of_shop = shop.hour_price ? 1.0 : prices.hour_price;
  for (const ShopFigureRow& row : shop_figures()) {
    const auto index = static_cast<std::size_t>(row.figure);
    const bool is_own = shop.figure[index].has_value();
    if (!is_own) prices.examples.push_back(row.figure);
    require(is_own || example.figure[index].has_value(), "the example table lacks a figure");
    const double factor = row.kind != FigureKind::kPrice ? 1.0 : is_own ? of_shop : prices.hour_price;
    prices.figure[index] = factor * (is_own ? *shop.figure[index] : *example.figure[index]);
  }
  const auto take_cures = [&](const ShopTable& from, double factor) {
    for (CureFigure cure : from.cures) {
      if (cure.price) cure.price = factor * *cure.price;
      const auto same = [&](const CureFigure& other) { return other.decision == cure.decision; };
      if (std::none_of(prices.cures.begin(), prices.cures.end(), same)) prices.cures.push_back(std::move(cure));
    }
  };
  take_cures(shop, of_shop);
  take_cures(example, prices.hour_price);
  return prices;
}

}  // namespace headjoint::repair
