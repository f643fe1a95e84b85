#include <SQLiteCpp/Statement.h>

#include <filesystem>

#include "headjoint/base/document.h"
#include "headjoint/base/error.h"
#include "headjoint/store/internal/connections.h"
#include "headjoint/store/sqlite_store.h"

/// Copies of a whole store, bringing one back, and looking a store over.
namespace headjoint::store {
namespace {

namespace fs = std::filesystem;
using IoKind = EnvironmentError::Kind;

constexpr std::size_t kMostFaults = 20;

std::int64_t number_of(SQLite::Database& base, const std::string& query) { return base.execAndGet(query).getInt64(); }

Contents contents_of(SQLite::Database& base, int schema) {
  Contents all;
  if (schema == 1) {
    all.jobs = number_of(base, "SELECT count(*) FROM job");
    all.revisions = number_of(base, "SELECT count(*) FROM job_revision");
    all.last_change = base.execAndGet("SELECT coalesce(max(changed_at), '') FROM job_revision").getString();
  } else if (schema >= 2) {
    all.jobs = number_of(base, "SELECT count(*) FROM latest WHERE kind = 'job' AND binned_at = ''");
    all.engines = number_of(base, "SELECT count(*) FROM latest WHERE kind = 'engine' AND binned_at = ''");
    all.photos = number_of(base, "SELECT count(*) FROM photo WHERE binned_at = ''");
    all.revisions = number_of(base, "SELECT count(*) FROM revision");
    all.last_change = base.execAndGet("SELECT coalesce(max(changed_at), '') FROM revision").getString();
  }
  return all;
}

/// Every document as it is now, read back.
void check_documents(SQLite::Database& base, int schema, std::vector<std::string>& faults) {
  if (schema < 1) return;
  SQLite::Statement query(base, schema == 1
                                    ? "SELECT job, document, max(revision) FROM job_revision GROUP BY job"
                                    : "SELECT document, content, max(revision) FROM revision WHERE version = revision GROUP BY document");
  while (query.executeStep() && faults.size() < kMostFaults) {
    if (const auto read = read_json(query.getColumn(1).getString(), ""); !read)
      faults.push_back("document " + query.getColumn(0).getString() + " cannot be read back: " + to_string(read.problems().front()));
  }
}

std::vector<std::string> all_faults(SQLite::Database& base, int schema) {
  std::vector<std::string> faults = internal::faults_of(base);
  if (faults.empty()) check_documents(base, schema, faults);
  if (faults.size() > kMostFaults) faults.resize(kMostFaults);
  return faults;
}

template <class Work>
auto in_words(const std::string& path, Work work) {
  try {
    return work();
  } catch (const SQLite::Exception& failure) {
    internal::throw_in_words(path, failure);
  }
}

void require_file(const std::string& path) {
  if (!fs::is_regular_file(path)) throw EnvironmentError(IoKind::kNoSuchFile, path + ": there is no such file");
}

/// "20261125-170400": may stand in the name of a file.
std::string stamp_of(std::chrono::system_clock::time_point time) {
  std::string text = internal::time_text(time);
  std::erase_if(text, [](char c) { return c == '-' || c == ':' || c == 'Z'; });
  text[text.find('T')] = '-';
  return text;
}

std::string free_name(const std::string& wanted) {
  std::string name = wanted;
  for (int i = 2; fs::exists(name); ++i) name = wanted + "-" + std::to_string(i);
  return name;
}

/// The copy as it will stand in the place of the store: sound, ours and of this program's schema, in a file of its own beside it.
std::string prepared(const std::string& copy, const std::string& path, const std::string& now) {
  require_file(copy);
  const std::string fresh = free_name(path + ".incoming");
  try {
    in_words(copy, [&] {
      SQLite::Database source = internal::open_to_check(copy);
      if (internal::schema_of(source) < 1)
        throw EnvironmentError(IoKind::kConfiguration, copy + ": this is no copy of a workbench, it is empty");
      const std::vector<std::string> faults = all_faults(source, internal::schema_of(source));
      if (!faults.empty()) throw EnvironmentError(IoKind::kInputOutput, copy + ": the copy is damaged: " + faults.front());
      internal::copy_base(source, fresh);
      SQLite::Database base(fresh, SQLite::OPEN_READWRITE);
      internal::migrate(base, fresh, now);
      return 0;
    });
  } catch (...) {
    std::error_code ignored;
    fs::remove(fresh, ignored);
    throw;
  }
  std::error_code ignored;
  fs::remove(fresh + ".schema-1", ignored);
  return fresh;
}

/// A log left by a crash is written into its file, unless the file is too damaged for that.
void close_log_of(const std::string& path) {
  try {
    SQLite::Database former(path, SQLite::OPEN_READWRITE);
    former.exec("PRAGMA journal_mode = DELETE");
  } catch (const SQLite::Exception&) {  // NOLINT(bugprone-empty-catch): file and log are kept as they are
  }
}

/// Puts the prepared file in its place. The former one goes beside it, with its log where it still has one.
std::string put_in_place(const std::string& fresh, const std::string& path, const std::string& stamp) {
  std::string kept;
  if (fs::exists(path)) {
    close_log_of(path);
    kept = free_name(path + ".before-restore-" + stamp);
    fs::rename(path, kept);
    if (fs::exists(path + "-wal")) fs::rename(path + "-wal", kept + "-wal");
    fs::remove(path + "-shm");
  }
  fs::rename(fresh, path);
  return kept;
}

void remove_quietly(const std::string& path) {
  std::error_code ignored;
  fs::remove(path, ignored);
}

}  // namespace

void SqliteStore::copy_to(const std::string& path) {
  in_words(path, [&] {
    SQLite::Database source = internal::open_reader(base_->path());
    source.exec("PRAGMA query_only = OFF");
    internal::copy_base(source, path);
    return 0;
  });
}

std::string SqliteStore::restore_from(const std::string& copy) {
  const std::string fresh = prepared(copy, base_->path(), base_->now());
  std::string kept;
  try {
    base_->while_closed([&] {
      const internal::StoreLock alone(base_->path(), internal::StoreLock::Hold::kAlone);
      kept = put_in_place(fresh, base_->path(), stamp_of(base_->clock()()));
    });
  } catch (...) {
    remove_quietly(fresh);
    throw;
  }
  return kept;
}

std::string restore_file(const std::string& copy, const std::string& path, const Clock& clock) {
  internal::refuse_network_file_system(path);
  const internal::StoreLock alone(path, internal::StoreLock::Hold::kAlone);
  const std::string fresh = prepared(copy, path, internal::time_text(clock()));
  try {
    return put_in_place(fresh, path, stamp_of(clock()));
  } catch (...) {
    remove_quietly(fresh);
    throw;
  }
}

Contents SqliteStore::contents() {
  return base_->read([](SQLite::Database& base) { return contents_of(base, kSchemaVersion); });
}

std::vector<std::string> SqliteStore::integrity_problems() {
  return base_->read([](SQLite::Database& base) { return all_faults(base, kSchemaVersion); });
}

bool is_open_elsewhere(const std::string& path) {
  if (!fs::exists(path + ".lock")) return false;
  try {
    const internal::StoreLock alone(path, internal::StoreLock::Hold::kAlone);
    return false;
  } catch (const EnvironmentError& error) {
    return error.kind() == IoKind::kBusy;
  }
}

StoreCheck check_file(const std::string& path) {
  if (!fs::exists(path)) return {};
  return in_words(path, [&] {
    SQLite::Database base = internal::open_to_check(path);
    StoreCheck check;
    check.schema = internal::schema_of(base);
    check.contents = contents_of(base, check.schema);
    check.problems = all_faults(base, check.schema);
    return check;
  });
}

}  // namespace headjoint::store
