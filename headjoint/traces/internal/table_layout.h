#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "headjoint/base/result.h"
#include "headjoint/traces/internal/number_scan.h"
#include "headjoint/traces/internal/unit_words.h"

namespace headjoint::traces {

/// How a table of numbers is laid out, found from its first lines.
struct TableLayout {
  char separator = ',';  ///< '\0' for a single column; ' ' stands for any run of blanks
  char decimal_mark = '.';
  std::size_t columns = 0;
  bool has_header = false;
  std::vector<HeaderCell> header;  ///< as many as columns
  std::size_t data_at = 0;         ///< byte at which the first row of numbers starts
  int data_line = 1;               ///< its line, from 1
  bool starts_with_mark = false;   ///< byte order mark

  [[nodiscard]] std::string text() const;  ///< "table separated by ;, decimal comma"
};

/// @param begin      the first bytes of the file, at least some whole lines
/// @param separator  as asked for, or '\0' to find it out; "decimal" likewise follows from the rows
[[nodiscard]] Result<TableLayout> find_table_layout(std::string_view begin, const std::string& source, std::optional<char> separator);

/// The cells of one row; quotes may hold the separator.
void split_row(std::string_view line, char separator, std::vector<std::string_view>& cells);

/// A clock time or date and time as seconds: "14:03:07.25", "2026-11-25 14:03:07", "2026-11-25T14:03:07Z", "03:07.2" (minutes first).
/// @returns empty for anything else
[[nodiscard]] std::optional<double> clock_seconds(std::string_view text);

/// Whether a line holds no row: empty, or a comment.
[[nodiscard]] bool is_no_row(std::string_view line);

}  // namespace headjoint::traces
