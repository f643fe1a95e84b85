#pragma once

#include <cstddef>
#include <functional>
#include <vector>

namespace headjoint::diagnosis::internal {

/// Which of `count` pieces of evidence cannot stand together.
///
/// @param possible  says whether the pieces marked true can all hold; it does not hold for all of them
/// @returns every piece whose removal alone makes the rest possible; if there is none, a set impossible on its own from which nothing can
/// be taken (found by deleting one piece after the other); empty when not even the empty set is possible
[[nodiscard]] inline std::vector<std::size_t> conflicting_pieces(std::size_t count,
                                                                 const std::function<bool(const std::vector<bool>&)>& possible) {
  std::vector<bool> used(count, true);
  std::vector<std::size_t> found;
  for (std::size_t i = 0; i < count; ++i) {
    used[i] = false;
    if (possible(used)) found.push_back(i);
    used[i] = true;
  }
  if (!found.empty()) return found;
  for (std::size_t i = 0; i < count; ++i) {
    used[i] = false;
    if (possible(used)) used[i] = true;
  }
  for (std::size_t i = 0; i < count; ++i)
    if (used[i]) found.push_back(i);
  return found;
}

}  // namespace headjoint::diagnosis::internal
