#pragma once

#include <optional>
#include <string>

#include "headjoint/base/document.h"
#include "headjoint/base/result.h"
#include "headjoint/repair/shop_prices.h"

/// The shop's table of hours and prices as a file.
namespace headjoint::repair {

/// A table as written: figures that are not there are empty.
struct ShopTable {
  std::optional<double> hour_price;  ///< none: prices are in workshop hours
  std::string currency;
  std::array<std::optional<Span>, kShopFigures> figure{};
  std::vector<CureFigure> cures;
};

/// Reads a table strictly: a figure is a number, or [low, likely, high]; a share may be written "10 %".
///
/// @param decisions  names of rivals' repairs that may stand in [cure.NAME]
/// @returns the table, or every problem with its place: unknown keys, negative figures, ranges out of order, shares above 1
[[nodiscard]] Result<ShopTable> read_shop_table(const Document& document, std::span<const std::string> decisions);

/// What the job file says of the workshop.
struct JobTerms {
  std::optional<double> hour_price;
  std::string currency;
};

/// The figures to count with: the shop's where it gives them, else the example's.
///
/// An hour price, the job's before the table's, turns hours and prices written in hours into money; without one everything is counted
/// in workshop hours. A table whose prices are money keeps them.
/// @pre example gives every figure and no hour price
[[nodiscard]] ShopPrices prices_from(const ShopTable& shop, const ShopTable& example, const JobTerms& job);

}  // namespace headjoint::repair
