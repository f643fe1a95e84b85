#include "headjoint/traces/internal/table_layout.h"

#include <algorithm>
#include <array>

#include "headjoint/base/text.h"

namespace headjoint::traces {
namespace {

constexpr std::size_t kRowsLookedAt = 24;
constexpr std::size_t kLinesLookedAt = 400;

struct Line {
  std::string_view text;
  std::size_t at = 0;
  int number = 0;
};

/// The first lines that are whole, comments and empty ones left out.
std::vector<Line> first_lines(std::string_view text) {
  std::vector<Line> lines;
  std::size_t at = 0;
  for (int number = 1; at < text.size() && lines.size() < kLinesLookedAt; ++number) {
    const std::size_t end = std::min(text.find('\n', at), text.size());
    const std::string_view line = text.substr(at, end - at);
    if (!is_no_row(line)) lines.push_back({line, at, number});
    at = end + 1;
  }
  return lines;
}

CellKind kind_of(std::string_view cell, char decimal_mark) {
  const CellKind kind = scan_number(cell.data(), cell.data() + cell.size(), decimal_mark).kind;
  return kind == CellKind::kText && clock_seconds(cell) ? CellKind::kNumber : kind;
}

/// A row: at least one number, nothing that is neither number nor missing.
bool is_row(const std::vector<std::string_view>& cells, char decimal_mark) {
  bool has_number = false;
  for (const std::string_view cell : cells) {
    const CellKind kind = kind_of(cell, decimal_mark);
    if (kind == CellKind::kText) return false;
    has_number = has_number || kind == CellKind::kNumber;
  }
  return has_number;
}

struct Guess {
  char separator = 0;
  char decimal_mark = '.';
  std::size_t first_row = 0;  ///< index of the line
  std::size_t columns = 0;
  std::size_t rows = 0;
};

/// How many lines in a row read as rows of one width, from the first place where two do (or the last line).
Guess tried(const std::vector<Line>& lines, char separator, char decimal_mark) {
  Guess best{separator, decimal_mark};
  std::vector<std::string_view> cells;
  std::size_t width = 0, count = 0;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    split_row(lines[i].text, separator, cells);
    const bool fits = is_row(cells, decimal_mark);
    count = fits && (count == 0 || cells.size() == width) ? count + 1 : fits ? 1 : 0;
    width = cells.size();
    if (count > best.rows) best.rows = count, best.columns = width, best.first_row = i + 1 - count;
    if (count >= kRowsLookedAt) break;
  }
  return best;
}

/// Cells of the lines above the rows, when they are as many as the columns.
std::vector<std::string_view> cells_above(const std::vector<Line>& lines, std::size_t row, std::size_t back, const Guess& guess) {
  std::vector<std::string_view> cells;
  if (row < back) return cells;
  split_row(lines[row - back].text, guess.separator, cells);
  while (cells.size() > guess.columns && trimmed(cells.back()).empty()) cells.pop_back();
  if (cells.size() + 1 == guess.columns && guess.columns > 2) cells.emplace_back();  // rows that end in a separator
  if (cells.size() != guess.columns) cells.clear();
  return cells;
}

bool is_line_of_units(const std::vector<std::string_view>& cells) {
  return !cells.empty() && std::all_of(cells.begin(), cells.end(), [](std::string_view cell) {
    std::string_view word = trimmed(cell);
    if (word.size() > 2 && (word.front() == '(' || word.front() == '[')) word = word.substr(1, word.size() - 2);
    return word.empty() || unit_word(word);
  });
}

void read_header(const std::vector<Line>& lines, const Guess& guess, TableLayout& layout) {
  std::vector<std::string_view> names = cells_above(lines, guess.first_row, 1, guess), units;
  if (is_line_of_units(names) && !cells_above(lines, guess.first_row, 2, guess).empty()) {
    units = names;
    names = cells_above(lines, guess.first_row, 2, guess);
  }
  layout.has_header = !names.empty();
  layout.header.resize(guess.columns);
  for (std::size_t i = 0; i < names.size(); ++i) {
    layout.header[i] = header_cell(names[i]);
    if (!units.empty()) layout.header[i].unit = std::string(trimmed(units[i]));
    std::string& unit = layout.header[i].unit;
    if (unit.size() > 2 && (unit.front() == '(' || unit.front() == '[')) unit = unit.substr(1, unit.size() - 2);
  }
}

}  // namespace

bool is_no_row(std::string_view line) {
  line = trimmed(line);
  return line.empty() || line.front() == '#' || line.front() == '%';
}

void split_row(std::string_view line, char separator, std::vector<std::string_view>& cells) {
  cells.clear();
  if (!line.empty() && line.back() == '\r') line.remove_suffix(1);
  if (separator == '\0') {
    cells.push_back(line);
    return;
  }
  if (separator == ' ') line = trimmed(line);
  bool is_quoted = false;
  std::size_t start = 0;
  for (std::size_t i = 0; i < line.size(); ++i) {
    if (line[i] == '"') is_quoted = !is_quoted;
    const bool ends = !is_quoted && (line[i] == separator || (separator == ' ' && line[i] == '\t'));
    if (!ends) continue;
    cells.push_back(line.substr(start, i - start));
    while (separator == ' ' && i + 1 < line.size() && (line[i + 1] == ' ' || line[i + 1] == '\t')) ++i;
    start = i + 1;
  }
  cells.push_back(line.substr(start));
}

std::optional<double> clock_seconds(std::string_view text) {
  text = trimmed(text);
  if (text.size() >= 2 && text.front() == '"' && text.back() == '"') text = trimmed(text.substr(1, text.size() - 2));
  if (text.ends_with('Z')) text.remove_suffix(1);
  double days = 0;
  if (text.size() > 11 && text[4] == '-' && text[7] == '-' && (text[10] == ' ' || text[10] == 'T')) {
    const auto year = parse_number(text.substr(0, 4)), month = parse_number(text.substr(5, 2)), day = parse_number(text.substr(8, 2));
    if (!year || !month || !day || *month < 1 || *month > 12) return std::nullopt;
    // days of the proleptic Gregorian calendar, years starting in March
    const double y = *month <= 2 ? *year - 1 : *year, m = *month <= 2 ? *month + 9 : *month - 3;
    days = 365 * y + static_cast<double>(static_cast<long>(y) / 4 - static_cast<long>(y) / 100 + static_cast<long>(y) / 400) +
           static_cast<double>((153 * static_cast<long>(m) + 2) / 5) + *day - 719469 - 10957;  // since 2000-01-01
    text.remove_prefix(11);
  }
  const std::vector<std::string_view> parts = split(text, ':');
  if (parts.size() < 2 || parts.size() > 3) return std::nullopt;
  double seconds = 0;
  for (const std::string_view part : parts) {
    const auto number = parse_number(part);
    if (!number || *number < 0 || part.empty()) return std::nullopt;
    seconds = 60 * seconds + *number;
  }
  // "14:03" in a date is hours and minutes, "03:07.2" alone minutes and seconds
  if (parts.size() == 2 && days != 0) seconds *= 60;
  return days * 86400 + seconds;
}

std::string TableLayout::text() const {
  std::string name(1, separator);
  if (separator == '\0') return decimal_mark == ',' ? "one column, decimal comma" : "one column";
  if (separator == '\t') name = "tab";
  if (separator == ' ') name = "blanks";
  return "table separated by " + name + (decimal_mark == ',' ? ", decimal comma" : "");
}

Result<TableLayout> find_table_layout(std::string_view begin, const std::string& source, std::optional<char> separator) {
  TableLayout layout;
  layout.starts_with_mark = begin.starts_with("\xEF\xBB\xBF");
  const std::size_t mark = layout.starts_with_mark ? 3 : 0;
  const std::vector<Line> lines = first_lines(begin.substr(mark));
  if (lines.empty()) return Problem{{source, 1, 0, {}}, "the file is empty", "a table of numbers or a WAV file", {}};
  Guess best;
  const std::array<std::pair<char, char>, 9> tries{
      {{';', ','}, {';', '.'}, {'\t', ','}, {'\t', '.'}, {'|', '.'}, {',', '.'}, {' ', '.'}, {' ', ','}, {',', ','}}};
  for (const auto& [one, decimal] : tries) {
    if (separator && *separator != one) continue;
    const Guess guess = tried(lines, one, decimal);
    // a decimal mark that no number used decides nothing: the later, plainer reading of the same separator wins
    if (guess.columns > 1 && (guess.rows > best.rows || (guess.rows == best.rows && guess.separator == best.separator && decimal == '.')))
      best = guess;
  }
  for (const char decimal : {'.', ','}) {
    const Guess guess = tried(lines, '\0', decimal);
    const bool header_is_one_cell = guess.first_row > 0 && lines[guess.first_row - 1].text.find_first_of(",;\t|") == std::string_view::npos;
    if (!separator && guess.rows > 0 && (guess.rows > best.rows || (guess.rows == best.rows && header_is_one_cell))) best = guess;
  }
  if (best.rows == 0) {
    return Problem{{source, lines.front().number, 1, {}},
                   "no line of the file's beginning is a row of numbers",
                   "a table of numbers or a WAV file",
                   "columns separated by , ; tab | or blanks"};
  }
  layout.separator = best.separator;
  layout.decimal_mark = best.decimal_mark;
  layout.columns = best.columns;
  layout.data_at = lines[best.first_row].at + mark;
  layout.data_line = lines[best.first_row].number;
  read_header(lines, best, layout);
  return layout;
}

}  // namespace headjoint::traces
