#pragma once

#include <span>

#include "headjoint/assess/operation.h"
#include "headjoint/base/document.h"

/// Results as the fixed output keys. Numbers carry their unit in the key.
namespace headjoint::assess {

/// A new answer object: {"schema_version": 1}.
[[nodiscard]] Document answer();

[[nodiscard]] Document to_document(const Assessment& assessment);
[[nodiscard]] Document to_document(const Finding& finding);
[[nodiscard]] Document to_document(const NextCheck& check);
[[nodiscard]] Document to_document(const CheckPack& pack);
[[nodiscard]] Document to_document(const LeakDown& leak_down);
[[nodiscard]] Document to_document(const Compression& compression);
[[nodiscard]] Document to_document(const Flatness& flatness);
[[nodiscard]] Document to_document(const Question& question);
[[nodiscard]] Document to_document(const NetworkReply& reply);
[[nodiscard]] Document to_document(const Caution& caution);
[[nodiscard]] Document to_document(const Problem& problem);

/// {"key": [...]} from any of the above.
template <class T>
[[nodiscard]] Document list_document(const std::vector<T>& items) {
  Array list;
  for (const T& item : items) list.push_back(to_document(item));
  return list;
}

/// Adds the members of `from` to `to`, leaving out those it has already.
void merge_members(Document& to, const Document& from);

}  // namespace headjoint::assess
