#include "headjoint/joint/figure_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "headjoint/base/csv.h"
#include "headjoint/base/text.h"
#include "headjoint/units/quantity_text.h"

namespace headjoint::joint {
namespace {

const std::vector<std::string> kStatusWords = {"not_said", "measured", "published", "assumed"};

template <class T>
Result<Typed<T>> read_typed(std::string_view text) {
  return parse_typed<T>(text);
}

template <>
Result<Typed<Share>> read_typed<Share>(std::string_view text) {
  const auto share = parse_share(text);
  if (!share) return share.problems();
  const std::string number = split_number_and_unit(text).number;
  const std::size_t point = number.find_first_of(".,");
  const auto decimals = point == std::string::npos ? 0.0 : static_cast<double>(number.size() - point - 1);
  return Typed<Share>{*share, std::string(trimmed(text)), std::pow(10.0, -decimals - 2)};
}

template <class T>
std::string example_of() {
  if constexpr (std::is_same_v<T, Share>)
    return "%";
  else
    return std::string(trimmed(split(units_allowed<T>(), ',').front()));
}

std::string number_of(const Document& node) { return node.is_integer() ? std::to_string(node.integer()) : number_text(node.number()); }

/// The value of a figure from its node: text with a unit.
template <class T>
void read_value(TableReader& reader, const std::string& key, const Document& node, Figure<T>& into, const char* least, const char* most) {
  if (node.is_number()) {
    const std::string number = number_of(node);
    reader.refuse(node, key + " has no unit: " + number, fmt::format("{} to {}", least, most),
                  fmt::format("write number and unit in quotes, such as \"{} {}\"", number, example_of<T>()));
    return;
  }
  if (!node.is_text()) {
    reader.refuse(node, key + " is " + node.kind_text(), fmt::format("{} to {}", least, most), "write number and unit in quotes");
    return;
  }
  const auto typed = read_typed<T>(node.text());
  if (!typed) {
    reader.refuse(node, key, typed.problems());
    return;
  }
  if (typed->value < read_typed<T>(least)->value || typed->value > read_typed<T>(most)->value) {
    reader.refuse(node, fmt::format("{} is {}", key, typed->text), fmt::format("{} to {}", least, most), "check number and unit");
    return;
  }
  into.value = typed->value;
  into.text = typed->text;
  into.step_si = typed->step_si;
}

void read_value(TableReader& reader, const std::string& key, const Document& node, Figure<double>& into, double least, double most) {
  const bool is_number = node.is_number();
  const bool fits = is_number && node.number() >= least && node.number() <= most;
  if (!fits) {
    const std::string what = is_number ? key + " is " + number_of(node) : key + " is " + node.kind_text();
    reader.refuse(node, what, number_text(least) + " to " + number_text(most), is_number ? std::string() : "write a number without quotes");
    return;
  }
  into.value = node.number();
  into.text = number_of(node);
}

/// Either the bare value or the table with its origin; `read(node)` decodes the value.
template <class T, class Read>
void read_with_origin(TableReader& reader, const std::string& key, OptionalFigure<T>& into, Read read) {
  const Document* node = reader.find(key);
  if (node == nullptr) return;
  Figure<T> figure;
  figure.place = node->place();
  const std::size_t before = reader.problems().size();
  if (node->is_table()) {
    TableReader inner(*node, key, reader.problems());
    if (const Document* value = inner.required("value")) read(*value, figure);
    inner.text("source", figure.source);
    inner.choice("status", figure.status, kStatusWords);
    inner.finish();
  } else {
    read(*node, figure);
  }
  if (reader.problems().size() == before) into = std::move(figure);
}

template <class T>
Document with_origin(const Figure<T>& figure, Document value) {
  if (figure.source.empty() && figure.status == FigureStatus::kNotSaid) return value;
  Document table;
  table.set("value", std::move(value));
  if (!figure.source.empty()) table.set("source", figure.source);
  if (figure.status != FigureStatus::kNotSaid) table.set("status", kStatusWords[static_cast<std::size_t>(figure.status)]);
  return table;
}

}  // namespace

Result<Share> parse_share(std::string_view text) {
  const auto [number, unit] = split_number_and_unit(text);
  const auto value = parse_number(number);
  if (!value || unit != "%")
    return Problem{
        {}, fmt::format("\"{}\" is no percentage", trimmed(text).substr(0, 60)), "a number with the unit %, such as \"12 %\"", {}};
  return Share{*value / 100};
}

template <class T>
std::string figure_text(const Figure<T>& figure) {
  if (!figure.text.empty()) return figure.text;
  constexpr int kDigits = 12;
  if constexpr (std::is_same_v<T, Share>)
    return number_text(figure.value.fraction * 100, kDigits) + " %";
  else if constexpr (std::is_same_v<T, Temperature>)
    return number_text(figure.value.celsius(), kDigits) + " degC";
  else if constexpr (std::is_same_v<T, GaugePressure> || std::is_same_v<T, AbsolutePressure>)
    return number_text(figure.value.bar(), kDigits) + " bar";
  else if constexpr (std::is_same_v<T, Angle>)
    return number_text(figure.value.degrees(), kDigits) + " deg";
  else if constexpr (std::is_same_v<T, Speed>)
    return number_text(figure.value.rpm(), kDigits) + " rpm";
  else
    return number_text(figure.value.in(unit_of<T>(example_of<T>())), kDigits) + " " + example_of<T>();
}

template <class T>
void figure(TableReader& reader, const std::string& key, OptionalFigure<T>& into, const char* least, const char* most) {
  read_with_origin(reader, key, into, [&](const Document& node, Figure<T>& value) { read_value(reader, key, node, value, least, most); });
}

template <class T>
void figure(TableWriter& writer, const std::string& key, const OptionalFigure<T>& value, const char* /*least*/, const char* /*most*/) {
  if (value) writer.put(key, with_origin(*value, figure_text(*value)));
}

void figure(TableReader& reader, const std::string& key, OptionalFigure<double>& into, double least, double most) {
  read_with_origin(reader, key, into,
                   [&](const Document& node, Figure<double>& value) { read_value(reader, key, node, value, least, most); });
}

void figure(TableWriter& writer, const std::string& key, const OptionalFigure<double>& value, double /*least*/, double /*most*/) {
  if (value) writer.put(key, with_origin(*value, Document(value->value)));
}

std::optional<std::string> text_beside(TableReader& reader, const Document& path, const std::string& key, const ReadBeside& read_beside) {
  try {
    return read_beside(path.text());
  } catch (const EnvironmentError& error) {
    constexpr std::size_t kLongestDetail = 300;
    reader.refuse(path, key + ": " + std::string(error.what()).substr(0, kLongestDetail), {},
                  "the path is relative to the folder of the file that names it");
    return std::nullopt;
  }
}

namespace {

bool in_range(double value, const PairColumns& columns) { return value >= columns.least && value <= columns.most; }

std::string pair_allowed(const PairColumns& columns) {
  return fmt::format("[{}, {}], each {} to {}", columns.first, columns.second, number_text(columns.least), number_text(columns.most));
}

void read_pair_list(TableReader& reader, const std::string& key, const Document& node, NumberPairs& into, const PairColumns& columns) {
  for (const Document& item : node.array()) {
    const bool is_pair = item.is_array() && item.array().size() == 2 && item.array()[0].is_number() && item.array()[1].is_number();
    const std::pair<double, double> pair = is_pair ? std::pair(item.array()[0].number(), item.array()[1].number()) : std::pair(0.0, 0.0);
    if (is_pair && in_range(pair.first, columns) && in_range(pair.second, columns))
      into.push_back(pair);
    else
      reader.refuse(item, fmt::format("entry {} of {} is no pair of numbers in range", &item - node.array().data() + 1, key),
                    pair_allowed(columns));
  }
}

void read_pair_table(TableReader& reader, const std::string& key, const Document& node, NumberPairs& into, const PairColumns& columns,
                     const ReadBeside& read_beside) {
  const auto text = text_beside(reader, node, key, read_beside);
  if (!text) return;
  const auto table = read_csv(*text, node.text());
  if (!table) {
    reader.problems().insert(reader.problems().end(), table.problems().begin(), table.problems().end());
    return;
  }
  const int x = table->column(columns.first);
  const int y = table->column(columns.second);
  const int number = table->column("number");
  if (x < 0 || y < 0 || table->header.size() != (number < 0 ? 2U : 3U)) {
    reader.refuse(node, fmt::format("{}: {} must have the columns {} and {}, perhaps number before them, and no other", key, node.text(),
                                    columns.first, columns.second));
    return;
  }
  for (std::size_t row = 0; row < table->rows.size(); ++row) {
    if (number >= 0 && parse_number(table->rows[row][static_cast<std::size_t>(number)]) != static_cast<double>(row + 1)) {
      reader.problems().push_back(
          {table->place(row, static_cast<std::size_t>(number)), "the numbers do not count up", "1, 2, 3 ... in order", {}});
      return;
    }
    const auto first = parse_number(table->rows[row][static_cast<std::size_t>(x)]);
    const auto second = parse_number(table->rows[row][static_cast<std::size_t>(y)]);
    if (first && second && in_range(*first, columns) && in_range(*second, columns))
      into.emplace_back(*first, *second);
    else if (reader.problems().size() < 200)
      reader.problems().push_back({table->place(row, 0), "this row holds no pair of numbers in range", pair_allowed(columns), {}});
  }
}

}  // namespace

void pairs(TableReader& reader, const std::string& key, NumberPairs& into, const PairColumns& columns, const ReadBeside& read_beside) {
  const Document* node = reader.find(key);
  if (node == nullptr) return;
  if (node->is_array())
    read_pair_list(reader, key, *node, into, columns);
  else if (node->is_text())
    read_pair_table(reader, key, *node, into, columns, read_beside);
  else
    reader.refuse(*node, key + " is " + node->kind_text(), "a list of pairs, or the name of a CSV file beside this one in quotes");
}

void pairs(TableWriter& writer, const std::string& key, const NumberPairs& values) {
  if (values.empty()) return;
  Array items;
  for (const auto& [first, second] : values) items.emplace_back(Array{Document(first), Document(second)});
  writer.put(key, std::move(items));
}

#define HEADJOINT_INSTANTIATE(T)                                                                           \
  template std::string figure_text<T>(const Figure<T>&);                                                   \
  template void figure<T>(TableReader&, const std::string&, OptionalFigure<T>&, const char*, const char*); \
  template void figure<T>(TableWriter&, const std::string&, const OptionalFigure<T>&, const char*, const char*);
HEADJOINT_INSTANTIATE(Length)
HEADJOINT_INSTANTIATE(Area)
HEADJOINT_INSTANTIATE(Volume)
HEADJOINT_INSTANTIATE(Force)
HEADJOINT_INSTANTIATE(Torque)
HEADJOINT_INSTANTIATE(Stress)
HEADJOINT_INSTANTIATE(LineLoad)
HEADJOINT_INSTANTIATE(FoundationStiffness)
HEADJOINT_INSTANTIATE(Expansion)
HEADJOINT_INSTANTIATE(Duration)
HEADJOINT_INSTANTIATE(Temperature)
HEADJOINT_INSTANTIATE(AbsolutePressure)
HEADJOINT_INSTANTIATE(GaugePressure)
HEADJOINT_INSTANTIATE(Angle)
HEADJOINT_INSTANTIATE(Speed)
HEADJOINT_INSTANTIATE(Share)
#undef HEADJOINT_INSTANTIATE

}  // namespace headjoint::joint
