#pragma once

#include <cstddef>
#include <deque>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "headjoint/base/problem.h"
#include "headjoint/units/quantity.h"

/// Tables of readings walked row by row: a million rows are never held as texts.
namespace headjoint::faces::internal {

/// A header cell taken apart: "z_um", "z (um)", "z [um]", "z um".
struct Heading {
  std::string axis;  ///< in lower case
  std::string unit;
};
[[nodiscard]] Heading heading_of(std::string_view cell);

/// Collects problems until there are enough; counts the rest.
class ProblemList {
 public:
  void add(Problem problem);
  [[nodiscard]] bool has_error() const { return has_error_; }
  [[nodiscard]] Problems taken();

 private:
  Problems problems_;
  std::size_t unlisted_ = 0;
  bool has_error_ = false;
};

/// The rows of a CSV text, with the rules of read_csv: separator `,` `;` or tab, quoted cells, remark lines, UTF-8.
class TableText {
 public:
  /// @param text  must outlive the rows
  TableText(std::string_view text, std::string source) : text_(text), source_(std::move(source)) {}

  /// Reads the header. @returns false when the text is no table; the problems say why
  bool open(ProblemList& problems);

  /// The next row of the right length; rows of another length become problems.
  bool next(ProblemList& problems);

  [[nodiscard]] const std::vector<std::string>& header() const { return header_; }
  [[nodiscard]] const std::string& source() const { return source_; }
  [[nodiscard]] int line() const { return row_line_; }
  [[nodiscard]] std::string_view cell(std::size_t column) const { return cells_[column]; }
  [[nodiscard]] Place place(std::size_t column) const { return {source_, row_line_, static_cast<int>(column) + 1, {}}; }
  [[nodiscard]] Place header_place(std::size_t column) const { return {source_, header_line_, static_cast<int>(column) + 1, {}}; }

 private:
  void skip_remarks();
  bool read_record(ProblemList& problems);
  void split_plain(std::string_view line);
  bool split_quoted();
  void choose_separator(std::string_view header);

  std::string_view text_;
  std::string source_;
  std::vector<std::string> header_;
  std::vector<std::string_view> cells_;
  std::deque<std::string> unquoted_;  ///< what quoted cells of this row say
  std::size_t at_ = 0;
  int line_ = 1;
  int row_line_ = 0;
  int header_line_ = 0;
  char separator_ = ',';
};

/// A cell as a number, fast for plain ones, as parse_number for the rest.
[[nodiscard]] std::optional<double> number_in(std::string_view cell);

/// What one of the unit is in mm; the problem is listed when the heading has none or one that is no length.
[[nodiscard]] std::optional<double> length_unit_mm(const Heading& heading, const std::string& cell, const Place& place,
                                                   ProblemList& problems);

}  // namespace headjoint::faces::internal
