#include "headjoint/base/table_reader.h"

#include <cmath>

#include "headjoint/base/text.h"

namespace headjoint {
namespace {

/// More would help nobody, and a hostile file must not fill the memory.
constexpr std::size_t kMostProblems = 200;

/// What a person typed, short enough for a message.
std::string shown(const Document& node) {
  constexpr std::size_t kLongest = 60;
  if (node.is_text()) {
    const std::string& text = node.text();
    std::size_t end = std::min(text.size(), kLongest);
    while (end > 0 && end < text.size() && (static_cast<unsigned char>(text[end]) & 0xC0U) == 0x80U) --end;
    return "\"" + text.substr(0, end) + (end < text.size() ? "..." : "") + "\"";
  }
  if (node.is_integer()) return std::to_string(node.integer());
  if (node.is_number()) return number_text(node.number());
  if (node.is_bool()) return node.truth() ? "true" : "false";
  return node.kind_text();
}

std::string did_you_mean(std::string_view wrong, std::span<const std::string> words) {
  const auto nearest = nearest_name(wrong, words);
  return nearest ? "did you mean \"" + *nearest + "\"?" : std::string();
}

std::string range_text(double least, double most) { return number_text(least) + " to " + number_text(most); }

}  // namespace

TableReader::TableReader(const Document& table, std::string name, Problems& problems)
    : table_(&table), name_(std::move(name)), problems_(&problems) {
  if (!table.is_table()) refuse(table, (name_.empty() ? "the document" : name_) + " is " + table.kind_text(), "a table");
}

void TableReader::add(Problem problem) {
  if (problems_->size() < kMostProblems)
    problems_->push_back(std::move(problem));
  else if (problems_->size() == kMostProblems)
    problems_->push_back({problem.place, "there are more problems than these", {}, "mend these first, then check again"});
}

void TableReader::refuse(const Document& node, std::string what, std::string allowed, std::string mend) {
  add({node.place(), std::move(what), std::move(allowed), std::move(mend)});
}

void TableReader::warn(const Document& node, std::string what, std::string allowed, std::string mend) {
  add({node.place(), std::move(what), std::move(allowed), std::move(mend), Problem::Severity::kWarning});
}

void TableReader::refuse(const Document& node, const std::string& key, const Problems& problems) {
  for (const Problem& problem : problems) refuse(node, key + ": " + problem.what, problem.allowed, problem.mend);
}

std::string TableReader::path_of(const std::string& key) const {
  std::string_view outer = name_;
  while (outer.starts_with('[')) outer.remove_prefix(1);
  while (outer.ends_with(']')) outer.remove_suffix(1);
  return "[" + (outer.empty() ? key : std::string(outer) + "." + key) + "]";
}

const Document* TableReader::find(const std::string& key) {
  known_.insert(key);
  const Document* member = table_->find(key);
  return member == nullptr || member->is_null() ? nullptr : member;
}

const Document* TableReader::required(const std::string& key) {
  const Document* member = find(key);
  if (member == nullptr && table_->is_table())
    refuse(*table_, "\"" + key + "\" is missing" + (name_.empty() ? "" : " in " + name_), {}, "add it");
  return member;
}

void TableReader::text(const std::string& key, std::string& into) {
  const Document* member = find(key);
  if (member == nullptr) return;
  if (member->is_text())
    into = member->text();
  else
    refuse(*member, key + " is " + member->kind_text() + ": " + shown(*member), "text", "put it in straight quotes");
}

void TableReader::truth(const std::string& key, bool& into) {
  std::optional<bool> read;
  truth(key, read);
  into = read.value_or(into);
}

void TableReader::truth(const std::string& key, std::optional<bool>& into) {
  const Document* member = find(key);
  if (member == nullptr) return;
  if (member->is_bool())
    into = member->truth();
  else
    refuse(*member, key + " is " + member->kind_text() + ": " + shown(*member), "true or false, without quotes");
}

std::optional<int> TableReader::whole_number(const Document& node, const std::string& key, int least, int most) {
  const bool fits = node.is_integer() && node.integer() >= least && node.integer() <= most;
  if (fits) return static_cast<int>(node.integer());
  refuse(node, key + " is " + shown(node), "a whole number, " + range_text(least, most),
         node.is_text() && parse_number(node.text()) ? "write it without quotes" : std::string());
  return std::nullopt;
}

void TableReader::integer(const std::string& key, int& into, int least, int most) {
  std::optional<int> read;
  integer(key, read, least, most);
  into = read.value_or(into);
}

void TableReader::integer(const std::string& key, std::optional<int>& into, int least, int most) {
  const Document* member = find(key);
  if (member == nullptr) return;
  if (const auto value = whole_number(*member, key, least, most)) into = value;
}

void TableReader::number(const std::string& key, std::optional<double>& into, double least, double most) {
  const Document* member = find(key);
  if (member == nullptr) return;
  const bool fits = member->is_number() && member->number() >= least && member->number() <= most;
  if (fits)
    into = member->number();
  else
    refuse(*member, key + " is " + shown(*member), "a number, " + range_text(least, most),
           member->is_text() && parse_number(member->text()) ? "write it without quotes" : std::string());
}

std::optional<std::size_t> TableReader::word_index(const std::string& key, std::span<const std::string> words) {
  const Document* member = find(key);
  if (member == nullptr) return std::nullopt;
  if (!member->is_text()) {
    refuse(*member, key + " is " + shown(*member), word_list(words), "put the word in straight quotes");
    return std::nullopt;
  }
  if (!check_word(*this, *member, key, member->text(), words)) return std::nullopt;
  return static_cast<std::size_t>(std::find(words.begin(), words.end(), member->text()) - words.begin());
}

const Array* TableReader::list(const std::string& key) {
  const Document* member = find(key);
  if (member == nullptr) return nullptr;
  if (member->is_array()) return &member->array();
  refuse(*member, key + " is " + member->kind_text() + ": " + shown(*member), "a list in square brackets");
  return nullptr;
}

void TableReader::texts(const std::string& key, std::vector<std::string>& into) {
  const Array* items = list(key);
  if (items == nullptr) return;
  for (const Document& item : *items) {
    if (item.is_text())
      into.push_back(item.text());
    else
      refuse(item, key + " holds " + shown(item), "a list of words in quotes");
  }
}

void TableReader::integers(const std::string& key, std::vector<int>& into, int least, int most) {
  const Array* items = list(key);
  if (items == nullptr) return;
  for (const Document& item : *items)
    if (const auto value = whole_number(item, "an entry of " + key, least, most)) into.push_back(*value);
}

void TableReader::finish() {
  if (!table_->is_table()) return;
  const std::vector<std::string> known(known_.begin(), known_.end());
  for (const auto& [key, member] : table_->table()) {
    if (known_.contains(key)) continue;
    const std::string mend = did_you_mean(key, known);
    refuse(member, shown(Document(key)) + " is not a key" + (name_.empty() ? "" : " of " + name_),
           mend.empty() ? word_list(known) : std::string(), mend);
  }
}

bool check_word(TableReader& reader, const Document& node, const std::string& key, std::string_view word,
                std::span<const std::string> words) {
  if (std::find(words.begin(), words.end(), word) != words.end()) return true;
  reader.refuse(node, key + " does not know the word " + shown(Document(word)), word_list(words), did_you_mean(word, words));
  return false;
}

std::string word_list(std::span<const std::string> words) {
  std::string list;
  for (const std::string& word : words) list += (list.empty() ? "" : ", ") + word;
  return list;
}

}  // namespace headjoint
