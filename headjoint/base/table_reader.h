#pragma once

#include <algorithm>
#include <cstdint>
#include <optional>
#include <set>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "headjoint/base/document.h"

namespace headjoint {

/// Decodes one table of a document strictly: every key is asked for by name, and finish() refuses the keys nobody asked for.
///
/// Reading never stops at a problem: the variable keeps its value and the problem joins the list, so that a person sees all of
/// them at once. TableWriter has the same members, so that one description of a table serves both ways.
class TableReader {
 public:
  /// @param name      how messages call the table: "[engine]"
  /// @param problems  gathers; must outlive the reader
  TableReader(const Document& table, std::string name, Problems& problems);

  static constexpr bool kReads = true;

  /// The member, or null pointer; the key counts as known from now on.
  [[nodiscard]] const Document* find(const std::string& key);

  /// The member that must be there: its absence is a problem.
  const Document* required(const std::string& key);

  void text(const std::string& key, std::string& into);
  void truth(const std::string& key, bool& into);
  void truth(const std::string& key, std::optional<bool>& into);
  void integer(const std::string& key, int& into, int least, int most);
  void integer(const std::string& key, std::optional<int>& into, int least, int most);
  void number(const std::string& key, std::optional<double>& into, double least, double most);

  /// One word of `words`; the enumerator with the word's index.
  template <class Enum>
  void choice(const std::string& key, Enum& into, std::span<const std::string> words) {
    if (const auto index = word_index(key, words)) into = static_cast<Enum>(*index);
  }
  template <class Enum>
  void choice(const std::string& key, std::optional<Enum>& into, std::span<const std::string> words) {
    if (const auto index = word_index(key, words)) into = static_cast<Enum>(*index);
  }

  /// A list of texts.
  void texts(const std::string& key, std::vector<std::string>& into);
  /// A list of whole numbers.
  void integers(const std::string& key, std::vector<int>& into, int least, int most);

  /// A table inside; `read(TableReader&, T&)` decodes it. Stays empty when the key is absent.
  template <class T, class Read>
  void table(const std::string& key, std::optional<T>& into, Read read) {
    if (const Document* member = find(key)) {
      into.emplace();
      nested(*member, path_of(key), *into, read);
    }
  }

  /// The same for a table whose absence needs no mark.
  template <class T, class Read>
  void table(const std::string& key, T& into, Read read) {
    if (const Document* member = find(key)) nested(*member, path_of(key), into, read);
  }

  /// A list of tables.
  template <class T, class Read>
  void tables(const std::string& key, std::vector<T>& into, Read read) {
    const Array* items = list(key);
    if (items == nullptr) return;
    for (const Document& item : *items) nested(item, "[" + path_of(key) + "]", into.emplace_back(), read);
  }

  /// The list under a key; a problem when it is something else.
  [[nodiscard]] const Array* list(const std::string& key);

  void refuse(const Document& node, std::string what, std::string allowed = {}, std::string mend = {});
  void warn(const Document& node, std::string what, std::string allowed = {}, std::string mend = {});
  /// A problem that reading a text gave, with the place of the node that holds the text.
  void refuse(const Document& node, const std::string& key, const Problems& problems);

  /// Refuses every member that was not asked for, with the nearest known key.
  void finish();

  [[nodiscard]] const Document& document() const { return *table_; }
  [[nodiscard]] Problems& problems() { return *problems_; }

 private:
  template <class T, class Read>
  void nested(const Document& node, const std::string& name, T& into, Read read) {
    TableReader inner(node, name, *problems_);
    read(inner, into);
    inner.finish();
  }
  [[nodiscard]] std::string path_of(const std::string& key) const;
  [[nodiscard]] std::optional<std::size_t> word_index(const std::string& key, std::span<const std::string> words);
  [[nodiscard]] std::optional<int> whole_number(const Document& node, const std::string& key, int least, int most);
  void add(Problem problem);

  const Document* table_;
  std::string name_;
  Problems* problems_;
  std::set<std::string> known_;
};

/// Refuses a word that is not in the list, with the nearest one. @returns whether it is in the list
bool check_word(TableReader& reader, const Document& node, const std::string& key, std::string_view word,
                std::span<const std::string> words);

/// "inline, vee, flat, single"
[[nodiscard]] std::string word_list(std::span<const std::string> words);

}  // namespace headjoint
