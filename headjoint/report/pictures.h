#pragma once

#include <string>
#include <vector>

#include "headjoint/assess/operation.h"

namespace headjoint::report {

/// A drawing that goes with an answer, and the same in a table.
struct Picture {
  std::string name;   ///< for a file or an id: "breach"
  std::string title;  ///< "Where the breach is likely"
  std::string svg;
  std::string table_html;
};

/// The drawings of an answer, the most telling first; none where a table says it all.
[[nodiscard]] std::vector<Picture> pictures(const assess::Reply& reply);

}  // namespace headjoint::report
