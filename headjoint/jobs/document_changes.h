#pragma once

#include <string>
#include <vector>

#include "headjoint/base/document.h"

namespace headjoint::jobs {

/// One difference between two states of a document.
struct DocumentChange {
  std::string path;  ///< JSON pointer
  Document before;   ///< null: was not there
  Document after;    ///< null: is not there any more
};

/// What must be changed to come from one state to the next: the smallest parts that differ, in the order of the document.
/// Members are matched by key. Items of a list are matched from both ends, what is left in the middle by place.
[[nodiscard]] std::vector<DocumentChange> changes_between(const Document& before, const Document& after);

}  // namespace headjoint::jobs
