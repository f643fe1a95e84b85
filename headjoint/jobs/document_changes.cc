#include "headjoint/jobs/document_changes.h"

#include <algorithm>

namespace headjoint::jobs {
namespace {

using Changes = std::vector<DocumentChange>;

/// As a part of a JSON pointer (RFC 6901).
std::string pointer_part(const std::string& key) {
  std::string part = "/";
  for (const char c : key) {
    if (c == '~')
      part += "~0";
    else if (c == '/')
      part += "~1";
    else
      part += c;
  }
  return part;
}

void compare(const std::string& path, const Document& before, const Document& after, Changes& changes);

void compare_tables(const std::string& path, const Document& before, const Document& after, Changes& changes) {
  for (const auto& [key, was] : before.table()) {
    if (const Document* is = after.find(key))
      compare(path + pointer_part(key), was, *is, changes);
    else if (!was.is_null())
      changes.push_back({path + pointer_part(key), was, {}});
  }
  for (const auto& [key, is] : after.table()) {
    if (before.find(key) == nullptr && !is.is_null()) changes.push_back({path + pointer_part(key), {}, is});
  }
}

void compare_lists(const std::string& path, const Array& before, const Array& after, Changes& changes) {
  const std::size_t shorter = std::min(before.size(), after.size());
  std::size_t front = 0;
  while (front < shorter && before[front] == after[front]) ++front;
  std::size_t back = 0;
  while (back < shorter - front && before[before.size() - 1 - back] == after[after.size() - 1 - back]) ++back;
  for (std::size_t i = front; i < std::max(before.size(), after.size()) - back; ++i) {
    const std::string item = path + "/" + std::to_string(i);
    const Document nothing;
    compare(item, i < before.size() - back ? before[i] : nothing, i < after.size() - back ? after[i] : nothing, changes);
  }
}

void compare(const std::string& path, const Document& before, const Document& after, Changes& changes) {
  if (before == after) return;
  if (before.is_table() && after.is_table()) return compare_tables(path, before, after, changes);
  if (before.is_array() && after.is_array()) return compare_lists(path, before.array(), after.array(), changes);
  changes.push_back({path, before, after});
}

}  // namespace

std::vector<DocumentChange> changes_between(const Document& before, const Document& after) {
  Changes changes;
  compare("", before, after, changes);
  return changes;
}

}  // namespace headjoint::jobs
