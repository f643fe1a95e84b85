#include "headjoint/diagnosis/internal/sweep.h"

#include <algorithm>
#include <string>

namespace headjoint::diagnosis::internal {

Sweep sweep_of(const Layout& layout) {
  const auto& locations = layout.locations;
  std::string longest;
  std::ptrdiff_t most = 0;
  for (const Location& location : locations) {
    const auto count = std::count_if(locations.begin(), locations.end(), [&](const Location& l) { return l.scope == location.scope; });
    if (count > most) {
      most = count;
      longest = location.scope;
    }
  }
  std::vector<int> position(locations.size(), -1);
  int next = 0;
  for (std::size_t i = 0; i < locations.size(); ++i)
    if (locations[i].scope == longest) position[i] = next++;
  Sweep sweep{{}, position, std::vector<int>(locations.size(), 1)};
  for (int at : position) sweep.on_line.push_back(at >= 0);
  const auto touch = [&](std::size_t a, std::size_t b) {
    if (position[a] >= 0 || position[b] < 0) return;
    sweep.extent[a] = sweep.last[a] < 0 ? 1 : sweep.extent[a] + 1;
    sweep.last[a] = std::max(sweep.last[a], position[b]);
  };
  for (std::size_t i = 0; i < locations.size(); ++i)
    for (std::size_t other : locations[i].related) {
      touch(i, other);
      touch(other, i);
    }
  return sweep;
}

}  // namespace headjoint::diagnosis::internal
