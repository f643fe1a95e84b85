// The shop's table: strict, all problems at once, and what is missing comes from the example.
#include "headjoint/repair/shop_table.h"

#include <gtest/gtest.h>

#include "headjoint/repair/testing/repair_cases.h"

namespace headjoint::repair {
namespace {

constexpr double kExact = 1e-12;

Result<ShopTable> read(const std::string& text) {
  const auto document = read_toml(text, "prices.toml");
  if (!document) return document.problems();
  return read_shop_table(*document, testing::kCures);
}

std::string problems_of(const std::string& text) {
  const auto table = read(text);
  return table ? std::string() : to_string(table.problems());
}

TEST(ShopTable, TheShippedExampleGivesEveryFigureInWorkshopHours) {
  const ShopTable example = testing::example_table();
  for (const ShopFigureRow& row : shop_figures()) EXPECT_TRUE(example.figure[static_cast<std::size_t>(row.figure)]) << row.key;
  EXPECT_FALSE(example.hour_price);
}

TEST(ShopTable, OneNumberIsARangeOfItself) {
  const auto table = read("format = 1\n[hours]\nsingle = 3\n");
  ASSERT_TRUE(table);
  const Span hours = *table->figure[static_cast<std::size_t>(ShopFigure::kHoursSingle)];
  EXPECT_NEAR(hours.mean(), 3, kExact);
  EXPECT_NEAR(hours.high - hours.low, 0, kExact);
}

TEST(ShopTable, SwansonsMeanOfARange) { EXPECT_NEAR((Span{6, 7, 12}.mean()), 0.3 * 6 + 0.4 * 7 + 0.3 * 12, kExact); }

TEST(ShopTable, EveryProblemIsToldWithItsLine) {
  const std::string told = problems_of(
      "format = 1\n"
      "hour_price = 60\n"
      "[hours]\n"
      "single = -3\n"
      "inline_to_four = [9, 7, 12]\n"
      "inline_ovr_four = 9\n"
      "[prices]\n"
      "bolts = \"cheap\"\n"
      "[second_failure]\n"
      "as_fitted = 3\n"
      "[cure.renew_thermostatt]\n"
      "hours = 1\n");
  EXPECT_NE(told.find("prices.toml:4:"), std::string::npos) << told;
  EXPECT_NE(told.find("single is -3"), std::string::npos) << told;
  EXPECT_NE(told.find("prices.toml:5:"), std::string::npos) << told;
  EXPECT_NE(told.find("out of order"), std::string::npos) << told;
  EXPECT_NE(told.find("did you mean \"inline_over_four\""), std::string::npos) << told;
  EXPECT_NE(told.find("bolts is text"), std::string::npos) << told;
  EXPECT_NE(told.find("as_fitted is 3"), std::string::npos) << told;
  EXPECT_NE(told.find("renew_thermostat"), std::string::npos) << told;
}

TEST(ShopTable, SharesMayBeWrittenInPerCent) {
  const auto table = read("format = 1\n[second_failure]\nas_fitted = \"4 %\"\n");
  ASSERT_TRUE(table);
  EXPECT_NEAR(table->figure[static_cast<std::size_t>(ShopFigure::kAgainAsFitted)]->likely, 0.04, kExact);
}

TEST(ShopTable, NotATableOfPricesIsRefused) {
  EXPECT_NE(problems_of(""), "");
  EXPECT_NE(problems_of("format = 2\n"), "");
  EXPECT_NE(problems_of("format = 1\nhour_price = 0\n"), "");
  EXPECT_NE(problems_of("format = 1\ncurrency = \"crowns\"\n"), "");
  EXPECT_NE(problems_of("format = 1\n[hours]\nsingle = [1, 2]\n"), "");
  EXPECT_NE(problems_of("format = 1\n[hours]\nsingle = nan\n"), "");
  EXPECT_NE(problems_of("format = 1\nhours = 3\n"), "");
}

TEST(Prices, WithoutAnHourPriceEverythingIsCountedInWorkshopHours) {
  const ShopPrices prices = prices_from(*read("format = 1\n"), testing::example_table(), {});
  EXPECT_EQ(prices.unit, "workshop hours");
  EXPECT_EQ(prices.examples.size(), kShopFigures);
  EXPECT_NEAR(prices.hour_price, 1, kExact);
}

TEST(Prices, TheJobsHourPriceTurnsHoursIntoMoney) {
  const ShopTable example = testing::example_table();
  const ShopPrices plain = prices_from(example, example, {});
  const ShopPrices priced = prices_from(example, example, {60, "crowns"});
  EXPECT_EQ(priced.unit, "crowns");
  for (const ShopFigure figure : {ShopFigure::kHoursFlush, ShopFigure::kPriceHead, ShopFigure::kHoursExchangeEngine})
    EXPECT_NEAR(priced.cost(figure).mean(), 60 * plain.cost(figure).mean(), 1e-9);
}

TEST(Prices, AShopsOwnMoneyIsNotScaledAndWhatItLacksIs) {
  const auto shop = read("format = 1\nhour_price = 80\ncurrency = \"thalers\"\n[prices]\ngasket_set = 95\n");
  ASSERT_TRUE(shop);
  const ShopPrices prices = prices_from(*shop, testing::example_table(), {100, "thalers"});
  EXPECT_NEAR(prices.cost(ShopFigure::kPriceGasketSet).mean(), 95, kExact);
  EXPECT_NEAR(prices.hour_price, 100, kExact) << "the job's hour price counts before the table's";
  const ShopPrices example = testing::example_prices();
  EXPECT_NEAR(prices.cost(ShopFigure::kPriceHead).mean(), 100 * example.cost(ShopFigure::kPriceHead).mean(), 1e-9);
}

}  // namespace
}  // namespace headjoint::repair
