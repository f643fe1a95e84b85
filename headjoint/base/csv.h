#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "headjoint/base/result.h"

namespace headjoint {

/// A table read from comma-, semicolon- or tab-separated text. Cells are trimmed; quotes follow RFC 4180.
struct Csv {
  std::string source;                          ///< file name, for places
  std::vector<std::string> header;             ///< column names; all different, none empty
  std::vector<std::vector<std::string>> rows;  ///< [row][column], every row as long as the header
  std::vector<int> lines;                      ///< line on which each row starts, from 1
  char separator = ',';

  /// Index of a column, or -1.
  [[nodiscard]] int column(std::string_view name) const;
  [[nodiscard]] Place place(std::size_t row, std::size_t column) const;  ///< column counts cells from 1
};

/// Reads a whole table. The first line that is neither empty nor starts with '#' is the header.
///
/// The separator is the one of `,` `;` tab that the header uses most; with `;` or tab, a comma inside a number is a decimal comma
/// (that is for the caller: parse_number takes both).
///
/// @returns all problems at once: not UTF-8, NUL bytes, no header, a name twice, a row of another length, an open quote
[[nodiscard]] Result<Csv> read_csv(std::string_view text, const std::string& source);

}  // namespace headjoint
