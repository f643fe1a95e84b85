#pragma once

#include <optional>
#include <string>
#include <vector>

#include "headjoint/traces/internal/channel_scale.h"
#include "headjoint/traces/internal/table_layout.h"

namespace headjoint::traces {

/// Which columns of a table are read, and how.
struct TableColumns {
  std::optional<std::size_t> time;
  bool is_clock = false;            ///< the time is written as hours, minutes, seconds
  double time_factor = 1;           ///< seconds a unit of the time column
  std::vector<std::size_t> wanted;  ///< columns
  std::vector<std::size_t> wishes;  ///< which wish each answers
  std::vector<ChannelScale> scales;
  std::vector<std::string> names;
};

/// @param first_rows  cells of the first rows, all as wide as the layout
[[nodiscard]] Result<TableColumns> choose_columns(const TableLayout& layout, const std::vector<std::vector<std::string>>& first_rows,
                                                  const std::string& source, const ReadingWishes& wishes);

}  // namespace headjoint::traces
