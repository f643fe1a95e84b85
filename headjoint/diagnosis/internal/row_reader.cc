#include "headjoint/diagnosis/internal/row_reader.h"

#include <algorithm>

#include "headjoint/base/text.h"

namespace headjoint::diagnosis::internal {

RowReader::RowReader(std::string_view text, const std::string& source, const std::vector<std::string>& columns, Problems& problems)
    : problems_(problems) {
  auto read = read_csv(text, source);
  problems_.insert(problems_.end(), read.problems().begin(), read.problems().end());
  if (!read) return;
  csv_ = std::move(read).value();
  for (const std::string& column : columns)
    if (csv_.column(column) < 0) problems_.push_back({{source, 1, 0, ""}, "column \"" + column + "\" is missing", "", ""});
  for (const std::string& column : csv_.header) {
    if (std::find(columns.begin(), columns.end(), column) != columns.end()) continue;
    const auto near = nearest_name(column, columns);
    problems_.push_back({{source, 1, 0, ""}, "unknown column \"" + column + "\"", "", near ? "did you mean \"" + *near + "\"?" : ""});
  }
}

void RowReader::add(std::string_view column, std::string what, std::string allowed, std::string mend) {
  const int at = csv_.column(column);
  if (at < 0) return;  // told once for the header
  problems_.push_back({csv_.place(row_, static_cast<std::size_t>(at)), std::move(what), std::move(allowed), std::move(mend)});
}

const std::string& RowReader::text(std::string_view column) const {
  const int at = csv_.column(column);
  return at < 0 ? empty_ : csv_.rows[row_][static_cast<std::size_t>(at)];
}

std::string RowReader::required(std::string_view column) {
  if (text(column).empty()) add(column, std::string(column) + " is empty");
  return text(column);
}

double RowReader::number(std::string_view column, double low, double high, std::string_view unit) {
  const auto value = parse_number(text(column));
  if (value && *value >= low && *value <= high) return *value;
  const std::string range = number_text(low) + " to " + number_text(high) + (unit.empty() ? "" : " ") + std::string(unit);
  add(column, std::string(column) + (value ? " is out of range: " : " is not a number: ") + "\"" + text(column) + "\"", range);
  return low;
}

std::vector<double> RowReader::falling(std::string_view column, double high) {
  std::vector<double> values;
  if (text(column).empty()) return values;
  for (std::string_view part : split(text(column), '|')) {
    const auto value = parse_number(part);
    if (!value || !(*value >= 0 && *value <= high)) {
      add(column, std::string(column) + " is out of range: \"" + text(column) + "\"", "0 to " + number_text(high));
      return {};
    }
    if (!values.empty() && *value > values.back()) {
      add(column, std::string(column) + " rises: \"" + text(column) + "\"", "P(at least that state), so each at most the one before");
      return {};
    }
    values.push_back(*value);
  }
  return values;
}

std::vector<std::vector<double>> RowReader::matrix(std::string_view column) {
  std::vector<std::vector<double>> rows;
  if (text(column).empty()) return rows;
  for (std::string_view line : split(text(column), ';')) {
    rows.emplace_back();
    for (std::string_view part : split(line, '|')) {
      const auto value = parse_number(part);
      if (!value || !(*value >= 0 && *value <= 1)) {
        add(column, "not a probability: \"" + std::string(part) + "\"", "0 to 1");
        return {};
      }
      rows.back().push_back(*value);
    }
  }
  return rows;
}

std::vector<std::string> RowReader::words(std::string_view column) const {
  std::vector<std::string> result;
  for (std::string_view word : split(text(column), ' '))
    if (!trimmed(word).empty()) result.emplace_back(trimmed(word));
  return result;
}

std::vector<std::string> RowReader::parts(std::string_view column) {
  std::vector<std::string> result;
  for (std::string_view part : split(text(column), '|')) {
    const std::string word(trimmed(part));
    if (word.empty() || std::find(result.begin(), result.end(), word) != result.end())
      add(column, "\"" + word + "\" is empty or stands twice in \"" + text(column) + "\"");
    result.push_back(word);
  }
  return result;
}

std::size_t RowReader::choice(std::string_view column, const std::vector<std::string>& choices) {
  const auto found = std::find(choices.begin(), choices.end(), text(column));
  if (found != choices.end()) return static_cast<std::size_t>(found - choices.begin());
  unknown(column, text(column), choices);
  return 0;
}

void RowReader::unknown(std::string_view column, const std::string& wrong, const std::vector<std::string>& known) {
  const auto near = nearest_name(wrong, known);
  std::string allowed;
  if (known.size() <= 8)
    for (const std::string& name : known) allowed += (allowed.empty() ? "" : ", ") + name;
  add(column, "unknown " + std::string(column) + " \"" + wrong + "\"", allowed, near ? "did you mean \"" + *near + "\"?" : "");
}

}  // namespace headjoint::diagnosis::internal
