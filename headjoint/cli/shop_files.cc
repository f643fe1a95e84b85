#include "headjoint/cli/shop_files.h"

#include <fmt/format.h>

#include <filesystem>
#include <ostream>

#include "headjoint/assess/engine_input.h"
#include "headjoint/base/error.h"
#include "headjoint/base/file.h"
#include "headjoint/base/text.h"
#include "headjoint/cli/command_line.h"
#include "headjoint/cli/shop_store.h"
#include "headjoint/cli/wall_clock.h"
#include "headjoint/jobs/job_file.h"
#include "headjoint/jobs/kept_file.h"

namespace headjoint::cli {
namespace {

namespace fs = std::filesystem;
using jobs::DocumentStore;
using Kind = DocumentStore::Kind;

constexpr std::size_t kPage = 500;

/// The store of that folder, which must be there.
store::SqliteStore open_store(const ShopFileOptions& options) {
  const fs::path folder = data_folder(options.data_folder);
  if (!fs::exists(store_file(folder)))
    throw EnvironmentError(EnvironmentError::Kind::kNoSuchFile,
                           folder.string() + ": no workbench keeps its jobs here; name its folder with --data");
  return store::SqliteStore(store_file(folder));
}

std::string contents_text(const store::Contents& contents) {
  return fmt::format("{} jobs, {} engines, {} photographs", contents.jobs, contents.engines, contents.photos);
}

void show(const Document& answer, const std::string& words, const ShopFileOptions& options, std::ostream& out) {
  out << (options.json ? write_json(answer) : words) << "\n";
}

struct Found {
  Kind kind;
  std::string id;
  std::string name;  ///< number of the job, name of the engine
};

std::string text_at(const Document& document, const char* key) {
  const Document* node = document.find(key);
  return node != nullptr && node->is_text() ? node->text() : std::string();
}

/// Everything that is kept and does not lie in the bin.
std::vector<Found> all_of(DocumentStore& store) {
  std::vector<Found> all;
  for (const Kind kind : {Kind::kJob, Kind::kEngine}) {
    DocumentStore::Search search{.limit = kPage};
    do {
      const DocumentStore::Page page = store.list(kind, search);
      for (const DocumentStore::Row& row : page.rows) {
        const Result<Document> shown = read_json(row.shown, row.id);
        all.push_back({kind, row.id, shown ? text_at(*shown, kind == Kind::kJob ? "number" : "name") : std::string()});
      }
      search.after = page.next;
    } while (!search.after.empty());
  }
  return all;
}

Result<std::vector<Found>> chosen_of(const std::vector<Found>& all, const std::vector<std::string>& what) {
  std::vector<Found> chosen;
  Problems problems;
  for (const std::string& word : what) {
    const std::size_t before = chosen.size();
    for (const Found& found : all) {
      if (word == "all" || found.id == word || (!found.name.empty() && jobs::folded(found.name) == jobs::folded(word)))
        chosen.push_back(found);
    }
    if (chosen.size() == before)
      problems.push_back({{word, 0, 0, {}}, "no job has this id or number, and no engine this id or name", "all, or one that is kept", {}});
  }
  if (!problems.empty()) return problems;
  return chosen;
}

Document written_list(const std::vector<std::string>& files) {
  Array list(files.begin(), files.end());
  return Table{{"schema_version", 1}, {"files", std::move(list)}};
}

std::string free_path(const fs::path& folder, const std::string& name) {
  fs::path path = folder / name;
  const fs::path wanted = path;
  for (int i = 2; fs::exists(path); ++i) path = folder / (wanted.stem().string() + "-" + std::to_string(i) + wanted.extension().string());
  return path.string();
}

/// A file as it is to be kept: with everything that stands beside it brought inside.
Result<Document> read_whole(const std::string& path) {
  const std::string text = read_file(path);
  const bool is_json = path.ends_with(".json") || trimmed(text).starts_with('{');
  Result<Document> document = is_json ? read_json(text, path) : read_toml(text, path);
  if (!document) return document;
  if (!document->is_table()) return Problem{{path, 0, 0, {}}, "the file is " + document->kind_text(), "a job or an engine", {}};
  if (assess::looks_like_engine(*document)) return joint::with_lists_inside(std::move(document).value(), joint::beside_file(path));
  return jobs::inline_engine(std::move(document).value(), joint::beside_file(path));
}

}  // namespace

int backup(const std::string& path, const ShopFileOptions& options, std::ostream& out) {
  store::SqliteStore store = open_store(options);
  std::string file = path;
  if (fs::is_directory(path)) file = free_path(path, "headjoint-" + local_time_text().substr(0, 10) + ".hjshop");
  store.copy_to(file);
  const store::Contents contents = store.contents();
  Document answer = contents_document(contents);
  answer.set("schema_version", 1).set("file", file).set("bytes", static_cast<std::int64_t>(fs::file_size(file)));
  show(answer, "written: " + file + " (" + contents_text(contents) + "); keep it on another disk", options, out);
  return kDone;
}

int restore(const std::string& path, const ShopFileOptions& options, std::ostream& out) {
  const fs::path folder = data_folder(options.data_folder);
  std::error_code error;
  fs::create_directories(folder, error);
  if (error) throw EnvironmentError(EnvironmentError::Kind::kInputOutput, folder.string() + ": " + error.message());
  const std::string kept = store::restore_file(path, store_file(folder));
  const store::Contents contents = store::check_file(store_file(folder)).contents;
  Document answer = contents_document(contents);
  answer.set("schema_version", 1).set("kept_beside", kept);
  show(answer, "restored: " + contents_text(contents) + (kept.empty() ? std::string() : "\nWhat was here before is kept in " + kept),
       options, out);
  return kDone;
}

Result<int> export_files(const std::vector<std::string>& what, const std::string& folder, const std::string& format,
                         const ShopFileOptions& options, std::ostream& out) {
  store::SqliteStore store = open_store(options);
  const Result<std::vector<Found>> chosen = chosen_of(all_of(store), what);
  if (!chosen) return chosen.problems();
  if (folder == "-" && chosen->size() != 1)
    return Problem{{"-", 0, 0, {}}, fmt::format("{} documents cannot go to one output", chosen->size()), "a folder with -o", {}};
  std::error_code error;
  if (folder != "-") fs::create_directories(folder, error);
  if (error) throw EnvironmentError(EnvironmentError::Kind::kInputOutput, folder + ": " + error.message());
  std::vector<std::string> written;
  for (const Found& found : *chosen) {
    const std::optional<DocumentStore::Stored> stored = store.get(found.kind, found.id);
    if (!stored) continue;
    const std::string text = jobs::kept_file_text(stored->document(), format);
    if (folder == "-") {
      out << text;
      return int{kDone};
    }
    const std::string noun = found.kind == Kind::kJob ? "job" : "engine";
    written.push_back(free_path(folder, jobs::kept_file_name(noun, found.name.empty() ? found.id : found.name, format)));
    write_file(written.back(), text);
  }
  std::string words;
  for (const std::string& file : written) words += (words.empty() ? "written: " : "\nwritten: ") + file;
  show(written_list(written), words, options, out);
  return int{kDone};
}

Result<int> import_files(const std::vector<std::string>& paths, const ShopFileOptions& options, std::ostream& out) {
  std::vector<Document> documents;
  Problems problems;
  for (const std::string& path : paths) {
    Result<Document> document = read_whole(path);
    if (document) {
      documents.push_back(std::move(document).value());
    } else {
      problems.insert(problems.end(), document.problems().begin(), document.problems().end());
    }
  }
  if (!problems.empty()) return problems;
  const fs::path folder = data_folder(options.data_folder);
  std::error_code error;
  fs::create_directories(folder, error);
  store::SqliteStore store(store_file(folder));
  Array rows;
  std::string words;
  for (std::size_t i = 0; i < documents.size(); ++i) {
    const Kind kind = assess::looks_like_engine(documents[i]) ? Kind::kEngine : Kind::kJob;
    const std::string id = store.create(kind, documents[i], {.note = "from the file " + paths[i]}).id;
    const char* const noun = kind == Kind::kJob ? "job" : "engine";
    rows.emplace_back(Table{{"kind", noun}, {"id", id}, {"file", paths[i]}});
    words += fmt::format("{}kept: {} {} from {}", words.empty() ? "" : "\n", noun, id, paths[i]);
  }
  show(Table{{"schema_version", 1}, {"kept", std::move(rows)}}, words, options, out);
  return int{kDone};
}

}  // namespace headjoint::cli
