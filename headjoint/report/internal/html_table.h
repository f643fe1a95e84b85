#pragma once

#include <string>
#include <vector>

namespace headjoint::report {

struct HtmlColumn {
  std::string heading;
  bool is_number = false;  ///< set right-aligned
  bool is_short = false;   ///< never broken over lines: a date, a name of ours
};

/// An HTML table with caption, column headings and row headings in the first column. Every text is escaped here.
class HtmlTable {
 public:
  HtmlTable(std::string caption, std::vector<HtmlColumn> columns);

  /// One cell a column; the first is the row's heading.
  void row(const std::vector<std::string>& cells);

  [[nodiscard]] bool is_empty() const { return rows_.empty(); }
  [[nodiscard]] std::string html() const;

 private:
  std::string caption_;
  std::vector<HtmlColumn> columns_;
  std::string rows_;
  int count_ = 0;
};

}  // namespace headjoint::report
