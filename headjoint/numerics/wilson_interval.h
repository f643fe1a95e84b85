#pragma once

#include <cstddef>

namespace headjoint::numerics {

/// Limits of a frequency.
struct Interval {
  double low = 0;
  double high = 1;
};

/// Wilson's interval for a frequency of `hits` in `cases`; 0 to 1 for no cases. Exactly 0 without a hit, exactly 1 without a miss.
/// @param hits  at most `cases`
/// @param z     of the normal distribution: 1.96 for 95 %
/// @throws ContractError
/// @par Source  Wilson 1927
[[nodiscard]] Interval wilson_interval(std::size_t hits, std::size_t cases, double z = 1.959963984540054);

}  // namespace headjoint::numerics
