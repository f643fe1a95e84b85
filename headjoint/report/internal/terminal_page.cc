#include "headjoint/report/internal/terminal_page.h"

#include <algorithm>
#include <cmath>

#include "headjoint/base/text.h"
#include "headjoint/report/internal/markup.h"

namespace headjoint::report {
namespace {

constexpr std::size_t kLeastRoom = 12;  // characters a wrapped column keeps whatever stands before it
constexpr std::size_t kGap = 2;         // blanks between columns

/// Splits off the first `count` characters.
std::string take_characters(std::string& text, std::size_t count) {
  std::size_t at = 0;
  for (std::size_t taken = 0; at < text.size(); ++at) {
    const bool starts = (static_cast<unsigned char>(text[at]) & 0xC0) != 0x80;
    if (starts && taken++ == count) break;
  }
  std::string head = text.substr(0, at);
  text.erase(0, at);
  return head;
}

std::string padded(const std::string& text, std::size_t width, bool right) {
  const std::size_t has = width_of(text);
  const std::string blanks(width > has ? width - has : 0, ' ');
  return right ? blanks + text : text + blanks;
}

std::string without_trailing_blanks(std::string line) {
  line.erase(line.find_last_not_of(' ') + 1);
  return line;
}

}  // namespace

std::vector<std::string> wrapped(std::string_view text, std::size_t width, std::size_t indent, std::size_t hang) {
  std::vector<std::string> lines;
  std::string line(indent, ' ');
  bool has_word = false;
  const auto finish = [&] {
    lines.push_back(line);
    line.assign(hang, ' ');
    has_word = false;
  };
  for (const std::string_view part : split(text, ' ')) {
    std::string word(part);
    if (word.empty()) continue;
    if (has_word && width_of(line) + 1 + width_of(word) > width) finish();
    while (width_of(word) + width_of(line) > width && !has_word) {
      const std::size_t room = width > width_of(line) ? width - width_of(line) : 1;
      line += take_characters(word, room);
      finish();
    }
    if (word.empty()) continue;
    line += (has_word ? " " : "") + word;
    has_word = true;
  }
  if (has_word || lines.empty()) lines.push_back(line);
  return lines;
}

void TerminalPage::lines(const std::vector<std::string>& all, bool bold) {
  for (const std::string& line : all) {
    const std::string text = without_trailing_blanks(line);
    out_ += bold && bold_ ? "\x1b[1m" + text + "\x1b[0m\n" : text + "\n";
  }
}

void TerminalPage::paragraph(std::string_view text, std::size_t indent, std::size_t hang) {
  lines(wrapped(plain_text(text), width_, indent, hang), false);
}

void TerminalPage::strong(std::string_view text, std::size_t indent) { lines(wrapped(plain_text(text), width_, indent, indent), true); }

void TerminalPage::heading(std::string_view text) {
  blank();
  std::string capitals = plain_text(text);
  std::transform(capitals.begin(), capitals.end(), capitals.begin(),
                 [](char c) { return c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c; });
  strong(capitals);
}

void TerminalPage::blank() {
  if (!out_.empty() && !out_.ends_with("\n\n")) out_ += "\n";
}

void TerminalPage::table(const std::vector<Column>& columns, const std::vector<std::vector<std::string>>& rows) {
  std::vector<std::size_t> widths;
  for (std::size_t c = 0; c < columns.size(); ++c) {
    std::size_t width = width_of(columns[c].heading);
    for (const auto& row : rows) width = std::max(width, width_of(plain_text(row[c])));
    widths.push_back(width);
  }
  const auto print = [&](const std::vector<std::string>& cells) {
    std::string line = "  ";
    for (std::size_t c = 0; c + 1 < cells.size(); ++c)
      line += padded(plain_text(cells[c]), widths[c], columns[c].is_number) + std::string(kGap, ' ');
    const std::string last = padded(plain_text(cells.back()), widths.back(), columns.back().is_number);
    const std::size_t hang = std::min(width_of(line), width_ > kLeastRoom ? width_ - kLeastRoom : 0);
    if (width_of(line) + width_of(last) <= width_) return lines({line + last}, false);
    std::vector<std::string> tail = wrapped(plain_text(cells.back()), width_, hang, hang);
    const bool fits = width_of(line) <= hang;
    if (fits) tail.front().replace(0, hang, line);
    if (!fits) lines(wrapped(plain_text(line), width_, 2, 4), false);
    lines(tail, false);
  };
  std::vector<std::string> headings;
  for (const Column& column : columns) headings.push_back(column.heading);
  if (std::any_of(headings.begin(), headings.end(), [](const std::string& text) { return !text.empty(); })) print(headings);
  for (const auto& row : rows) print(row);
}

std::string chance_bar(double low, double value, double high, int cells) {
  const auto cell = [&](double share) {
    return std::isfinite(share) ? static_cast<int>(std::lround(std::clamp(share, 0.0, 1.0) * cells)) : 0;
  };
  const int to_value = cell(value);
  const int to_low = std::min(cell(low), to_value);
  const int to_high = std::max(cell(high), to_value);
  const auto run = [](int count, char c) { return std::string(static_cast<std::size_t>(std::max(0, count)), c); };
  return "[" + run(to_low, '#') + run(to_value - to_low, '+') + run(to_high - to_value, '-') + run(cells - to_high, ' ') + "]";
}

}  // namespace headjoint::report
