#pragma once

#include <string>
#include <vector>

#include "headjoint/assess/operation.h"

namespace headjoint::assess {

/// One value of an option that may stand for all or for one place: "1 mm2", 2="1 mm2", 1-2="0.5 mm2".
struct PlacedValue {
  std::string place;  ///< "" for all, "2", "1-2"
  std::string value;
};

/// All values of an option, given several times or in one list. A list is separated by ";", or by "," where a place follows:
/// 2="1 mm2",3="0,5 mm2".
[[nodiscard]] std::vector<PlacedValue> placed_values(const Request& request, const std::string& name);

/// Indexes from 0 of the cylinders that a place names; empty when it is no such place or beyond `cylinders`.
/// @param place  "2" or "1-2"
[[nodiscard]] std::vector<std::size_t> cylinders_of_place(const std::string& place, std::size_t cylinders);

}  // namespace headjoint::assess
