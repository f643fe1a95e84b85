// The options: hand-worked cases, what a mechanic would insist on, and identities that hold for any engine.
#include "headjoint/repair/options.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "headjoint/repair/testing/repair_cases.h"

namespace headjoint::repair {
namespace {

using testing::certain_case;
using testing::cost_of;
using testing::example_prices;

constexpr double kExact = 1e-9;
constexpr unsigned kRandomCases = 50;

/// Every range shut to its middle, so that a cost can be worked by hand.
ShopPrices plain_prices() {
  ShopPrices prices = example_prices();
  for (Span& span : prices.figure) span = {span.mean(), span.mean(), span.mean()};
  return prices;
}

std::vector<OptionCost> costs(const RepairCase& in_case, const ShopPrices& prices) {
  return option_costs(in_case, prices, worth_curing(in_case.rivals, prices, cost_of_coming_back(in_case, prices)));
}

Option chosen(const RepairCase& in_case, const ShopPrices& prices) { return static_cast<Option>(choice_of(costs(in_case, prices))); }

TEST(Options, GasketOnlyOnASoundEngineWorkedByHand) {
  const ShopPrices prices = plain_prices();
  const auto c = [&](ShopFigure f) { return prices.cost(f).likely; };
  const double job =
      c(ShopFigure::kHoursInlineToFour) + c(ShopFigure::kPriceGasketSet) + c(ShopFigure::kPriceBolts) + c(ShopFigure::kPriceFluids);
  const double again = job + c(ShopFigure::kPriceHeadService) + c(ShopFigure::kHoursComeBack);
  const double lost = c(ShopFigure::kPriceEngine) + c(ShopFigure::kHoursExchangeEngine) + c(ShopFigure::kHoursComeBack);
  // 3 in 100 fail as fitted; one in ten of those takes the engine.
  const double expected = job + 0.03 * (0.9 * again + 0.1 * lost);
  const auto options = costs(certain_case(kGasToCoolant, 0), prices);
  EXPECT_NEAR(cost_of(options, Option::kGasketOnly).expected_cost, expected, kExact);
  EXPECT_NEAR(cost_of(options, Option::kGasketOnly).second_failure, 0.03, kExact);
}

TEST(Options, SecondFailureIsANoisyOrOfWhatIsLeftIn) {
  const ShopPrices prices = plain_prices();
  const double face = prices.share(ShopFigure::kAgainHeadFace);
  const double not_cooked = 1 - prices.share(ShopFigure::kAgainCooling);
  const auto options = costs(certain_case(kGasToCoolant, kHeadFaceOut | kCoolingFaultLeft), prices);
  EXPECT_NEAR(cost_of(options, Option::kGasketOnly).second_failure, 1 - 0.97 * (1 - face) * not_cooked, kExact);
  EXPECT_NEAR(cost_of(options, Option::kGasketAndHeadService).second_failure, 1 - 0.97 * (1 - face / 10) * not_cooked, kExact);
  EXPECT_NEAR(cost_of(options, Option::kExchangeHead).second_failure, 1 - 0.97 * not_cooked, kExact);
}

TEST(Options, DrivingOnLosesTheEngineAsTheTableSaysOverTheDistance) {
  RepairCase in_case = certain_case(kGasToCoolant, 0);
  in_case.distance_km = 300;
  EXPECT_NEAR(cost_of(costs(in_case, plain_prices()), Option::kDriveOn).engine_lost, 1 - std::pow(0.95, 3), kExact);
}

TEST(Options, AWarpedHeadCallsForHeadService) {
  EXPECT_EQ(chosen(certain_case(kBetweenCylinders, kHeadFaceOut), example_prices()), Option::kGasketAndHeadService);
}

TEST(Options, ASoundJointIsLeftAloneAndTheCauseIsCured) {
  RepairCase in_case = certain_case(0, 0);
  in_case.rivals.push_back({"renew_cap", "renew the pressure cap", 0.9, 0.25, 2.2, false, false, false});
  EXPECT_EQ(chosen(in_case, example_prices()), Option::kCureRival);
}

TEST(Options, ACrackedBlockEndsInAnotherEngine) {
  RepairCase in_case = certain_case(kCoolantInside, kBlockCracked | kHeadCracked);
  in_case.no_retightening = "stretch bolts";
  EXPECT_EQ(chosen(in_case, example_prices()), Option::kExchangeEngine);
}

TEST(Options, AHeadWithoutMetalIsExchanged) {
  RepairCase in_case = certain_case(kBetweenCylinders, kHeadFaceOut);
  in_case.no_gasket_only = "measured out of limit";
  in_case.no_head_service = "no metal left";
  in_case.no_retightening = "stretch bolts";
  EXPECT_EQ(chosen(in_case, example_prices()), Option::kExchangeHead);
}

TEST(Options, WithTheHeadOffTheJointIsRenewedInAnyCase) {
  RepairCase in_case = certain_case(0, 0);
  in_case.head_off = true;
  const auto options = costs(in_case, example_prices());
  for (const Option option : {Option::kRetighten, Option::kStopLeak, Option::kCureRival, Option::kDriveOn})
    EXPECT_FALSE(cost_of(options, option).forbidden.empty());
  EXPECT_EQ(chosen(in_case, example_prices()), Option::kGasketOnly);
}

TEST(Options, TheHoursOfTakingTheHeadOffAreNotPaidTwice) {
  RepairCase in_case = certain_case(kGasToCoolant, 0);
  const double on = cost_of(costs(in_case, plain_prices()), Option::kGasketOnly).expected_cost;
  in_case.head_off = true;
  const double off = cost_of(costs(in_case, plain_prices()), Option::kGasketOnly).expected_cost;
  EXPECT_NEAR(on - off, 0.4 * plain_prices().cost(ShopFigure::kHoursInlineToFour).likely, kExact);
}

TEST(Options, ACoolingFaultIsCuredWithTheJointThoughItWouldNotPayAlone) {
  RepairCase in_case = certain_case(kGasToCoolant, 0);
  in_case.rivals.push_back({"renew_thermostat", "renew the thermostat", 0.2, 1.0, 0.9, true, false, false});
  const Cured cured = worth_curing(in_case.rivals, example_prices(), cost_of_coming_back(in_case, example_prices()));
  EXPECT_FALSE(cured.always[0]);
  EXPECT_TRUE(cured.with_joint[0]);
}

/// Any engine: chances at random, some rivals, permissions at random.
class RandomCase {
 public:
  explicit RandomCase(unsigned seed) : random_(seed) {
    in_case.leaks = chances(kLeakStates);
    in_case.parts = chances(kPartStates);
    for (int i = 0; i < 3; ++i) {
      const double chance = number();
      in_case.rivals.push_back(
          {"r" + std::to_string(i), "mend it", chance, 5 * number(), 8 * chance, number() < 0.5, number() < 0.2, number() < 0.4});
    }
    in_case.heads = 1 + static_cast<int>(2 * number());
    in_case.head_off = number() < 0.2;
    in_case.liquid_cooled = number() < 0.8;
    in_case.bolts_due = number() < 0.5;
    if (number() < 0.5) in_case.no_retightening = "stretch bolts";
    if (number() < 0.3) in_case.sealing_chance = number();
    in_case.distance_km = 10 + 500 * number();
  }
  RepairCase in_case;

 private:
  double number() { return std::uniform_real_distribution<double>()(random_); }
  std::vector<double> chances(std::size_t n) {
    std::vector<double> p;
    double sum = 0;
    for (std::size_t i = 0; i < n; ++i) sum += p.emplace_back(std::pow(number(), 6));
    for (double& one : p) one /= sum;
    return p;
  }
  std::mt19937 random_;
};

TEST(AnyEngine, ScalingAllPricesScalesAllCostsAndKeepsTheChoice) {
  const ShopTable example = testing::example_table();
  const ShopPrices hours = prices_from(example, example, {});
  const ShopPrices money = prices_from(example, example, {60, "crowns"});
  for (unsigned seed = 0; seed < kRandomCases; ++seed) {
    const RandomCase random(seed);
    RepairCase priced = random.in_case;
    for (Rival& rival : priced.rivals) rival.put_right *= 60, rival.left *= 60;
    const auto plain = costs(random.in_case, hours);
    const auto scaled = costs(priced, money);
    EXPECT_EQ(choice_of(plain), choice_of(scaled)) << "seed " << seed;
    for (std::size_t o = 0; o < plain.size(); ++o) {
      EXPECT_NEAR(scaled[o].expected_cost, 60 * plain[o].expected_cost, 60 * kExact) << "seed " << seed;
      EXPECT_NEAR(scaled[o].high, 60 * plain[o].high, 60 * kExact) << "seed " << seed;
      EXPECT_NEAR(scaled[o].second_failure, plain[o].second_failure, kExact) << "seed " << seed;
    }
  }
}

TEST(AnyEngine, TheItemsAddUpToTheExpectedCostAndTheSpreadHoldsIt) {
  const ShopPrices prices = example_prices();
  for (unsigned seed = 0; seed < kRandomCases; ++seed)
    for (const OptionCost& option : costs(RandomCase(seed).in_case, prices)) {
      double sum = 0;
      for (const CostItem& item : option.items) sum += item.cost;
      EXPECT_NEAR(sum, option.expected_cost, 1e-7) << name_of(option.option) << " seed " << seed;
      EXPECT_LE(option.low, option.high);
      EXPECT_GE(option.low, 0);
      EXPECT_GE(option.second_failure, 0);
      EXPECT_LE(option.second_failure, 1 + kExact);
      EXPECT_LE(option.engine_lost, 1 + kExact);
    }
}

TEST(AnyEngine, WhatIsForbiddenOrNoRepairIsNeverChosenAndALiftedBanNeverCosts) {
  const ShopPrices prices = example_prices();
  for (unsigned seed = 0; seed < kRandomCases; ++seed) {
    RandomCase random(seed);
    const auto options = costs(random.in_case, prices);
    const std::size_t best = choice_of(options);
    ASSERT_LT(best, options.size());
    EXPECT_TRUE(options[best].forbidden.empty());
    EXPECT_NE(options[best].option, Option::kStopLeak);
    random.in_case.no_retightening.clear();
    const auto more = costs(random.in_case, prices);
    EXPECT_LE(more[choice_of(more)].expected_cost, options[best].expected_cost + kExact) << "seed " << seed;
  }
}

TEST(AnyEngine, LeavingALeakThatComesBackIsNeverCheaperThanRenewingNow) {
  const ShopPrices prices = example_prices();
  for (unsigned seed = 0; seed < kRandomCases; ++seed) {
    RandomCase random(seed);
    random.in_case.head_off = false;
    for (const unsigned leak : {kBetweenCylinders, kGasToCoolant, kCoolantInside})
      EXPECT_GT(cost_left_in(leak, random.in_case, prices), cost_of_renewing(random.in_case, prices)) << "seed " << seed;
  }
}

TEST(AnyEngine, ALongerWayNeverMakesDrivingOnCheaper) {
  const ShopPrices prices = example_prices();
  for (unsigned seed = 0; seed < kRandomCases; ++seed) {
    RandomCase random(seed);
    random.in_case.head_off = false;
    double before = 0;
    for (const double km : {1.0, 20.0, 200.0, 2000.0}) {
      random.in_case.distance_km = km;
      const OptionCost driving = cost_of(costs(random.in_case, prices), Option::kDriveOn);
      EXPECT_GE(driving.engine_lost, before) << "seed " << seed;
      before = driving.engine_lost;
    }
  }
}

TEST(AnyEngine, EveryTurnTurnsTheChoice) {
  const ShopPrices prices = example_prices();
  constexpr unsigned kFew = 5;
  for (unsigned seed = 0; seed < kFew; ++seed) {
    const RandomCase random(seed);
    const Cured cured = worth_curing(random.in_case.rivals, prices, cost_of_coming_back(random.in_case, prices));
    const Options options = repair_options(random.in_case, prices, cured, 0.1, 0.9);
    for (const Turn& turn : options.turns) {
      EXPECT_NE(turn.then, *options.chosen) << turn.figure << " seed " << seed;
      if (turn.figure != "chance that the joint has failed") continue;
      RepairCase moved = random.in_case;
      moved.leaks = with_chance_of_leak(moved.leaks, turn.at);
      EXPECT_EQ(choice_of(option_costs(moved, prices, cured)), static_cast<std::size_t>(turn.then)) << "seed " << seed;
    }
  }
}

}  // namespace
}  // namespace headjoint::repair
