#include "headjoint/base/csv.h"

#include <algorithm>
#include <set>

#include "headjoint/base/text.h"

namespace headjoint {
namespace {

constexpr std::size_t kMostProblems = 20;

struct Record {
  std::vector<std::string> cells;
  int line = 0;
};

/// Cuts text into records; a quoted cell may span lines.
class Scanner {
 public:
  Scanner(std::string_view text, char separator) : text_(text), separator_(separator) {}

  bool next(Record& record) {
    skip_comments();
    if (at_ >= text_.size()) return false;
    record = Record{{}, line_};
    while (read_cell(record)) {
    }
    return true;
  }

  [[nodiscard]] bool quote_open() const { return quote_open_; }
  [[nodiscard]] int line() const { return line_; }

 private:
  void skip_comments() {
    while (at_ < text_.size()) {
      const std::size_t end = std::min(text_.find('\n', at_), text_.size());
      const std::string_view line = trimmed(text_.substr(at_, end - at_));
      if (!line.empty() && line.front() != '#') return;
      at_ = end + 1;
      ++line_;
    }
  }

  /// @returns false after the last cell of the record
  bool read_cell(Record& record) {
    std::string cell;
    bool quoted = false;
    bool was_quoted = false;
    for (; at_ < text_.size(); ++at_) {
      const char c = text_[at_];
      if (c == '\n') ++line_;
      if (quoted) {
        if (c != '"') {
          cell += c;
        } else if (at_ + 1 < text_.size() && text_[at_ + 1] == '"') {
          cell += '"';
          ++at_;
        } else {
          quoted = false;
        }
      } else if (c == '"' && trimmed(cell).empty()) {
        quoted = was_quoted = true;
        cell.clear();
      } else if (c == separator_ || c == '\n') {
        record.cells.emplace_back(was_quoted ? cell : std::string(trimmed(cell)));
        ++at_;
        return c == separator_;
      } else {
        cell += c;
      }
    }
    quote_open_ = quoted;
    record.cells.emplace_back(trimmed(cell));
    return false;
  }

  std::string_view text_;
  char separator_;
  std::size_t at_ = 0;
  int line_ = 1;
  bool quote_open_ = false;
};

char likeliest_separator(std::string_view text) {
  Record header;
  if (!Scanner(text, '\n').next(header)) return ',';
  const std::string& line = header.cells.front();
  char best = ',';
  for (const char c : {';', '\t'})
    if (std::count(line.begin(), line.end(), c) > std::count(line.begin(), line.end(), best)) best = c;
  return best;
}

Problem problem(const std::string& source, int line, std::string what, std::string mend = {}) {
  return {{source, line, 0, {}}, std::move(what), {}, std::move(mend)};
}

void check_header(const Csv& table, int line, Problems& problems) {
  std::set<std::string> seen;
  for (const std::string& name : table.header) {
    if (name.empty())
      problems.push_back(problem(table.source, line, "a column has no name", "name every column in the first line"));
    else if (!seen.insert(name).second)
      problems.push_back(problem(table.source, line, "two columns are called \"" + name + "\""));
  }
}

}  // namespace

int Csv::column(std::string_view name) const {
  const auto found = std::find(header.begin(), header.end(), name);
  return found == header.end() ? -1 : static_cast<int>(found - header.begin());
}

Place Csv::place(std::size_t row, std::size_t column) const { return {source, lines.at(row), static_cast<int>(column) + 1, {}}; }

Result<Csv> read_csv(std::string_view text, const std::string& source) {
  if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
  if (text.find('\0') != std::string_view::npos)
    return problem(source, 0, "this is not a text file: it holds NUL bytes", "save the table as CSV in UTF-8");
  if (!is_utf8(text)) return problem(source, 0, "this is not UTF-8 text", "save the table as CSV in UTF-8");
  Csv table;
  table.source = source;
  table.separator = likeliest_separator(text);
  Scanner scanner(text, table.separator);
  Record record;
  if (!scanner.next(record)) return problem(source, 0, "the file is empty", "the first line names the columns");
  table.header = record.cells;
  Problems problems;
  check_header(table, record.line, problems);
  while (problems.size() < kMostProblems && scanner.next(record)) {
    if (record.cells.size() != table.header.size()) {
      problems.push_back(
          problem(source, record.line,
                  "this row has " + std::to_string(record.cells.size()) + " cells, the header " + std::to_string(table.header.size())));
      continue;
    }
    table.rows.push_back(std::move(record.cells));
    table.lines.push_back(record.line);
  }
  if (scanner.quote_open()) problems.push_back(problem(source, scanner.line(), "a quoted cell is never closed", "add the missing \""));
  if (has_errors(problems)) return problems;
  return table;
}

}  // namespace headjoint
