#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "headjoint/base/result.h"

namespace headjoint {

class Document;

/// Keys in the order they were written; no key twice.
using Table = std::vector<std::pair<std::string, Document>>;
using Array = std::vector<Document>;

/// One tree for everything that comes in (TOML files, JSON bodies) and everything that goes out (JSON answers).
/// Every node remembers where it was read.
class Document {
 public:
  using Value = std::variant<std::nullptr_t, bool, std::int64_t, double, std::string, Array, Table>;

  Document() : value_(nullptr) {}
  Document(std::nullptr_t) : value_(nullptr) {}                              // NOLINT(google-explicit-constructor)
  Document(bool value) : value_(value) {}                                    // NOLINT
  Document(int value) : value_(static_cast<std::int64_t>(value)) {}          // NOLINT
  Document(std::int64_t value) : value_(value) {}                            // NOLINT
  Document(std::size_t value) : value_(static_cast<std::int64_t>(value)) {}  // NOLINT
  Document(double value) : value_(value) {}                                  // NOLINT
  Document(const char* value) : value_(std::string(value)) {}                // NOLINT
  Document(std::string value) : value_(std::move(value)) {}                  // NOLINT
  Document(std::string_view value) : value_(std::string(value)) {}           // NOLINT
  Document(Array value) : value_(std::move(value)) {}                        // NOLINT
  Document(Table value) : value_(std::move(value)) {}                        // NOLINT

  [[nodiscard]] const Value& value() const { return value_; }
  [[nodiscard]] const Place& place() const { return place_; }
  void set_place(Place place) { place_ = std::move(place); }

  [[nodiscard]] bool is_null() const { return std::holds_alternative<std::nullptr_t>(value_); }
  [[nodiscard]] bool is_table() const { return std::holds_alternative<Table>(value_); }
  [[nodiscard]] bool is_array() const { return std::holds_alternative<Array>(value_); }
  [[nodiscard]] bool is_text() const { return std::holds_alternative<std::string>(value_); }
  [[nodiscard]] bool is_integer() const { return std::holds_alternative<std::int64_t>(value_); }
  [[nodiscard]] bool is_number() const { return is_integer() || std::holds_alternative<double>(value_); }
  [[nodiscard]] bool is_bool() const { return std::holds_alternative<bool>(value_); }

  /// "a table", "a list", "text", "a number", "true or false", "nothing": for messages.
  [[nodiscard]] std::string kind_text() const;

  /// The value of that kind. @throws ContractError for another kind
  [[nodiscard]] const Table& table() const;
  [[nodiscard]] const Array& array() const;
  [[nodiscard]] const std::string& text() const;
  [[nodiscard]] std::int64_t integer() const;
  [[nodiscard]] double number() const;  ///< also from an integer
  [[nodiscard]] bool truth() const;
  [[nodiscard]] Table& table();
  [[nodiscard]] Array& array();

  /// Member of a table, or null pointer when it is not there or this is no table.
  [[nodiscard]] const Document* find(std::string_view key) const;
  [[nodiscard]] Document* find(std::string_view key);

  /// Sets or replaces a member; a null document becomes a table. @returns *this
  Document& set(std::string key, Document value);

  /// Appends; a null document becomes a list.
  void append(Document value);

  /// Same values, whatever the places and the order of keys.
  bool operator==(const Document& other) const;

 private:
  Value value_;
  Place place_;
};

/// @returns the tree, or every problem with line and column: syntax, key given twice, bad encoding, NUL bytes, deeper than 64
[[nodiscard]] Result<Document> read_toml(std::string_view text, const std::string& source);
[[nodiscard]] Result<Document> read_json(std::string_view text, const std::string& source);

/// JSON in UTF-8. NaN and infinities become null. `indent` < 0: one line.
[[nodiscard]] std::string write_json(const Document& document, int indent = 2);

/// TOML with tables as [headers] and lists of tables as [[headers]]. Nulls are left out.
/// @pre the document is a table
[[nodiscard]] std::string write_toml(const Document& document);

}  // namespace headjoint
