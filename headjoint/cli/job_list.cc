#include "headjoint/cli/job_list.h"

#include <algorithm>
#include <filesystem>

#include "headjoint/base/file.h"
#include "headjoint/base/text.h"
#include "headjoint/jobs/job_file.h"

namespace headjoint::cli {
namespace {

namespace fs = std::filesystem;

std::vector<std::string> files_of(const std::string& path) {
  std::error_code none;
  if (!fs::is_directory(path, none)) return {path};
  std::vector<std::string> files;
  for (const fs::directory_entry& entry : fs::directory_iterator(path))
    if (entry.is_regular_file() && (entry.path().extension() == ".toml" || entry.path().extension() == ".json"))
      files.push_back(entry.path().string());
  std::sort(files.begin(), files.end());
  return files;
}

Result<Document> read_alone(const std::string& path) {
  const std::string text = read_file(path);
  auto document = path.ends_with(".json") || trimmed(text).starts_with('{') ? read_json(text, path) : read_toml(text, path);
  if (!document) return document.problems();
  return jobs::inline_engine(std::move(document).value(), joint::beside_file(path));
}

/// A file that holds a list of jobs brings all of them.
void add_jobs(const std::string& path, Document document, Array& jobs) {
  const Document* list = document.find("jobs");
  if (list == nullptr || !list->is_array()) {
    jobs.emplace_back(Table{{"source", path}, {"document", std::move(document)}});
    return;
  }
  for (const Document& one : list->array()) jobs.push_back(one);
}

}  // namespace

Result<Document> read_job_list(const std::vector<std::string>& paths) {
  Array jobs;
  Problems problems;
  for (const std::string& path : paths) {
    const std::vector<std::string> files = files_of(path);
    const bool is_named = files.size() == 1 && files.front() == path;
    for (const std::string& file : files) {
      auto document = read_alone(file);
      if (document) {
        add_jobs(file, std::move(document).value(), jobs);
        continue;
      }
      for (Problem problem : document.problems()) {
        if (!is_named) problem.severity = Problem::Severity::kWarning;
        problems.push_back(std::move(problem));
      }
    }
  }
  if (has_errors(problems)) return problems;
  Document list;
  list.set("jobs", std::move(jobs));
  return Result<Document>(std::move(list), std::move(problems));
}

}  // namespace headjoint::cli
