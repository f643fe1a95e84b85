#pragma once

#include "headjoint/traces/internal/byte_window.h"
#include "headjoint/traces/recording.h"

namespace headjoint::traces {

/// Reads a table of numbers row by row.
[[nodiscard]] Result<Recording> read_table(ByteWindow& window, const std::string& source, const ReadingWishes& wishes);

}  // namespace headjoint::traces
