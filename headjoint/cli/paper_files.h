#pragma once

#include <string>
#include <vector>

#include "headjoint/assess/results.h"

namespace headjoint::cli {

/// Writes record.html and owner.html into a folder, making it when missing.
/// @returns the paths written
/// @throws EnvironmentError kInputOutput
[[nodiscard]] std::vector<std::string> write_papers(const assess::Assessment& assessment, const std::string& folder);

}  // namespace headjoint::cli
