#include "headjoint/cli/doctor.h"

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <filesystem>
#include <ostream>
#include <vector>

#include "headjoint/assess/knowledge.h"
#include "headjoint/assess/operation.h"
#include "headjoint/base/error.h"
#include "headjoint/cli/command_line.h"
#include "headjoint/cli/shop_store.h"
#include "headjoint/server/http.h"
#include "headjoint/store/sqlite_store.h"

namespace headjoint::cli {
namespace {

namespace fs = std::filesystem;

constexpr std::int64_t kMegabyte = 1'000'000;
constexpr std::int64_t kLeastSpace = 50 * kMegabyte;
constexpr std::int64_t kScarceSpace = 500 * kMegabyte;
constexpr int kFirstYear = 2026;  // of this program
constexpr int kLastYear = 2100;

/// One thing looked at.
struct Finding {
  std::string what;
  std::string said;
  std::string mend;  ///< empty when all is well
  int code = kDone;  ///< kDone also for what is only worth knowing
};

Finding look_at_program() {
  (void)assess::head_joint_pattern();  // a fault of the shipped knowledge would show here
  return {"program",
          fmt::format("headjoint {}, {} operations, {} shipped files", assess::program_version(), assess::operations().size(),
                      assess::shipped_files("").size()),
          {}};
}

Finding look_at_page(std::span<const EmbeddedFile> page) {
  const bool has_page =
      std::any_of(page.begin(), page.end(), [](const EmbeddedFile& file) { return file.path == std::string_view("index.html"); });
  if (!has_page)
    return {"page", "the page is not in this program; operations work, the workbench in the browser does not",
            "build the page first (web/), then the program; ./run does both", kConfiguration};
  return {"page", fmt::format("{} files in the program", page.size()), {}};
}

Finding look_at_folder(const fs::path& folder) {
  fs::path place = folder;
  std::error_code error;
  while (!fs::exists(place, error) && place.has_relative_path()) place = place.parent_path();
  if (!fs::is_directory(place, error))
    return {"folder", folder.string() + ": " + place.string() + " is no folder", "name another one with --data", kConfiguration};
  if (::access(place.c_str(), W_OK | X_OK) != 0)
    return {"folder", folder.string() + " may not be written by this user", "change its owner, or name another one with --data",
            kConfiguration};
  return {"folder", folder.string() + (place == folder ? "" : " (will be made)"), {}};
}

std::string contents_text(const store::Contents& contents) {
  return fmt::format("{} jobs, {} engines, {} photographs, {} revisions", contents.jobs, contents.engines, contents.photos,
                     contents.revisions);
}

std::vector<Finding> look_at_store(const std::string& path) {
  const char* const kMend = "restore the last good copy: headjoint restore FILE; the damaged file is kept beside it";
  try {
    const store::StoreCheck check = store::check_file(path);
    if (check.schema == 0) return {{"store", "nothing is kept here yet; it is made at the first start", {}}};
    std::vector<Finding> found;
    for (const std::string& problem : check.problems) found.push_back({"store", problem, kMend, kUnavailable});
    if (found.empty()) found.push_back({"store", contents_text(check.contents) + "; every page and document reads", {}});
    if (check.schema < store::kSchemaVersion)
      found.push_back({"store",
                       fmt::format("of an older program (schema {}); the next start brings it up to date and keeps a copy", check.schema),
                       {}});
    return found;
  } catch (const EnvironmentError& error) {
    const bool is_configuration = error.kind() == EnvironmentError::Kind::kConfiguration;
    return {{"store", error.what(), is_configuration ? "use the program that wrote it, or name another folder with --data" : kMend,
             is_configuration ? kConfiguration : kUnavailable}};
  }
}

Finding look_at_disk(const fs::path& folder) {
  const std::int64_t left = free_bytes(folder);
  if (left < 0) return {"disk", "the space left cannot be told", {}};
  const std::string said = fmt::format("{} MB left", left / kMegabyte);
  if (left < kLeastSpace) return {"disk", said + ", too little to keep working", "make room on this disk", kUnavailable};
  return {"disk", said + (left < kScarceSpace ? "; that is getting scarce" : ""), {}};
}

/// @param last_change  "2026-11-24T09:30:00Z", or empty
Finding look_at_clock(const std::string& last_change) {
  const auto now = std::chrono::system_clock::now();
  const std::chrono::year_month_day day(std::chrono::floor<std::chrono::days>(now));
  const std::chrono::year_month_day tomorrow(std::chrono::floor<std::chrono::days>(now) + std::chrono::days(1));
  const auto text = [](const std::chrono::year_month_day& date) {
    return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(date.year()), static_cast<unsigned>(date.month()),
                       static_cast<unsigned>(date.day()));
  };
  const int year = static_cast<int>(day.year());
  if (year < kFirstYear || year > kLastYear)
    return {"clock", "this computer believes it is " + text(day), "set its date: jobs are stamped with it", kConfiguration};
  if (last_change.substr(0, 10) > text(tomorrow))
    return {"clock", "it is " + text(day) + " here, but the last change was made on " + last_change.substr(0, 10),
            "set this computer's date: one of the two is wrong", kConfiguration};
  return {"clock", text(day) + " (UTC)", {}};
}

Finding look_at_port(int port, const std::string& store) {
  server::HttpOptions options;
  options.port = static_cast<std::uint16_t>(port);
  try {
    const server::HttpServer probe(options, [](const server::Request&, const server::Respond&) {});
    return {"port", fmt::format("{} is free", port), {}};
  } catch (const EnvironmentError& error) {
    if (store::is_open_elsewhere(store)) return {"port", fmt::format("{} is taken: a workbench is open on this folder", port), {}};
    return {"port", error.what(), "end the other program, or use headjoint serve --port 0", kUnavailable};
  }
}

Document document_of(const Finding& finding) {
  return Table{{"what", finding.what}, {"said", finding.said}, {"mend", finding.mend}, {"ok", finding.code == kDone}};
}

void show(const std::vector<Finding>& findings, std::ostream& out) {
  std::size_t problems = 0;
  for (const Finding& finding : findings) {
    const bool is_well = finding.code == kDone;
    problems += is_well ? 0 : 1;
    out << fmt::format("{:<9}{:<9}{}\n", is_well ? "ok" : "PROBLEM", finding.what, finding.said);
    if (!is_well) out << fmt::format("{:18}-> {}\n", "", finding.mend);
  }
  if (problems == 0)
    out << "Everything is in order.\n";
  else
    out << problems << (problems == 1 ? " problem.\n" : " problems.\n");
}

}  // namespace

int doctor(const DoctorOptions& options, std::span<const EmbeddedFile> page, std::ostream& out) {
  const fs::path folder = data_folder(options.data_folder);
  const std::string store = store_file(folder);
  std::vector<Finding> findings{look_at_program(), look_at_page(page), look_at_folder(folder)};
  const std::vector<Finding> kept = look_at_store(store);
  findings.insert(findings.end(), kept.begin(), kept.end());
  findings.push_back(look_at_disk(folder));
  const bool reads = std::all_of(kept.begin(), kept.end(), [](const Finding& finding) { return finding.code == kDone; });
  findings.push_back(look_at_clock(reads ? store::check_file(store).contents.last_change : std::string()));
  findings.push_back(look_at_port(options.port, store));

  int code = kDone;
  for (const Finding& finding : findings) code = std::max(code, finding.code);
  if (options.json) {
    Array rows;
    for (const Finding& finding : findings) rows.push_back(document_of(finding));
    out << write_json(Table{{"schema_version", 1}, {"ok", code == kDone}, {"findings", std::move(rows)}}) << "\n";
  } else {
    show(findings, out);
  }
  return code;
}

}  // namespace headjoint::cli
