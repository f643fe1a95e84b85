#pragma once

#include <optional>
#include <string>

#include "headjoint/traces/recording.h"

namespace headjoint::traces {

/// How the numbers of a file become values of a channel: value = factor * number + offset.
struct ChannelScale {
  double factor = 1;
  double offset = 0;
  std::string unit;  ///< "" when the numbers have no known unit
  std::string note;  ///< "" or what was assumed
};

/// @param unit  of the numbers as the file says; "" when it does not
/// @returns the scale, or what is wrong with the wish
[[nodiscard]] Result<ChannelScale> table_scale(const ChannelWish& wish, const std::string& unit);

/// The same for a sound file, whose numbers are shares of full scale.
[[nodiscard]] Result<ChannelScale> sound_scale(const ChannelWish& wish);

}  // namespace headjoint::traces
