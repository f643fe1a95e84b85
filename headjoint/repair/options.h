#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "headjoint/repair/repair_case.h"

/// What may be done now, what it is expected to cost, and how likely the joint leaks again.
namespace headjoint::repair {

enum class Option { kRetighten, kStopLeak, kGasketOnly, kGasketAndHeadService, kExchangeHead, kExchangeEngine, kCureRival, kDriveOn };
inline constexpr std::size_t kOptions = 8;

/// "retighten", "gasket_only"; and in words.
[[nodiscard]] std::string_view name_of(Option option);
[[nodiscard]] std::string_view words_of(Option option);
[[nodiscard]] bool renews_the_joint(Option option);

/// One part of an expected cost.
struct CostItem {
  std::string what;  ///< "head off and on, gasket renewed"
  double cost = 0;   ///< expected
};

/// One thing that makes the joint leak again, and what the chance would fall by without it.
struct Driver {
  std::string what;
  double share = 0;
};

struct OptionCost {
  Option option = Option::kGasketOnly;
  std::string forbidden;    ///< why it may not be done; empty = it may
  bool is_a_repair = true;  ///< false for a way home: never chosen
  double expected_cost = 0;
  double low = 0;  ///< nine in ten cases cost between low and high
  double high = 0;
  double second_failure = 0;  ///< chance that the joint leaks within a year after it (or leaks still)
  double engine_lost = 0;     ///< chance of losing the engine
  std::vector<CostItem> items;
  std::vector<Driver> drivers;  ///< greatest first
  [[nodiscard]] bool may_be_chosen() const { return forbidden.empty() && is_a_repair; }
};

/// A figure whose other value would change the choice.
struct Turn {
  std::string figure;  ///< "price of an exchange head", "chance that the joint has failed"
  std::string unit;    ///< "h", the shop's unit, "km", "" for a chance
  double now = 0;
  double at = 0;  ///< nearest value where the choice changes
  Option then = Option::kGasketOnly;
};

/// A figure with what its range does to the lead of the choice over the next best.
struct Weight {
  std::string figure;
  std::string unit;
  double now = 0;
  double low = 0;
  double high = 0;
  double swing = 0;  ///< change of the lead from low to high
};

struct Options {
  std::vector<OptionCost> options;  ///< in the order of the enumeration
  std::optional<Option> chosen;     ///< least expected cost among those that may be chosen
  std::optional<Option> second;     ///< the next best
  std::vector<Turn> turns;          ///< nearest first, by the factor from now
  std::vector<Weight> weights;      ///< heaviest first
};

/// How much of a cost is wanted.
enum class Detail { kAll, kExpectedCost };

/// Expected cost, spread and second failure of every option, by summing over every combination of states and outcomes.
///
/// cost = work + rivals cured with it + rivals left in + second failure (the whole job again, or the engine) or, where the joint is left,
/// the engine lost or the whole job later. The joint's second failure is a noisy-OR of what is there and not put right.
/// @param detail  low, high, items and drivers are left empty for the expected cost alone
/// @throws ContractError when chances do not have the length of their states
[[nodiscard]] std::vector<OptionCost> option_costs(const RepairCase& repair_case, const ShopPrices& prices, const Cured& cured,
                                                   Detail detail = Detail::kAll);

/// The same with the choice, what turns it and which figure matters most.
/// @param joint_low, joint_high  band of the chance that the joint has failed
[[nodiscard]] Options repair_options(const RepairCase& repair_case, const ShopPrices& prices, const Cured& cured, double joint_low,
                                     double joint_high);

/// Index of the least expected cost among those that may be chosen; kOptions when there is none.
[[nodiscard]] std::size_t choice_of(const std::vector<OptionCost>& options);

/// What leaks of these kinds, left in, are expected to come to.
[[nodiscard]] double cost_left_in(unsigned leaks, const RepairCase& repair_case, const ShopPrices& prices);
/// Expected cost of the cheapest way to renew the joint, causes outside it left aside.
[[nodiscard]] double cost_of_renewing(const RepairCase& repair_case, const ShopPrices& prices);
/// The whole job later or again, with a head service and what a come-back costs beside.
[[nodiscard]] double cost_of_coming_back(const RepairCase& repair_case, const ShopPrices& prices);

/// Chance that the joint leaks at all.
[[nodiscard]] double chance_of_leak(const std::vector<double>& leaks);
/// The same states with the chance of a leak put to `chance`, everything else in proportion.
[[nodiscard]] std::vector<double> with_chance_of_leak(std::vector<double> leaks, double chance);

}  // namespace headjoint::repair
