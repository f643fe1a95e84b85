#pragma once

#include "headjoint/assess/operation.h"

/// The options of an operation that weighs costs.
namespace headjoint::assess {

/// --prices
[[nodiscard]] OptionSpec prices_option();

/// Reads --prices, --distance and --sealing-chance, where an operation has them. @returns every problem, those of the table too
[[nodiscard]] Result<RepairTerms> repair_terms(const Request& request);

/// What is wrong with a table of hours and prices.
[[nodiscard]] Problems problems_of_prices(const OptionFile& prices);

}  // namespace headjoint::assess
