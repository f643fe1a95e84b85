#pragma once

#include <string>
#include <vector>

#include "headjoint/base/document.h"
#include "headjoint/base/result.h"

namespace headjoint::cli {

/// Job files and folders of job files as one document: {"jobs": [{"source", "document"}]}, every job with its engine inside.
///
/// Of a folder its .toml and .json files are taken, in the order of their names, without the folders inside; one of them that does not
/// read becomes a warning. A file that was named must read.
/// @throws EnvironmentError for a path that is not there
[[nodiscard]] Result<Document> read_job_list(const std::vector<std::string>& paths);

}  // namespace headjoint::cli
