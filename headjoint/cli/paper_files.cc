#include "headjoint/cli/paper_files.h"

#include <filesystem>

#include "headjoint/base/error.h"
#include "headjoint/base/file.h"
#include "headjoint/report/owner_sheet.h"
#include "headjoint/report/record.h"

namespace headjoint::cli {

std::vector<std::string> write_papers(const assess::Assessment& assessment, const std::string& folder, const std::string& made_at) {
  std::error_code error;
  std::filesystem::create_directories(folder, error);
  if (error) throw EnvironmentError(EnvironmentError::Kind::kInputOutput, folder + ": " + error.message());
  std::vector<std::string> written;
  const auto write = [&](const char* name, const std::string& page) {
    written.push_back((std::filesystem::path(folder) / name).string());
    write_file(written.back(), page);
  };
  write("record.html", report::record_html(assessment, {.date = made_at}));
  write("owner.html", report::owner_sheet_html(assessment, {.date = made_at}));
  return written;
}

}  // namespace headjoint::cli
