#pragma once

#include <string>

namespace headjoint::cli {

/// Date and time of this computer: "2026-11-24 14:02".
[[nodiscard]] std::string local_time_text();

}  // namespace headjoint::cli
