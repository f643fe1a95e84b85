#pragma once

#include <string>
#include <string_view>

namespace headjoint::server::internal {

/// The text member "run" at the top of a JSON body, found without reading the rest into a tree: so a calculation is known by its name
/// from the moment it waits. Empty when there is none, and for a name with escapes. Says nothing about whether the body is JSON.
[[nodiscard]] std::string run_name_in(std::string_view body);

}  // namespace headjoint::server::internal
