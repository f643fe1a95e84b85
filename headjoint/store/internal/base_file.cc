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
#include "headjoint/store/sqlite_job_store.h"

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
};

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
)sql"}};
static_assert(kMigrations.back().version == kSchemaVersion);

/// Magic numbers of statfs(2) for file systems that live on another machine, where the log's shared memory does not work.
constexpr std::array<unsigned, 5> kNetworkFileSystems{0x6969, 0x517B, 0xFF534D42, 0xFE534D42, 0x01021997};

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
  refuse_network_file_system(path);
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

void migrate(SQLite::Database& base, const std::string& now) {
  for (const Migration& step : kMigrations) {
    if (number_of(base, "PRAGMA user_version") >= step.version) continue;
    SQLite::Transaction transaction(base, SQLite::TransactionBehavior::IMMEDIATE);
    if (number_of(base, "PRAGMA user_version") >= step.version) continue;  // another program was quicker
    base.exec(step.sql);
    SQLite::Statement row(base, "INSERT INTO schema_migration (version, name, applied_at) VALUES (?, ?, ?)");
    row.bind(1, step.version);
    row.bind(2, step.name);
    row.bind(3, now);
    row.exec();
    base.exec("PRAGMA application_id = " + std::to_string(kApplicationId) + "; PRAGMA user_version = " + std::to_string(step.version));
    transaction.commit();
  }
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
