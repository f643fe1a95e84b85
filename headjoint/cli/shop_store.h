#pragma once

#include <cstdint>
#include <filesystem>
#include <string>

#include "headjoint/base/document.h"
#include "headjoint/store/sqlite_store.h"

namespace headjoint::cli {

/// The folder of jobs: as named, else headjoint in the user's data folder.
/// @throws EnvironmentError kConfiguration when there is none
[[nodiscard]] std::filesystem::path data_folder(const std::string& named);

/// The file of the store in its folder.
[[nodiscard]] std::string store_file(const std::filesystem::path& folder);

/// Number of what a store holds, for answers.
[[nodiscard]] Document contents_document(const store::Contents& contents);

/// Size of the store with its log, in bytes.
[[nodiscard]] std::int64_t store_bytes(const std::filesystem::path& folder);

/// Space left on the disk of that folder, in bytes; -1 when it cannot be told.
[[nodiscard]] std::int64_t free_bytes(const std::filesystem::path& folder);

}  // namespace headjoint::cli
