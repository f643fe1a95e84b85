#include "headjoint/faces/internal/table_text.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <set>

#include "headjoint/base/text.h"
#include "headjoint/units/quantity_text.h"

namespace headjoint::faces::internal {
namespace {

constexpr std::size_t kMostProblems = 20;

/// trimmed(), quick for cells that begin and end with plain letters or digits.
std::string_view trimmed_cell(std::string_view cell) {
  const auto is_plain = [](char c) { return c > ' ' && static_cast<unsigned char>(c) < 0x80; };
  if (!cell.empty() && is_plain(cell.front()) && is_plain(cell.back())) return cell;
  return trimmed(cell);
}

}  // namespace

Heading heading_of(std::string_view cell) {
  const std::size_t cut = cell.find_first_of("_ ([");
  if (cut == std::string_view::npos) return {lower_case(cell), {}};
  std::string_view unit = cell.substr(cut);
  while (!unit.empty() && std::string_view("_ ([").find(unit.front()) != std::string_view::npos) unit.remove_prefix(1);
  while (!unit.empty() && std::string_view(")] ").find(unit.back()) != std::string_view::npos) unit.remove_suffix(1);
  return {lower_case(cell.substr(0, cut)), std::string(unit)};
}

void ProblemList::add(Problem problem) {
  has_error_ = has_error_ || problem.severity == Problem::Severity::kError;
  if (problems_.size() < kMostProblems)
    problems_.push_back(std::move(problem));
  else
    ++unlisted_;
}

Problems ProblemList::taken() {
  if (unlisted_ > 0) {
    const auto severity = has_error_ ? Problem::Severity::kError : Problem::Severity::kWarning;
    problems_.push_back(
        {{problems_.front().place.source, 0, 0, {}}, "and " + std::to_string(unlisted_) + " more like these", {}, {}, severity});
  }
  return std::move(problems_);
}

bool TableText::open(ProblemList& problems) {
  const auto refuse = [&](std::string what, std::string mend) {
    problems.add({{source_, 0, 0, {}}, std::move(what), {}, std::move(mend)});
    return false;
  };
  if (text_.starts_with("\xEF\xBB\xBF")) text_.remove_prefix(3);
  if (text_.find('\0') != std::string_view::npos)
    return refuse("this is not a text file: it holds NUL bytes", "save the table as CSV in UTF-8");
  if (!is_utf8(text_)) return refuse("this is not UTF-8 text", "save the table as CSV in UTF-8");
  skip_remarks();
  if (at_ >= text_.size()) return refuse("the file is empty", "the first line names the columns");
  choose_separator(text_.substr(at_, text_.find('\n', at_) - at_));
  if (!read_record(problems)) return false;
  header_line_ = row_line_;
  header_.assign(cells_.begin(), cells_.end());
  std::set<std::string> seen;
  for (const std::string& name : header_) {
    if (name.empty())
      problems.add({{source_, header_line_, 0, {}}, "a column has no name", {}, "name every column in the first line"});
    else if (!seen.insert(name).second)
      problems.add({{source_, header_line_, 0, {}}, "two columns are called \"" + name + "\"", {}, {}});
  }
  return !problems.has_error();
}

bool TableText::next(ProblemList& problems) {
  while (true) {
    skip_remarks();
    if (at_ >= text_.size() || !read_record(problems)) return false;
    if (cells_.size() == header_.size()) return true;
    problems.add({{source_, row_line_, 0, {}},
                  "this row has " + std::to_string(cells_.size()) + " cells, the header " + std::to_string(header_.size()),
                  {},
                  {}});
  }
}

void TableText::choose_separator(std::string_view header) {
  for (const char c : {';', '\t'})
    if (std::count(header.begin(), header.end(), c) > std::count(header.begin(), header.end(), separator_)) separator_ = c;
}

void TableText::skip_remarks() {
  while (at_ < text_.size()) {
    const char first = text_[at_];
    if (first > ' ' && first != '#' && static_cast<unsigned char>(first) < 0x80) return;
    const std::size_t end = std::min(text_.find('\n', at_), text_.size());
    const std::string_view content = trimmed(text_.substr(at_, end - at_));
    if (!content.empty() && content.front() != '#') return;
    at_ = end + 1;
    ++line_;
  }
}

bool TableText::read_record(ProblemList& problems) {
  row_line_ = line_;
  cells_.clear();
  const std::size_t end = std::min(text_.find('\n', at_), text_.size());
  const std::string_view content = text_.substr(at_, end - at_);
  if (content.find('"') == std::string_view::npos) {
    split_plain(content);
    at_ = end + 1;
    ++line_;
    return true;
  }
  unquoted_.clear();
  if (split_quoted()) return true;
  problems.add({{source_, line_, 0, {}}, "a quoted cell is never closed", {}, "add the missing \""});
  return false;
}

void TableText::split_plain(std::string_view content) {
  std::size_t start = 0;
  while (true) {
    const std::size_t end = content.find(separator_, start);
    if (end == std::string_view::npos) break;
    cells_.push_back(trimmed_cell(content.substr(start, end - start)));
    start = end + 1;
  }
  cells_.push_back(trimmed_cell(content.substr(start)));
}

/// A row with quotes, which may span lines. @returns false when a quote stays open
bool TableText::split_quoted() {
  std::string cell;
  bool quoted = false;
  bool was_quoted = false;
  const auto finish = [&] {
    unquoted_.push_back(was_quoted ? cell : std::string(trimmed(cell)));
    cells_.push_back(unquoted_.back());
    cell.clear();
    was_quoted = false;
  };
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
    } else if (c == separator_) {
      finish();
    } else if (c == '\n') {
      finish();
      ++at_;
      return true;
    } else if (!was_quoted) {
      cell += c;
    }
  }
  finish();
  return !quoted;
}

std::optional<double> number_in(std::string_view cell) {
  double value = 0;
  const auto [end, error] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
  const bool is_plain = !cell.empty() && error == std::errc() && end == cell.data() + cell.size();
  const char last = cell.empty() ? ' ' : cell.back();
  if (is_plain && std::isfinite(value) && last >= '.' && last <= '9') return value;
  return parse_number(cell);
}

std::optional<double> length_unit_mm(const Heading& heading, const std::string& cell, const Place& place, ProblemList& problems) {
  const std::string mend = "write " + heading.axis + "_mm";
  if (heading.unit.empty()) {
    problems.add({place, "column \"" + cell + "\" has no unit", units_allowed<Length>(), mend});
    return std::nullopt;
  }
  const Result<Length> unit = parse<Length>("1 " + heading.unit);
  if (unit) return unit->in(unit_of<Length>("mm"));
  problems.add({place, "\"" + heading.unit + "\" in column \"" + cell + "\" is not a unit of length", units_allowed<Length>(), mend});
  return std::nullopt;
}

}  // namespace headjoint::faces::internal
