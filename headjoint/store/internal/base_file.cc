#include "headjoint/store/internal/base_file.h"

#include <SQLiteCpp/Statement.h>
#include <SQLiteCpp/Transaction.h>
#include <sqlite3.h>
#include <sys/vfs.h>

#include <array>
#include <chrono>
#include <filesystem>
#include <string_view>
#include <thread>

#include "headjoint/base/error.h"
#include "headjoint/base/file.h"
#include "headjoint/store/internal/document_rows.h"
#include "headjoint/store/sqlite_store.h"

namespace headjoint::store::internal {
namespace {

namespace fs = std::filesystem;
using Kind = EnvironmentError::Kind;

constexpr int kBusyMilliseconds = 5000;
constexpr int kApplicationId = 0x484a4e54;  // "HJNT"

/// One step of the schema. A step that was released is never edited: a change is a further step.
struct Migration {
  int version;
  const char* name;
  const char* sql;
  void (*after)(SQLite::Database&) = nullptr;  ///< what SQL alone cannot do
};

constexpr const char* kSecondStep = R"sql(
  CREATE TABLE document (
    id TEXT PRIMARY KEY,
    kind TEXT NOT NULL CHECK (kind IN ('job', 'engine', 'shop')),
    created_at TEXT NOT NULL
  ) STRICT;
  -- A revision holds content of its own (version = revision), or shows that of an earlier version. A version knows its parent.
  CREATE TABLE revision (
    sequence INTEGER PRIMARY KEY,
    document TEXT NOT NULL REFERENCES document (id),
    revision INTEGER NOT NULL CHECK (revision >= 1),
    changed_at TEXT NOT NULL,
    who TEXT NOT NULL,
    note TEXT NOT NULL,
    act TEXT NOT NULL CHECK (act IN ('opened', 'saved', 'undone', 'redone', 'reverted', 'binned', 'restored')),
    version INTEGER NOT NULL CHECK (version BETWEEN 1 AND revision),
    parent INTEGER NOT NULL CHECK (parent >= 0 AND parent < revision),
    save_id TEXT NOT NULL,
    content TEXT CHECK ((content IS NOT NULL) = (version = revision) AND content <> ''),
    UNIQUE (document, revision)
  ) STRICT;
  CREATE UNIQUE INDEX revision_by_save_id ON revision (save_id) WHERE save_id <> '';
  CREATE TRIGGER revision_is_never_changed BEFORE UPDATE ON revision
    BEGIN SELECT RAISE(ABORT, 'a revision is never changed'); END;
  CREATE TRIGGER revision_is_never_removed BEFORE DELETE ON revision
    BEGIN SELECT RAISE(ABORT, 'a revision is never removed'); END;
  -- What a list shows; made from the revisions.
  CREATE TABLE latest (
    document TEXT PRIMARY KEY REFERENCES document (id),
    kind TEXT NOT NULL,
    sequence INTEGER NOT NULL REFERENCES revision (sequence),
    binned_at TEXT NOT NULL,
    shown TEXT NOT NULL,
    words TEXT NOT NULL
  ) STRICT;
  CREATE INDEX latest_by_kind ON latest (kind, sequence);
  CREATE TABLE photo (
    id TEXT PRIMARY KEY,
    document TEXT NOT NULL REFERENCES document (id),
    added_at TEXT NOT NULL,
    who TEXT NOT NULL,
    caption TEXT NOT NULL,
    type TEXT NOT NULL,
    width INTEGER NOT NULL,
    height INTEGER NOT NULL,
    binned_at TEXT NOT NULL,
    save_id TEXT NOT NULL,
    bytes BLOB NOT NULL
  ) STRICT;
  CREATE INDEX photo_by_document ON photo (document, id);
  CREATE UNIQUE INDEX photo_by_save_id ON photo (save_id) WHERE save_id <> '';
  CREATE TRIGGER photo_is_never_removed BEFORE DELETE ON photo
    BEGIN SELECT RAISE(ABORT, 'a photograph is never removed'); END;

  INSERT INTO document SELECT id, 'job', created_at FROM job;
  INSERT INTO revision SELECT sequence, job, revision, changed_at, '', note, CASE revision WHEN 1 THEN 'opened' ELSE 'saved' END,
    revision, revision - 1, '', document FROM job_revision;
  DROP TRIGGER job_revision_is_never_changed;
  DROP TRIGGER job_revision_is_never_removed;
  DROP TABLE job_revision;
  DROP TABLE job;
)sql";

constexpr std::array kMigrations{Migration{1, "jobs and their revisions", R"sql(
  CREATE TABLE schema_migration (
    version INTEGER PRIMARY KEY,
    name TEXT NOT NULL,
    applied_at TEXT NOT NULL
  ) STRICT;
  CREATE TABLE job (
    id TEXT PRIMARY KEY,
    created_at TEXT NOT NULL
  ) STRICT;
  CREATE TABLE job_revision (
    sequence INTEGER PRIMARY KEY,
    job TEXT NOT NULL REFERENCES job (id),
    revision INTEGER NOT NULL CHECK (revision >= 1),
    changed_at TEXT NOT NULL,
    note TEXT NOT NULL,
    number TEXT NOT NULL,
    title TEXT NOT NULL,
    engine_name TEXT NOT NULL,
    document TEXT NOT NULL CHECK (document <> ''),
    UNIQUE (job, revision)
  ) STRICT;
  CREATE TRIGGER job_revision_is_never_changed BEFORE UPDATE ON job_revision
    BEGIN SELECT RAISE(ABORT, 'a revision is never changed'); END;
  CREATE TRIGGER job_revision_is_never_removed BEFORE DELETE ON job_revision
    BEGIN SELECT RAISE(ABORT, 'a revision is never removed'); END;
)sql",
                                           nullptr},
                                 Migration{2, "engines, shop documents, photographs, undo, the bin", kSecondStep, rebuild_latest}};
static_assert(kMigrations.back().version == kSchemaVersion);

/// Magic numbers of statfs(2) for file systems that live on another machine, where the log's shared memory does not work.
constexpr std::array<unsigned, 5> kNetworkFileSystems{0x6969, 0x517B, 0xFF534D42, 0xFE534D42, 0x01021997};

}  // namespace

void refuse_network_file_system(const std::string& path) {
  const fs::path folder = fs::absolute(path).parent_path();
  struct statfs system {};
  if (::statfs(folder.c_str(), &system) != 0) {
    throw EnvironmentError(Kind::kNoSuchFile, path + ": there is no folder " + folder.string());
  }
  for (const unsigned magic : kNetworkFileSystems) {
    if (static_cast<unsigned>(system.f_type) == magic) {
      throw EnvironmentError(Kind::kConfiguration, path + ": this folder is on a network file system, where jobs cannot be kept safely; " +
                                                       "choose a folder on a disk of this machine");
    }
  }
}

namespace {

int number_of(SQLite::Database& base, const char* query) { return base.execAndGet(query).getInt(); }

/// Refuses files of other programs and of newer versions of this one.
void require_ours(SQLite::Database& base, const std::string& path) {
  const int version = number_of(base, "PRAGMA user_version");
  const bool is_fresh = version == 0 && number_of(base, "SELECT count(*) FROM sqlite_schema") == 0;
  if (is_fresh) return;
  if (number_of(base, "PRAGMA application_id") != kApplicationId) {
    throw EnvironmentError(Kind::kConfiguration, path + ": this database belongs to another program; choose another file for the jobs");
  }
  if (version > kSchemaVersion) {
    throw EnvironmentError(Kind::kConfiguration, path + ": written by a newer headjoint (schema " + std::to_string(version) +
                                                     ", this program knows " + std::to_string(kSchemaVersion) +
                                                     "); install the newer program, nothing was changed");
  }
}

/// Changing the journal does not wait for other programs by itself.
std::string switch_to_log(SQLite::Database& base) {
  for (int waited = 0;; waited += 50) {
    try {
      return base.execAndGet("PRAGMA journal_mode = WAL").getString();
    } catch (const SQLite::Exception& failure) {
      if (failure.getErrorCode() != SQLITE_BUSY || waited >= kBusyMilliseconds) throw;
    }
    std::this_thread::sleep_for(std::chrono::milliseconds(50));
  }
}

void set_up_connection(SQLite::Database& base) {
  sqlite3_db_config(base.getHandle(), SQLITE_DBCONFIG_DEFENSIVE, 1, nullptr);
  sqlite3_db_config(base.getHandle(), SQLITE_DBCONFIG_DQS_DML, 0, nullptr);
  sqlite3_db_config(base.getHandle(), SQLITE_DBCONFIG_DQS_DDL, 0, nullptr);
  base.exec("PRAGMA foreign_keys = ON; PRAGMA synchronous = FULL; PRAGMA trusted_schema = OFF; PRAGMA cell_size_check = ON;");
}

bool was_left_open(const std::string& path) {
  std::error_code none;
  const auto size = fs::file_size(path + "-wal", none);
  return !none && size > 0;
}

}  // namespace

SQLite::Database open_base(const std::string& path) {
  const bool needs_check = was_left_open(path);
  SQLite::Database base(path, SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE, kBusyMilliseconds);
  require_ours(base, path);
  set_up_connection(base);
  if (switch_to_log(base) != "wal") {
    throw EnvironmentError(Kind::kConfiguration, path + ": the file system of this folder cannot hold the database's log; " +
                                                     "choose a folder on a disk of this machine");
  }
  if (needs_check) {
    const std::string said = base.execAndGet("PRAGMA quick_check(1)").getString();
    if (said != "ok") throw EnvironmentError(Kind::kInputOutput, path + ": the database is damaged: " + said);
  }
  return base;
}

SQLite::Database open_reader(const std::string& path) {
  SQLite::Database reader(path, SQLite::OPEN_READWRITE, kBusyMilliseconds);
  set_up_connection(reader);
  reader.exec("PRAGMA query_only = ON");
  return reader;
}

SQLite::Database open_to_check(const std::string& path) {
  SQLite::Database base(path, SQLite::OPEN_READONLY, kBusyMilliseconds);
  require_ours(base, path);
  set_up_connection(base);
  return base;
}

int schema_of(SQLite::Database& base) { return number_of(base, "PRAGMA user_version"); }

void migrate(SQLite::Database& base, const std::string& path, const std::string& now) {
  const int from = schema_of(base);
  const std::string copy = path + ".schema-" + std::to_string(from);
  if (from > 0 && from < kSchemaVersion && !fs::exists(copy)) copy_base(base, copy);
  for (const Migration& step : kMigrations) {
    if (number_of(base, "PRAGMA user_version") >= step.version) continue;
    SQLite::Transaction transaction(base, SQLite::TransactionBehavior::IMMEDIATE);
    if (number_of(base, "PRAGMA user_version") >= step.version) continue;  // another program was quicker
    base.exec(step.sql);
    if (step.after != nullptr) step.after(base);
    SQLite::Statement row(base, "INSERT INTO schema_migration (version, name, applied_at) VALUES (?, ?, ?)");
    row.bind(1, step.version);
    row.bind(2, step.name);
    row.bind(3, now);
    row.exec();
    base.exec("PRAGMA application_id = " + std::to_string(kApplicationId) + "; PRAGMA user_version = " + std::to_string(step.version));
    transaction.commit();
  }
}

void copy_base(SQLite::Database& base, const std::string& path) {
  if (fs::exists(path)) throw EnvironmentError(Kind::kInputOutput, path + ": is there already; choose another name");
  const std::string unfinished = path + ".part";
  write_file(unfinished, "");
  fs::permissions(unfinished, fs::perms::owner_read | fs::perms::owner_write);
  try {
    SQLite::Statement copy(base, "VACUUM INTO ?");
    copy.bind(1, unfinished);
    copy.exec();
    SQLite::Database made(unfinished, SQLite::OPEN_READONLY);
    const std::vector<std::string> faults = faults_of(made);
    if (!faults.empty()) throw EnvironmentError(Kind::kInputOutput, path + ": the copy is not sound: " + faults.front());
    fs::rename(unfinished, path);
  } catch (...) {
    std::error_code ignored;
    fs::remove(unfinished, ignored);
    throw;
  }
}

std::vector<std::string> faults_of(SQLite::Database& base) {
  std::vector<std::string> all;
  SQLite::Statement check(base, "PRAGMA integrity_check");
  while (check.executeStep()) {
    if (const std::string said = check.getColumn(0).getString(); said != "ok") all.push_back(said);
  }
  SQLite::Statement keys(base, "PRAGMA foreign_key_check");
  while (keys.executeStep())
    all.push_back("a row of " + keys.getColumn(0).getString() + " belongs to nothing, row " + std::to_string(keys.getColumn(1).getInt64()));
  return all;
}

void throw_in_words(const std::string& path, const SQLite::Exception& failure) {
  const std::string said = std::string(" (") + failure.what() + ")";
  switch (failure.getExtendedErrorCode()) {
    case SQLITE_IOERR_SHMOPEN:
    case SQLITE_IOERR_SHMMAP:
    case SQLITE_IOERR_SHMLOCK:
    case SQLITE_IOERR_SHMSIZE:
      throw EnvironmentError(Kind::kConfiguration,
                             path + ": the folder does not allow the database's shared memory; is it on a network?" + said);
    default:
      break;
  }
  switch (failure.getErrorCode()) {
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
      throw EnvironmentError(Kind::kBusy, path + ": another program is using the jobs; try again in a moment" + said);
    case SQLITE_FULL:
      throw EnvironmentError(Kind::kInputOutput, path + ": the disk is full; nothing of this change was kept" + said);
    case SQLITE_CORRUPT:
    case SQLITE_NOTADB:
      throw EnvironmentError(Kind::kInputOutput, path + ": not a database, or damaged; bring back a copy of it" + said);
    case SQLITE_CANTOPEN:
      throw EnvironmentError(Kind::kInputOutput, path + ": cannot be opened or made" + said);
    case SQLITE_READONLY:
    case SQLITE_PERM:
      throw EnvironmentError(Kind::kInputOutput, path + ": may not be written by this user" + said);
    case SQLITE_PROTOCOL:
      throw EnvironmentError(Kind::kConfiguration, path + ": locks do not work here; is the folder on a network?" + said);
    case SQLITE_NOMEM:
      throw EnvironmentError(Kind::kUnavailable, path + ": not enough memory" + said);
    default:
      throw EnvironmentError(Kind::kInputOutput, path + said);
  }
}

}  // namespace headjoint::store::internal
