#pragma once

#include <string>
#include <vector>

#include "headjoint/assess/operation.h"

namespace headjoint::cli {

/// Writes record.html and owner.html into a folder, making it when missing.
/// @param made_at  date and time printed on them
/// @returns the paths written
/// @throws EnvironmentError kInputOutput
[[nodiscard]] std::vector<std::string> write_papers(const assess::Assessment& assessment, const std::string& folder,
                                                    const std::string& made_at);

/// Writes the drawings of an answer into a folder as NAME.svg, making the folder when missing.
/// @returns the paths written
/// @throws EnvironmentError kInputOutput
[[nodiscard]] std::vector<std::string> write_pictures(const assess::Reply& reply, const std::string& folder);

}  // namespace headjoint::cli
