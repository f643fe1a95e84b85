#include "headjoint/base/document.h"

#include <algorithm>

namespace headjoint {
namespace {

template <class T>
const T& get(const Document::Value& value) {
  const T* held = std::get_if<T>(&value);
  require(held != nullptr, "document node of another kind");
  return *held;
}

}  // namespace

std::string Document::kind_text() const {
  constexpr const char* kNames[] = {"nothing", "true or false", "a number", "a number", "text", "a list", "a table"};
  return kNames[value_.index()];
}

const Table& Document::table() const { return get<Table>(value_); }
const Array& Document::array() const { return get<Array>(value_); }
const std::string& Document::text() const { return get<std::string>(value_); }
std::int64_t Document::integer() const { return get<std::int64_t>(value_); }
bool Document::truth() const { return get<bool>(value_); }
Table& Document::table() { return const_cast<Table&>(get<Table>(value_)); }
Array& Document::array() { return const_cast<Array&>(get<Array>(value_)); }

double Document::number() const {
  if (is_integer()) return static_cast<double>(integer());
  return get<double>(value_);
}

const Document* Document::find(std::string_view key) const {
  if (!is_table()) return nullptr;
  const Table& members = table();
  const auto found = std::find_if(members.begin(), members.end(), [&](const auto& member) { return member.first == key; });
  return found == members.end() ? nullptr : &found->second;
}

Document* Document::find(std::string_view key) { return const_cast<Document*>(std::as_const(*this).find(key)); }

Document& Document::set(std::string key, Document value) {
  if (is_null()) value_ = Table{};
  if (Document* member = find(key))
    *member = std::move(value);
  else
    table().emplace_back(std::move(key), std::move(value));
  return *this;
}

void Document::append(Document value) {
  if (is_null()) value_ = Array{};
  array().push_back(std::move(value));
}

bool Document::operator==(const Document& other) const {
  if (!is_table() || !other.is_table()) return value_ == other.value_;
  return table().size() == other.table().size() && std::all_of(table().begin(), table().end(), [&](const auto& member) {
           const Document* twin = other.find(member.first);
           return twin != nullptr && member.second == *twin;
         });
}

}  // namespace headjoint
