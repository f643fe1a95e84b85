#pragma once

#include <iosfwd>
#include <string>
#include <vector>

#include "headjoint/base/result.h"

namespace headjoint::cli {

struct ShopFileOptions {
  std::string data_folder;  ///< "" = as `serve`
  bool json = false;
};

/// A copy of everything the workbench keeps, while it runs or not. A folder gets a file named by the date.
/// @returns an exit code; @throws EnvironmentError
[[nodiscard]] int backup(const std::string& path, const ShopFileOptions& options, std::ostream& out);

/// A copy in the place of everything; what was there is kept beside it. The workbench must not be running.
[[nodiscard]] int restore(const std::string& path, const ShopFileOptions& options, std::ostream& out);

/// Jobs and engines as files.
/// @param what    ids, job numbers, names of engines, or "all"
/// @param folder  made when missing; "-" writes a single one to `out`
/// @returns what was not found, as problems, before anything is written
[[nodiscard]] Result<int> export_files(const std::vector<std::string>& what, const std::string& folder, const std::string& format,
                                       const ShopFileOptions& options, std::ostream& out);

/// Job and engine files as new documents.
/// @returns every problem of every file that cannot be read, before anything is kept
[[nodiscard]] Result<int> import_files(const std::vector<std::string>& paths, const ShopFileOptions& options, std::ostream& out);

}  // namespace headjoint::cli
