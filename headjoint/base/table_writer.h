#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "headjoint/base/document.h"

namespace headjoint {

/// The other way of TableReader: the same members put values into a table; what is empty is left out.
class TableWriter {
 public:
  static constexpr bool kReads = false;

  void put(const std::string& key, Document value) { table_.set(key, std::move(value)); }

  void text(const std::string& key, const std::string& value) {
    if (!value.empty()) put(key, value);
  }
  void truth(const std::string& key, bool value) {
    if (value) put(key, value);
  }
  void truth(const std::string& key, const std::optional<bool>& value) {
    if (value) put(key, *value);
  }
  void integer(const std::string& key, int value, int least, int /*most*/) {
    if (value >= least) put(key, value);
  }
  void integer(const std::string& key, const std::optional<int>& value, int /*least*/, int /*most*/) {
    if (value) put(key, *value);
  }
  void number(const std::string& key, const std::optional<double>& value, double /*least*/, double /*most*/) {
    if (value) put(key, *value);
  }
  template <class Enum>
  void choice(const std::string& key, const Enum& value, std::span<const std::string> words) {
    put(key, words[static_cast<std::size_t>(value)]);
  }
  template <class Enum>
  void choice(const std::string& key, const std::optional<Enum>& value, std::span<const std::string> words) {
    if (value) choice(key, *value, words);
  }
  void texts(const std::string& key, const std::vector<std::string>& values) {
    if (!values.empty()) put(key, Array(values.begin(), values.end()));
  }
  void integers(const std::string& key, const std::vector<int>& values, int /*least*/, int /*most*/) {
    if (!values.empty()) put(key, Array(values.begin(), values.end()));
  }
  template <class T, class Write>
  void table(const std::string& key, const std::optional<T>& value, Write write) {
    if (value) put(key, nested(*value, write));
  }
  template <class T, class Write>
  void table(const std::string& key, const T& value, Write write) {
    Document inner = nested(value, write);
    if (!inner.table().empty()) put(key, std::move(inner));
  }
  template <class T, class Write>
  void tables(const std::string& key, const std::vector<T>& values, Write write) {
    Array items;
    for (const T& value : values) items.push_back(nested(value, write));
    if (!items.empty()) put(key, std::move(items));
  }

  [[nodiscard]] Document take() { return std::move(table_); }

 private:
  template <class T, class Write>
  [[nodiscard]] static Document nested(const T& value, Write write) {
    TableWriter inner;
    write(inner, value);
    return inner.take();
  }

  Document table_{Table{}};
};

}  // namespace headjoint
