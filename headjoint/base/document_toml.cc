// The parser's asserts guard states that a mistyped file does reach ("[=]"): they must neither abort nor, as NDEBUG would have it,
// become assumptions of the optimiser. Without them the parser reports those states as syntax errors.
#undef NDEBUG
#define TOML_ASSERT(expr) static_assert(true)
#define TOML_EXCEPTIONS 0
#define TOML_MAX_NESTED_VALUES 64
#include <toml++/toml.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <sstream>

#include "headjoint/base/document.h"
#include "headjoint/base/text.h"

namespace headjoint {
namespace {

constexpr std::size_t kLargestText = 8U << 20U;
constexpr int kDeepest = 64;

Place place_of(const toml::source_region& region, const std::string& source, const std::string& pointer) {
  return {source, static_cast<int>(region.begin.line), static_cast<int>(region.begin.column), pointer};
}

/// toml++ keeps keys sorted; the written order comes back from their positions.
std::vector<std::pair<const toml::key*, const toml::node*>> in_written_order(const toml::table& table) {
  std::vector<std::pair<const toml::key*, const toml::node*>> members;
  for (auto&& [key, node] : table) members.emplace_back(&key, &node);
  std::sort(members.begin(), members.end(), [](const auto& a, const auto& b) {
    const auto& p = a.first->source().begin;
    const auto& q = b.first->source().begin;
    return std::tie(p.line, p.column) < std::tie(q.line, q.column);
  });
  return members;
}

template <class T>
std::string date_text(const T& value) {
  std::ostringstream stream;
  stream << value;
  return stream.str();
}

/// Where a text in quotes that begins at `at` ends, escapes and triple quotes included.
std::size_t end_of_quoted(std::string_view text, std::size_t at) {
  const char quote = text[at];
  const std::string triple(3, quote);
  const std::string_view closing = text.substr(at).starts_with(triple) ? std::string_view(triple) : std::string_view(triple).substr(2);
  for (std::size_t i = at + closing.size(); i < text.size(); ++i) {
    if (text[i] == '\\' && quote == '"')
      ++i;
    else if (text.substr(i).starts_with(closing))
      return i + closing.size();
    else if (text[i] == '\n' && closing.size() == 1)
      return i;
  }
  return text.size();
}

/// Line of the first key with more dots than any file needs: the parser would build, and later take down, a level for each.
std::optional<int> line_of_endless_key(std::string_view text) {
  int line = 1;
  int dots = 0;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (c == '"' || c == '\'') {
      const std::size_t end = end_of_quoted(text, i);
      line += static_cast<int>(
          std::count(text.begin() + static_cast<std::ptrdiff_t>(i), text.begin() + static_cast<std::ptrdiff_t>(end), '\n'));
      i = end - 1;
    } else if (c == '#') {
      i = std::min(text.find('\n', i), text.size()) - 1;
    } else if (c == '.') {
      if (++dots > kDeepest) return line;
    } else if (c == '\n' || std::string_view("[]{}=,").find(c) != std::string_view::npos) {
      dots = 0;
      line += c == '\n' ? 1 : 0;
    }
  }
  return std::nullopt;
}

bool is_deeper_than(const toml::node& node, int levels) {
  if (levels == 0) return true;
  if (const auto* table = node.as_table())
    return std::any_of(table->begin(), table->end(), [&](const auto& member) { return is_deeper_than(member.second, levels - 1); });
  if (const auto* array = node.as_array())
    return std::any_of(array->begin(), array->end(), [&](const auto& item) { return is_deeper_than(item, levels - 1); });
  return false;
}

Document convert(const toml::node& node, const std::string& source, const std::string& pointer) {
  Document document;
  if (const auto* table = node.as_table()) {
    Table members;
    for (const auto& [key, member] : in_written_order(*table)) {
      members.emplace_back(std::string(key->str()), convert(*member, source, pointer + "/" + std::string(key->str())));
    }
    document = Document(std::move(members));
  } else if (const auto* array = node.as_array()) {
    Array items;
    for (const toml::node& item : *array) items.push_back(convert(item, source, pointer + "/" + std::to_string(items.size())));
    document = Document(std::move(items));
  } else if (const auto* text = node.as_string()) {
    document = Document(text->get());
  } else if (const auto* integer = node.as_integer()) {
    document = Document(std::int64_t{integer->get()});
  } else if (const auto* number = node.as_floating_point()) {
    document = Document(number->get());
  } else if (const auto* truth = node.as_boolean()) {
    document = Document(truth->get());
  } else if (const auto* date = node.as_date()) {
    document = Document(date_text(date->get()));
  } else if (const auto* time = node.as_time()) {
    document = Document(date_text(time->get()));
  } else if (const auto* moment = node.as_date_time()) {
    document = Document(date_text(moment->get()));
  }
  document.set_place(place_of(node.source(), source, pointer));
  return document;
}

std::string mend_text(const std::string& what) {
  if (what.find("','") != std::string::npos) return "write a decimal point: 92.0; quantities stand in quotes: \"92.0 mm\"";
  if (what.find("redefine") != std::string::npos) return "keep one of them";
  return "text and quantities stand in straight quotes: \"92.0 mm\"";
}

std::string quoted(std::string_view text) {
  std::ostringstream stream;
  stream << toml::value<std::string>(std::string(text));
  std::string out = stream.str();
  if (out.find('\n') != std::string::npos || !(out.starts_with('"') || out.starts_with('\''))) out = write_json(Document(text), -1);
  return out;
}

std::string key_text(std::string_view key) {
  const bool bare =
      !key.empty() && key.find_first_not_of("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789_-") == std::string_view::npos;
  return bare ? std::string(key) : quoted(key);
}

std::string inline_text(const Document& node) {
  if (node.is_text()) return quoted(node.text());
  if (node.is_bool()) return node.truth() ? "true" : "false";
  if (node.is_integer()) return std::to_string(node.integer());
  if (node.is_number()) {
    const std::string text = number_text(node.number());
    return text.find_first_of(".e") == std::string::npos ? text + ".0" : text;
  }
  std::string out;
  if (node.is_array()) {
    for (const Document& item : node.array()) out += (out.empty() ? "" : ", ") + inline_text(item);
    return "[" + out + "]";
  }
  for (const auto& [key, member] : node.table())
    if (!member.is_null()) out += (out.empty() ? "" : ", ") + key_text(key) + " = " + inline_text(member);
  return out.empty() ? "{}" : "{ " + out + " }";
}

bool is_list_of_tables(const Document& node) {
  return node.is_array() && !node.array().empty() &&
         std::all_of(node.array().begin(), node.array().end(), [](const Document& d) { return d.is_table(); });
}

void write_members(const Document& table, const std::string& path, std::string& out) {
  for (const auto& [key, member] : table.table())
    if (!member.is_null() && !member.is_table() && !is_list_of_tables(member)) out += key_text(key) + " = " + inline_text(member) + "\n";
  for (const auto& [key, member] : table.table()) {
    const std::string name = path.empty() ? key_text(key) : path + "." + key_text(key);
    if (member.is_table()) {
      out += "\n[" + name + "]\n";
      write_members(member, name, out);
    } else if (is_list_of_tables(member)) {
      for (const Document& item : member.array()) {
        out += "\n[[" + name + "]]\n";
        write_members(item, name, out);
      }
    }
  }
}

}  // namespace

Result<Document> read_toml(std::string_view text, const std::string& source) {
  const auto refuse = [&](std::string what, std::string mend) { return Problem{{source, 0, 0, {}}, std::move(what), {}, std::move(mend)}; };
  if (text.size() > kLargestText) return refuse("the file is larger than 8 MiB", "long lists of points belong in a CSV file beside it");
  if (text.find('\0') != std::string_view::npos) return refuse("this is not a text file: it holds NUL bytes", "save it as UTF-8 text");
  if (!is_utf8(text)) return refuse("this is not UTF-8 text", "save the file in UTF-8");
  if (trimmed(text).empty())
    return refuse("the file is empty", "`headjoint new engine NAME` or `headjoint new job NAME` writes a commented start");
  const std::string too_deep = "nested deeper than " + std::to_string(kDeepest) + " levels";
  if (const auto line = line_of_endless_key(text)) return Problem{{source, *line, 0, {}}, too_deep, {}, {}};
  toml::parse_result parsed = toml::parse(text, source);
  if (!parsed) {
    const std::string what(parsed.error().description());
    return Problem{place_of(parsed.error().source(), source, {}), what, {}, mend_text(what)};
  }
  if (is_deeper_than(parsed.table(), kDeepest)) return refuse(too_deep, {});
  return convert(parsed.table(), source, {});
}

std::string write_toml(const Document& document) {
  std::string out;
  write_members(document, {}, out);
  return out;
}

}  // namespace headjoint
