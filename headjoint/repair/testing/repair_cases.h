#pragma once

#include <vector>

#include "headjoint/base/document.h"
#include "headjoint/base/file.h"
#include "headjoint/repair/options.h"
#include "headjoint/repair/shop_table.h"

/// Cases for the tests of the repair options.
namespace headjoint::repair::testing {

inline const std::vector<std::string> kCures = {"renew_thermostat", "renew_cap"};

/// The shipped example.
[[nodiscard]] inline ShopTable example_table() {
  const auto document = read_toml(read_file(std::string(HEADJOINT_SOURCE_DIR) + "/data/shop/prices.toml"), "prices.toml");
  return *read_shop_table(*document, kCures);
}
/// In workshop hours.
[[nodiscard]] inline ShopPrices example_prices() { return prices_from(example_table(), example_table(), {}); }

/// A four-cylinder engine whose states are certain: these leaks, these parts.
[[nodiscard]] inline RepairCase certain_case(unsigned leaks, unsigned parts) {
  RepairCase in_case;
  in_case.leaks.assign(kLeakStates, 0.0);
  in_case.leaks[leaks] = 1;
  in_case.parts.assign(kPartStates, 0.0);
  in_case.parts[parts] = 1;
  in_case.distance_km = 200;
  return in_case;
}

[[nodiscard]] inline const OptionCost& cost_of(const std::vector<OptionCost>& options, Option option) {
  return options.at(static_cast<std::size_t>(option));
}

}  // namespace headjoint::repair::testing
