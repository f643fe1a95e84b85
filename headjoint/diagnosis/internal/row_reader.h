#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "headjoint/base/csv.h"

namespace headjoint::diagnosis::internal {

/// One CSV table of the pattern, read cell by cell; problems are collected with file, line and column.
class RowReader {
 public:
  /// Checks that the header has exactly these columns, in any order.
  RowReader(std::string_view text, const std::string& source, const std::vector<std::string>& columns, Problems& problems);

  [[nodiscard]] std::size_t rows() const { return csv_.rows.size(); }
  void go_to(std::size_t row) { row_ = row; }

  void add(std::string_view column, std::string what, std::string allowed = "", std::string mend = "");

  [[nodiscard]] const std::string& text(std::string_view column) const;
  /// A text that may not be empty.
  [[nodiscard]] std::string required(std::string_view column);
  /// A number from low to high; low after a problem.
  [[nodiscard]] double number(std::string_view column, double low, double high, std::string_view unit = "");
  /// Numbers separated by '|', each from 0 to `high`, none larger than the one before.
  [[nodiscard]] std::vector<double> falling(std::string_view column, double high);
  /// Rows separated by ';' of numbers separated by '|'.
  [[nodiscard]] std::vector<std::vector<double>> matrix(std::string_view column);
  /// Words separated by blanks.
  [[nodiscard]] std::vector<std::string> words(std::string_view column) const;
  /// Parts separated by '|', each used once.
  [[nodiscard]] std::vector<std::string> parts(std::string_view column);
  /// Index of the cell's text among the choices; 0 after a problem.
  [[nodiscard]] std::size_t choice(std::string_view column, const std::vector<std::string>& choices);
  /// Reports a name that is not known, with the nearest one.
  void unknown(std::string_view column, const std::string& wrong, const std::vector<std::string>& known);

 private:
  Csv csv_;
  std::size_t row_ = 0;
  Problems& problems_;
  std::string empty_;
};

}  // namespace headjoint::diagnosis::internal
