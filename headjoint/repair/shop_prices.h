#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "headjoint/joint/engine.h"

/// The shop's table of hours, prices and risks as values.
namespace headjoint::repair {

/// A figure with its range: one job in ten comes below `low`, one in ten above `high`.
struct Span {
  double low = 0;
  double likely = 0;
  double high = 0;

  /// 0.3 low + 0.4 likely + 0.3 high.
  /// @par Source  Swanson's rule for tenth, fiftieth and ninetieth percentile (from memory)
  [[nodiscard]] double mean() const { return kEnd * low + (1 - 2 * kEnd) * likely + kEnd * high; }
  static constexpr double kEnd = 0.3;

  Span& operator+=(const Span& other) { return *this = {low + other.low, likely + other.likely, high + other.high}; }
  friend Span operator+(Span a, const Span& b) { return a += b; }
  friend Span operator*(double k, const Span& a) { return {k * a.low, k * a.likely, k * a.high}; }
};

/// Every figure of the table, once. Its table, key and words are in shop_figures().
enum class ShopFigure {
  // workshop hours
  kHoursSingle,
  kHoursInlineToFour,
  kHoursInlineOverFour,
  kHoursVee,
  kHoursFlat,
  kHoursOwnHead,
  kHoursExchangeHead,
  kHoursExchangeEngine,
  kHoursRetighten,
  kHoursStopLeak,
  kHoursFlush,
  kHoursComeBack,
  // prices
  kPriceGasketSet,
  kPriceBolts,
  kPriceFluids,
  kPriceHeadService,
  kPriceHead,
  kPriceEngine,
  kPriceStopLeak,
  // shares of the work
  kShareFurtherHead,
  kShareTakingOff,
  // leaks left in: engine or head lost for each 100 km, comes back, re-tightening or stop-leak holds
  kBetweenEngineLost,
  kBetweenHeadLost,
  kBetweenComesBack,
  kBetweenRetightenHolds,
  kBetweenStopLeakHolds,
  kGasEngineLost,
  kGasHeadLost,
  kGasComesBack,
  kGasRetightenHolds,
  kGasStopLeakHolds,
  kInsideEngineLost,
  kInsideHeadLost,
  kInsideComesBack,
  kInsideRetightenHolds,
  kInsideStopLeakHolds,
  kSeepEngineLost,
  kSeepHeadLost,
  kSeepComesBack,
  kSeepRetightenHolds,
  kSeepStopLeakHolds,
  kCoolingEngineLost,
  kUnnoticed,
  // the new gasket fails again
  kAgainAsFitted,
  kAgainCooling,
  kAgainDetonation,
  kAgainHeadFace,
  kAgainBlockFace,
  kAgainHeadCracked,
  kAgainBlockCracked,
  kAgainAfterService,
  kAgainEngineLost,
  kStopLeakBlocks,
  kCount
};
inline constexpr std::size_t kShopFigures = static_cast<std::size_t>(ShopFigure::kCount);

enum class FigureKind { kHours, kPrice, kShare, kKilometres };

/// Where a figure stands in the file and how it is called.
struct ShopFigureRow {
  ShopFigure figure;
  FigureKind kind;
  std::string_view table;  ///< "hours"
  std::string_view key;    ///< "inline_to_four"
  std::string_view text;   ///< "hours to take the head of an engine of up to four in line off and on"
};
[[nodiscard]] std::span<const ShopFigureRow> shop_figures();
[[nodiscard]] const ShopFigureRow& row_of(ShopFigure figure);

/// Hours and price of curing one rival cause, by the decision's name ("renew_thermostat").
struct CureFigure {
  std::string decision;
  std::optional<Span> hours;
  std::optional<Span> price;
};

struct ShopPrices {
  double hour_price = 1;                    ///< in `unit`; 1 when the unit is the workshop hour itself
  std::string unit;                         ///< "crowns", "workshop hours"
  std::array<Span, kShopFigures> figure{};  ///< hours in h, prices in `unit`, shares 0 to 1, distances in km
  std::vector<CureFigure> cures;
  std::vector<ShopFigure> examples;  ///< taken from the shipped example table because the shop's does not give them

  [[nodiscard]] const Span& operator[](ShopFigure f) const { return figure[static_cast<std::size_t>(f)]; }
  [[nodiscard]] Span& operator[](ShopFigure f) { return figure[static_cast<std::size_t>(f)]; }
  /// A price, or hours at the hour's price.
  [[nodiscard]] Span cost(ShopFigure f) const { return row_of(f).kind == FigureKind::kHours ? hour_price * (*this)[f] : (*this)[f]; }
  /// Middle of a share or distance.
  [[nodiscard]] double share(ShopFigure f) const { return (*this)[f].mean(); }
  [[nodiscard]] double minutes_of(double cost) const { return 60 * cost / hour_price; }
  [[nodiscard]] double cost_of_minutes(double minutes) const { return minutes / 60 * hour_price; }
};

/// The figure for taking one head of this engine off and putting it on again.
[[nodiscard]] ShopFigure hours_figure(const joint::General& engine);

}  // namespace headjoint::repair
