#include "headjoint/traces/internal/table_columns.h"

#include <algorithm>
#include <array>

#include "headjoint/base/text.h"

namespace headjoint::traces {
namespace {

std::string names_of(const TableLayout& layout) {
  std::string text;
  for (std::size_t i = 0; i < layout.columns; ++i) {
    const std::string name = layout.has_header && !layout.header[i].name.empty() ? layout.header[i].name : std::to_string(i + 1);
    text += (text.empty() ? "" : ", ") + name;
  }
  return text;
}

bool names_time(const std::string& name) {
  const std::string lower = lower_case(name);
  static constexpr std::array kWords{"time", "t", "zeit", "timestamp", "seconds", "sec", "elapsed", "clock", "x-axis", "x"};
  return std::find(kWords.begin(), kWords.end(), lower) != kWords.end() || lower.starts_with("time") || lower.starts_with("elapsed");
}

double number_of(const std::string& cell, char decimal_mark) {
  return scan_number(cell.data(), cell.data() + cell.size(), decimal_mark).value;
}

/// Without a header the first of several columns is the time when it rises all the way.
bool rises(const std::vector<std::vector<std::string>>& rows, char decimal_mark) {
  for (std::size_t i = 1; i < rows.size(); ++i)
    if (!(number_of(rows[i][0], decimal_mark) > number_of(rows[i - 1][0], decimal_mark))) return false;
  return rows.size() > 2;
}

class Chooser {
 public:
  Chooser(const TableLayout& layout, const std::vector<std::vector<std::string>>& rows, const std::string& source,
          const ReadingWishes& wishes)
      : layout_(layout), rows_(rows), source_(source), wishes_(wishes) {}

  Result<TableColumns> choose() {
    find_time();
    for (std::size_t i = 0; i < wishes_.channels.size(); ++i) add_wish(i);
    if (has_errors(problems_)) return problems_;
    return columns_;
  }

 private:
  void wrong(std::string what, std::string allowed, std::string mend) {
    problems_.push_back(
        {{source_, layout_.has_header ? layout_.data_line - 1 : 0, 0, {}}, std::move(what), std::move(allowed), std::move(mend)});
  }

  void find_time() {
    if (wishes_.rate_Hz) return;
    for (std::size_t i = 0; i < layout_.columns && !columns_.time; ++i)
      if (names_time(layout_.header[i].name) || is_time_unit(layout_.header[i].unit)) columns_.time = i;
    if (!columns_.time && layout_.columns > 1 && !layout_.has_header && (is_clock_cell(0) || rises(rows_, layout_.decimal_mark)))
      columns_.time = 0;
    if (!columns_.time)
      return wrong("the table has no column of times", "a column called time, or the samples a second", "--rate \"1000 Hz\"");
    columns_.is_clock = is_clock_cell(*columns_.time);
    if (columns_.is_clock) return;
    const std::string& header = layout_.header[*columns_.time].unit;
    const std::string& unit = header.empty() ? wishes_.time_unit : header;
    const auto word = unit_word(unit);
    const std::string lower = lower_case(layout_.header[*columns_.time].name);
    if (word && word->quantity == Quantity::kTime)
      columns_.time_factor = word->factor;
    else if (lower == "seconds" || lower == "sec")
      columns_.time_factor = 1;
    else if (unit.empty())
      wrong("the column of times names no unit", units_of(Quantity::kTime), "--time-unit s, or --rate");
    else
      wrong("the unit of time \"" + unit + "\" is not known", units_of(Quantity::kTime), "--time-unit s, or --rate");
  }

  static bool is_time_unit(const std::string& unit) {
    const auto word = unit_word(unit);
    return word && word->quantity == Quantity::kTime;
  }

  [[nodiscard]] bool is_clock_cell(std::size_t column) const { return !rows_.empty() && clock_seconds(rows_.front()[column]).has_value(); }

  void add_wish(std::size_t index) {
    const ChannelWish& wish = wishes_.channels[index];
    const std::optional<std::size_t> column = wish.column.empty() ? next_free(wish) : find(wish.column);
    if (!column && wish.is_optional && wish.column.empty()) return;
    if (!column) {
      std::vector<std::string> names;
      for (const HeaderCell& cell : layout_.header) names.push_back(cell.name);
      const auto nearest = nearest_name(wish.column, names);
      return wrong(wish.column.empty() ? "the table has no further column" : "there is no column \"" + wish.column + "\"",
                   names_of(layout_), nearest ? "did you mean \"" + *nearest + "\"?" : "");
    }
    Result<ChannelScale> scale = table_scale(wish, layout_.header[*column].unit);
    if (!scale) {
      problems_.insert(problems_.end(), scale.problems().begin(), scale.problems().end());
      return;
    }
    columns_.wanted.push_back(*column);
    columns_.wishes.push_back(index);
    columns_.scales.push_back(*scale);
    columns_.names.push_back(layout_.header[*column].name.empty() ? "column " + std::to_string(*column + 1) : layout_.header[*column].name);
  }

  /// A free column whose name holds one of the words, else the first in a unit of the kind wanted, else the first free one.
  [[nodiscard]] std::optional<std::size_t> next_free(const ChannelWish& wish) const {
    const auto wanted = unit_word(wish.unit);
    std::optional<std::size_t> first, of_unit, of_name;
    for (std::size_t i = 0; i < layout_.columns; ++i) {
      if (columns_.time == i || is_asked_for(i)) continue;
      const auto unit = unit_word(layout_.header[i].unit);
      const bool fits = wanted && unit && unit->quantity == wanted->quantity;
      if (!of_name && (fits || !unit) && names_one_of(wish.words, layout_.header[i].name)) of_name = i;
      if (!of_unit && fits) of_unit = i;
      if (!first) first = i;
    }
    if (of_name || of_unit || wish.is_optional) return of_name ? of_name : of_unit;
    return first;
  }

  static bool names_one_of(const std::vector<std::string>& words, const std::string& name) {
    const std::string lower = lower_case(name);
    return std::any_of(words.begin(), words.end(), [&](const std::string& word) { return lower.find(word) != std::string::npos; });
  }

  [[nodiscard]] bool is_asked_for(std::size_t column) const {
    const auto is_it = [&](const ChannelWish& wish) { return !wish.column.empty() && find(wish.column) == column; };
    return std::any_of(wishes_.channels.begin(), wishes_.channels.end(), is_it) ||
           std::find(columns_.wanted.begin(), columns_.wanted.end(), column) != columns_.wanted.end();
  }

  [[nodiscard]] std::optional<std::size_t> find(const std::string& name) const {
    for (std::size_t i = 0; i < layout_.columns; ++i)
      if (lower_case(layout_.header[i].name) == lower_case(name)) return i;
    const auto number = parse_number(name);
    if (number && *number >= 1 && *number <= static_cast<double>(layout_.columns)) return static_cast<std::size_t>(*number) - 1;
    return std::nullopt;
  }

  const TableLayout& layout_;
  const std::vector<std::vector<std::string>>& rows_;
  const std::string& source_;
  const ReadingWishes& wishes_;
  TableColumns columns_;
  Problems problems_;
};

}  // namespace

Result<TableColumns> choose_columns(const TableLayout& layout, const std::vector<std::vector<std::string>>& first_rows,
                                    const std::string& source, const ReadingWishes& wishes) {
  return Chooser(layout, first_rows, source, wishes).choose();
}

}  // namespace headjoint::traces
