#include "headjoint/joint/internal/special_values.h"

#include <fmt/format.h>

#include <algorithm>

#include "headjoint/base/text.h"
#include "headjoint/joint/lift_table.h"
#include "headjoint/units/quantity_text.h"

namespace headjoint::joint {
namespace {

template <class Point>
void read_points(TableReader& reader, const std::string& key, std::vector<Point>& into, const PairColumns& columns,
                 const ReadBeside& read_beside) {
  NumberPairs values;
  pairs(reader, key, values, columns, read_beside);
  for (const auto& [first, second] : values) into.push_back({first, second});
}

template <class Point>
void write_points(TableWriter& writer, const std::string& key, const std::vector<Point>& points) {
  NumberPairs values;
  for (const auto& [first, second] : points) values.emplace_back(first, second);
  pairs(writer, key, values);
}

/// Both columns must rise, the first one strictly.
template <class Point>
bool rises(const std::vector<Point>& points) {
  for (std::size_t i = 1; i < points.size(); ++i) {
    const auto& [x0, y0] = points[i - 1];
    const auto& [x1, y1] = points[i];
    if (!(x1 > x0) || !(y1 >= y0)) return false;
  }
  return true;
}

std::optional<ThreadSize> metric_thread(const std::string& text) {
  const std::size_t cross = text.find_first_of("xX", 1);
  const auto diameter = parse_number(std::string_view(text).substr(1, cross == std::string::npos ? cross : cross - 1));
  if (!diameter || !(*diameter >= 3 && *diameter <= 100)) return std::nullopt;
  ThreadSize size{text, *diameter * unit_of<Length>("mm"), std::nullopt};
  if (cross != std::string::npos) {
    const auto pitch = parse_number(std::string_view(text).substr(cross + 1));
    if (!pitch || !(*pitch >= 0.2 && *pitch <= 10)) return std::nullopt;
    size.pitch = *pitch * unit_of<Length>("mm");
  }
  return size;
}

/// "7/16-14": diameter in inches, threads per inch.
std::optional<ThreadSize> inch_thread(const std::string& text) {
  const std::size_t dash = text.find('-');
  if (dash == std::string::npos) return std::nullopt;
  const auto diameter = parse<Length>(text.substr(0, dash) + " in");
  const auto per_inch = parse_number(std::string_view(text).substr(dash + 1));
  if (!diameter || !per_inch || !(*per_inch >= 2 && *per_inch <= 80)) return std::nullopt;
  if (*diameter < unit_of<Length>("mm") * 3 || *diameter > unit_of<Length>("mm") * 100) return std::nullopt;
  return ThreadSize{text, *diameter, unit_of<Length>("in") / *per_inch};
}

std::optional<ThreadSize> parse_thread(const std::string& typed) {
  const std::string text(trimmed(typed));
  if (text.starts_with('M') || text.starts_with('m')) return metric_thread(text);
  return inch_thread(text);
}

std::optional<Glycol> parse_glycol(const std::string& text) {
  const std::string_view plain = trimmed(text);
  if (plain == "water") return Glycol{text, "water", 0};
  for (const char* kind : {"ethylene", "propylene"}) {
    if (!plain.starts_with(kind)) continue;
    const auto share = parse_share(plain.substr(std::string_view(kind).size()));
    if (share && share->fraction >= 0 && share->fraction <= 1) return Glycol{text, kind, share->fraction};
  }
  return std::nullopt;
}

/// A value typed as text that `parse` understands or not.
template <class T, class Parse>
void special(TableReader& reader, const std::string& key, std::optional<T>& into, Parse parse, const char* allowed) {
  const Document* node = reader.find(key);
  if (node == nullptr) return;
  if (node->is_text()) into = parse(node->text());
  if (!into)
    reader.refuse(*node, key + " is not understood" + (node->is_text() ? ": \"" + node->text().substr(0, 40) + "\"" : ""), allowed);
}

/// A slip of the pen is refused; a word that resembles none is kept with a warning. @returns whether to keep it
bool is_known_or_told(TableReader& reader, const Document& node, const std::string& key, std::span<const std::string> known) {
  if (std::find(known.begin(), known.end(), node.text()) != known.end()) return true;
  if (nearest_name(node.text(), known)) return check_word(reader, node, key, node.text(), known);
  reader.warn(node, key + ": \"" + node.text().substr(0, 40) + "\" is not a word the program knows; it changes nothing", word_list(known));
  return true;
}

}  // namespace

const PairColumns& coordinate_columns() {
  static const PairColumns kColumns = {"x_mm", "y_mm", -10000, 10000};
  return kColumns;
}

const PairColumns& curve_columns() {
  static const PairColumns kColumns = {"closure_mm", "pressure_MPa", 0, 5000};
  return kColumns;
}

const PairColumns& lift_columns() {
  static const PairColumns kColumns = {"crank_deg", "lift_mm", 0, 720};
  return kColumns;
}

void outline(TableReader& reader, const std::string& key, std::vector<PlanPoint>& into, const ReadBeside& read_beside) {
  read_points(reader, key, into, coordinate_columns(), read_beside);
}
void outline(TableWriter& writer, const std::string& key, const std::vector<PlanPoint>& value, const ReadBeside& /*read_beside*/) {
  write_points(writer, key, value);
}

void point(TableReader& reader, const std::string& key, std::optional<PlanPoint>& into) {
  const Document* node = reader.find(key);
  if (node == nullptr) return;
  const auto coordinate = [](const Document& d) {
    return d.is_number() && d.number() >= coordinate_columns().least && d.number() <= coordinate_columns().most;
  };
  if (node->is_array() && node->array().size() == 2 && coordinate(node->array()[0]) && coordinate(node->array()[1]))
    into = PlanPoint{node->array()[0].number(), node->array()[1].number()};
  else
    reader.refuse(*node, key + " is no place", "[x, y] in millimetres, each -10000 to 10000, without quotes");
}
void point(TableWriter& writer, const std::string& key, const std::optional<PlanPoint>& value) {
  if (value) writer.put(key, Array{Document(value->x_mm), Document(value->y_mm)});
}

void curve(TableReader& reader, const std::string& key, std::vector<CurvePoint>& into, const ReadBeside& read_beside) {
  read_points(reader, key, into, curve_columns(), read_beside);
  const bool too_short = into.size() == 1;
  if (too_short || !rises(into))
    reader.refuse(*reader.find(key), key + (too_short ? " has one point only" : " does not rise"),
                  "two or more pairs [closure mm, pressure MPa], closure rising, pressure never falling");
}
void curve(TableWriter& writer, const std::string& key, const std::vector<CurvePoint>& value, const ReadBeside& /*read_beside*/) {
  write_points(writer, key, value);
}

void lift_table(TableReader& reader, const std::string& key, std::vector<LiftPoint>& into, const ReadBeside& read_beside) {
  read_points(reader, key, into, lift_columns(), read_beside);
  if (into.empty()) return;
  if (auto fault = lift_table_fault(into)) reader.refuse(*reader.find(key), fault->what, fault->allowed, fault->mend);
}
void lift_table(TableWriter& writer, const std::string& key, const std::vector<LiftPoint>& value, const ReadBeside& /*read_beside*/) {
  write_points(writer, key, value);
}

void thread(TableReader& reader, const std::string& key, std::optional<ThreadSize>& into) {
  special(reader, key, into, parse_thread, "a thread such as \"M11x1.5\", \"M10\" or \"7/16-14\", 3 mm to 100 mm");
}
void thread(TableWriter& writer, const std::string& key, const std::optional<ThreadSize>& value) {
  if (value) writer.put(key, value->text);
}

void strength_class(TableReader& reader, const std::string& key, std::string& into) {
  const Document* node = reader.find(key);
  if (node == nullptr) return;
  const auto parts = node->is_text() ? split(node->text(), '.') : std::vector<std::string_view>{};
  const auto is_digits = [](std::string_view part) {
    return !part.empty() && part.size() <= 2 && part.find_first_not_of("0123456789") == std::string_view::npos;
  };
  if (parts.size() == 2 && is_digits(parts[0]) && is_digits(parts[1]) && parts[1].size() == 1)
    into = node->text();
  else
    reader.refuse(*node, key + " is not understood", "a strength class in quotes such as \"8.8\", \"10.9\", \"12.9\"");
}
void strength_class(TableWriter& writer, const std::string& key, const std::string& value) { writer.text(key, value); }

void friction(TableReader& reader, const std::string& key, std::optional<FrictionRange>& into) {
  const Document* node = reader.find(key);
  if (node == nullptr) return;
  const auto fits = [](const Document& d) { return d.is_number() && d.number() >= 0.02 && d.number() <= 0.6; };
  if (fits(*node)) into = FrictionRange{node->number(), node->number()};
  if (node->is_array() && node->array().size() == 2 && fits(node->array()[0]) && fits(node->array()[1]))
    into = FrictionRange{node->array()[0].number(), node->array()[1].number()};
  if (!into || into->least > into->most) reader.refuse(*node, key + " is not understood", "[least, most], each 0.02 to 0.6");
}
void friction(TableWriter& writer, const std::string& key, const std::optional<FrictionRange>& value) {
  if (value) writer.put(key, Array{Document(value->least), Document(value->most)});
}

void glycol(TableReader& reader, const std::string& key, std::optional<Glycol>& into) {
  special(reader, key, into, parse_glycol, "\"ethylene 50 %\", \"propylene 40 %\" or \"water\": glycol by volume, 0 % to 100 %");
}
void glycol(TableWriter& writer, const std::string& key, const std::optional<Glycol>& value) {
  if (value) writer.put(key, value->text);
}

void word(TableReader& reader, const std::string& key, std::string& into, std::span<const std::string> words) {
  const Document* node = reader.find(key);
  if (node == nullptr) return;
  if (!node->is_text())
    reader.refuse(*node, key + " is " + node->kind_text(), word_list(words), "put the word in straight quotes");
  else if (is_known_or_told(reader, *node, key, words))
    into = node->text();
}
void word(TableWriter& writer, const std::string& key, const std::string& value, std::span<const std::string> /*words*/) {
  writer.text(key, value);
}

void words(TableReader& reader, const std::string& key, std::vector<std::string>& into, std::span<const std::string> known) {
  reader.texts(key, into);
  const Document* node = reader.find(key);
  if (node == nullptr || !node->is_array()) return;
  for (const Document& item : node->array())
    if (item.is_text()) (void)is_known_or_told(reader, item, key, known);
}
void words(TableWriter& writer, const std::string& key, const std::vector<std::string>& value, std::span<const std::string> /*known*/) {
  writer.texts(key, value);
}

}  // namespace headjoint::joint
