#include "headjoint/cli/shop_store.h"

#include <cstdlib>

#include "headjoint/base/error.h"

namespace headjoint::cli {

namespace fs = std::filesystem;

fs::path data_folder(const std::string& named) {
  if (!named.empty()) return named;
  if (const char* home = std::getenv("XDG_DATA_HOME"); home != nullptr && *home == '/') return fs::path(home) / "headjoint";
  if (const char* home = std::getenv("HOME"); home != nullptr && *home == '/') return fs::path(home) / ".local/share/headjoint";
  throw EnvironmentError(EnvironmentError::Kind::kConfiguration, "no home folder for the jobs: name one with --data");
}

std::string store_file(const fs::path& folder) { return (folder / "jobs.sqlite").string(); }

Document contents_document(const store::Contents& contents) {
  return Table{{"jobs", contents.jobs},
               {"engines", contents.engines},
               {"photos", contents.photos},
               {"revisions", contents.revisions},
               {"last_change", contents.last_change}};
}

std::int64_t store_bytes(const fs::path& folder) {
  std::int64_t bytes = 0;
  for (const char* ending : {"", "-wal"}) {
    std::error_code error;
    const auto size = fs::file_size(store_file(folder) + ending, error);
    if (!error) bytes += static_cast<std::int64_t>(size);
  }
  return bytes;
}

std::int64_t free_bytes(const fs::path& folder) {
  std::error_code error;
  fs::path place = folder;
  while (!fs::exists(place, error) && place.has_relative_path()) place = place.parent_path();
  const fs::space_info space = fs::space(place, error);
  return error ? -1 : static_cast<std::int64_t>(space.available);
}

}  // namespace headjoint::cli
