#include <fmt/format.h>

#include <algorithm>

#include "headjoint/base/text.h"
#include "headjoint/jobs/internal/job_parts.h"

namespace headjoint::jobs {
namespace {

constexpr std::size_t kLongestName = 60;

/// Lower case letters, digits and underscores, beginning with a letter; graded states may hold blanks ("very low").
bool is_name(std::string_view text, bool with_blanks = false) {
  const auto allowed = [=](char c) { return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '_' || (with_blanks && c == ' '); };
  return !text.empty() && text.size() <= kLongestName && text.front() >= 'a' && text.front() <= 'z' &&
         std::all_of(text.begin(), text.end(), allowed);
}

std::string clipped(std::string_view text) { return std::string(text.substr(0, kLongestName)); }

/// "3-2" typed for bridge "2-3".
std::string turned_round(std::string_view where) {
  const std::size_t dash = where.find('-');
  if (dash == std::string_view::npos) return {};
  return std::string(where.substr(dash + 1)) + "-" + std::string(where.substr(0, dash));
}

bool contains(const std::vector<std::string>& names, std::string_view name) {
  return std::find(names.begin(), names.end(), name) != names.end();
}

void check_place(TableReader& reader, const Document& node, const std::string& sign, const std::string& where,
                 const EngineInHand& in_hand) {
  const joint::PlaceNames& names = in_hand.names;
  if (!in_hand.known || contains(names.cylinders, where) || contains(names.bridges, where) || contains(names.heads, where)) return;
  const bool is_turned = contains(names.bridges, turned_round(where));
  const std::string allowed = where.find('-') == std::string::npos ? fmt::format("cylinders {}", word_list(names.cylinders))
                                                                   : fmt::format("bridges {}", word_list(names.bridges));
  reader.refuse(node, fmt::format("{}: this engine has no place \"{}\"", sign, clipped(where)), allowed,
                is_turned ? fmt::format("the lower number first: \"{}\"", turned_round(where)) : std::string());
}

void check_state(TableReader& reader, const Document& node, const Sign& sign) {
  if (is_name(sign.state, true)) return;
  reader.refuse(node, fmt::format("{}: \"{}\" is no state", sign.name, clipped(sign.state)),
                "seen, absent, void, or a word of a graded finding such as none, partial, full");
}

/// "seen", or { state = "seen", note = "..." }
void read_answer(TableReader& reader, const Document& node, Sign sign, std::vector<Sign>& into) {
  sign.place = node.place();
  if (node.is_text()) {
    sign.state = node.text();
    check_state(reader, node, sign);
  } else if (node.is_table()) {
    TableReader inner(node, sign.name, reader.problems());
    (void)inner.required("state");
    inner.text("state", sign.state);
    inner.text("note", sign.note);
    inner.finish();
    if (const Document* state = node.find("state"); state != nullptr && state->is_text()) check_state(reader, *state, sign);
  } else {
    const bool is_truth = node.is_bool();
    reader.refuse(node, fmt::format("{} is {}", sign.name, node.kind_text()),
                  "\"seen\", \"absent\", \"void\" or a word of a graded finding",
                  is_truth ? fmt::format("write \"{}\"", node.truth() ? "seen" : "absent") : std::string("put the word in quotes"));
    return;
  }
  into.push_back(std::move(sign));
}

void read_sign(TableReader& reader, const std::string& name, const Document& node, std::vector<Sign>& into, const EngineInHand& in_hand) {
  if (!is_name(name)) {
    reader.refuse(node, fmt::format("\"{}\" is no name of a finding", clipped(name)), "lower case letters, digits and _",
                  "places go inside: plug_washed = { 2 = \"seen\" }");
    return;
  }
  const bool by_place = node.is_table() && node.find("state") == nullptr && node.find("note") == nullptr;
  if (!by_place) {
    read_answer(reader, node, {name, {}, {}, {}, {}}, into);
    return;
  }
  for (const auto& [where, answer] : node.table()) {
    check_place(reader, answer, name, where, in_hand);
    read_answer(reader, answer, {name, where, {}, {}, {}}, into);
  }
}

Document answer_of(const Sign& sign) {
  if (sign.note.empty()) return sign.state;
  Document answer;
  answer.set("state", sign.state);
  answer.set("note", sign.note);
  return answer;
}

}  // namespace

void read_signs(TableReader& reader, const std::string& key, std::vector<Sign>& into, const EngineInHand& in_hand) {
  const Document* signs = reader.find(key);
  if (signs == nullptr) return;
  if (!signs->is_table()) {
    reader.refuse(*signs, key + " is " + signs->kind_text(), "a table: one line for each finding that was looked into");
    return;
  }
  for (const auto& [name, node] : signs->table())
    if (!node.is_null()) read_sign(reader, name, node, into, in_hand);
}

Document write_signs(const std::vector<Sign>& signs) {
  Document table{Table{}};
  for (const Sign& sign : signs) {
    if (sign.where.empty()) {
      table.set(sign.name, answer_of(sign));
      continue;
    }
    if (table.find(sign.name) == nullptr) table.set(sign.name, Table{});
    table.find(sign.name)->set(sign.where, answer_of(sign));
  }
  return table;
}

}  // namespace headjoint::jobs
