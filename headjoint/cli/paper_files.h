#pragma once

#include <string>
#include <vector>

#include "headjoint/assess/results.h"

namespace headjoint::cli {

/// Writes record.html and owner.html into a folder, making it when missing.
/// @param made_at  date and time printed on them
/// @returns the paths written
/// @throws EnvironmentError kInputOutput
[[nodiscard]] std::vector<std::string> write_papers(const assess::Assessment& assessment, const std::string& folder,
                                                    const std::string& made_at);

}  // namespace headjoint::cli
