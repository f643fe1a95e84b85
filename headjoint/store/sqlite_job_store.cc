#include "headjoint/store/sqlite_job_store.h"

#include <SQLiteCpp/Statement.h>
#include <SQLiteCpp/Transaction.h>

#include <cstdint>
#include <ctime>
#include <mutex>
#include <utility>

#include "headjoint/base/error.h"
#include "headjoint/store/internal/base_file.h"

namespace headjoint::store {
namespace {

using Status = jobs::JobStore::SaveOutcome::Status;

constexpr std::size_t kIdLength = 7;
constexpr std::string_view kIdDigits = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";  // without the letters that look like others
constexpr std::int64_t kIdEpoch = 1'704'067'200;                            // 2024-01-01 00:00:00 UTC, in seconds
constexpr std::size_t kMostReaders = 4;

std::int64_t seconds_of(std::chrono::system_clock::time_point time) {
  return std::chrono::duration_cast<std::chrono::seconds>(time.time_since_epoch()).count();
}

std::string time_text(std::chrono::system_clock::time_point time) {
  const auto seconds = static_cast<std::time_t>(seconds_of(time));
  std::tm parts{};
  ::gmtime_r(&seconds, &parts);
  char text[32];
  return {text, std::strftime(text, sizeof text, "%Y-%m-%dT%H:%M:%SZ", &parts)};
}

std::string id_text(std::int64_t number) {
  std::string text(kIdLength, kIdDigits.front());
  for (std::size_t i = kIdLength; i-- > 0; number /= 32) text[i] = kIdDigits[static_cast<std::size_t>(number % 32)];
  return text;
}

std::int64_t id_number(std::string_view text) {
  std::int64_t number = 0;
  for (const char digit : text) number = number * 32 + static_cast<std::int64_t>(kIdDigits.find(digit));
  return number;
}

/// A row of job_revision.
struct Row {
  int revision = 0;
  std::string changed_at;
  std::string document;
};

std::optional<Row> find_row(SQLite::Database& base, const std::string& id, int revision) {
  SQLite::Statement query(base, "SELECT revision, changed_at, document FROM job_revision WHERE job = ? AND revision = ?");
  query.bind(1, id);
  query.bind(2, revision);
  if (!query.executeStep()) return std::nullopt;
  return Row{query.getColumn(0).getInt(), query.getColumn(1).getString(), query.getColumn(2).getString()};
}

std::optional<Row> latest_row(SQLite::Database& base, const std::string& id) {
  SQLite::Statement query(base, "SELECT revision, changed_at, document FROM job_revision WHERE job = ? ORDER BY revision DESC LIMIT 1");
  query.bind(1, id);
  if (!query.executeStep()) return std::nullopt;
  return Row{query.getColumn(0).getInt(), query.getColumn(1).getString(), query.getColumn(2).getString()};
}

void add_row(SQLite::Database& base, const std::string& id, const Row& row, const std::string& note, const jobs::JobLabels& labels) {
  SQLite::Statement insert(base,
                           "INSERT INTO job_revision (job, revision, changed_at, note, number, title, engine_name, document) "
                           "VALUES (?, ?, ?, ?, ?, ?, ?, ?)");
  insert.bind(1, id);
  insert.bind(2, row.revision);
  insert.bind(3, row.changed_at);
  insert.bind(4, note);
  insert.bind(5, labels.number);
  insert.bind(6, labels.title);
  insert.bind(7, labels.engine_name);
  insert.bind(8, row.document);
  insert.exec();
}

}  // namespace

/// The connections: one that writes, and a few that read while it does.
class SqliteJobStore::Base {
 public:
  Base(std::string path, Clock clock) : path_(std::move(path)), clock_(std::move(clock)), writer_(internal::open_base(path_)) {
    internal::migrate(writer_, now());
  }

  [[nodiscard]] std::string now() const { return time_text(clock_()); }

  template <class Work>
  auto write(Work work) {
    const std::lock_guard lock(writing_);
    return in_words([&] {
      SQLite::Transaction transaction(writer_, SQLite::TransactionBehavior::IMMEDIATE);
      auto result = work(writer_);
      transaction.commit();
      return result;
    });
  }

  template <class Work>
  auto read(Work work) {
    return in_words([&] {
      std::unique_ptr<SQLite::Database> reader = take_reader();
      auto result = work(*reader);
      give_back(std::move(reader));
      return result;
    });
  }

  /// One more than the greatest id, or what the clock says when that is greater.
  std::string next_id(SQLite::Database& base) const {
    std::int64_t number = std::max<std::int64_t>(0, seconds_of(clock_()) - kIdEpoch);
    SQLite::Statement greatest(base, "SELECT max(id) FROM job");
    if (greatest.executeStep() && !greatest.getColumn(0).isNull()) {
      number = std::max(number, id_number(greatest.getColumn(0).getString()) + 1);
    }
    return id_text(number);
  }

  Stored stored(const std::string& id, Row row) const {
    Result<Document> document = read_json(row.document, "job " + id);
    if (!document) {
      throw EnvironmentError(EnvironmentError::Kind::kInputOutput,
                             path_ + ": job " + id + " cannot be read back: " + to_string(document.problems()));
    }
    return {id, row.revision, std::move(row.changed_at), std::move(document).value()};
  }

  template <class Work>
  auto in_words(Work work) const {
    try {
      return work();
    } catch (const SQLite::Exception& failure) {
      internal::throw_in_words(path_, failure);
    }
  }

 private:
  std::unique_ptr<SQLite::Database> take_reader() {
    const std::lock_guard lock(lending_);
    if (readers_.empty()) return std::make_unique<SQLite::Database>(internal::open_reader(path_));
    std::unique_ptr<SQLite::Database> reader = std::move(readers_.back());
    readers_.pop_back();
    return reader;
  }

  void give_back(std::unique_ptr<SQLite::Database> reader) {
    const std::lock_guard lock(lending_);
    if (readers_.size() < kMostReaders) readers_.push_back(std::move(reader));
  }

  std::string path_;
  Clock clock_;
  std::mutex writing_;
  SQLite::Database writer_;
  std::mutex lending_;
  std::vector<std::unique_ptr<SQLite::Database>> readers_;
};

SqliteJobStore::SqliteJobStore(const std::string& path, Clock clock) {
  try {
    base_ = std::make_unique<Base>(path, std::move(clock));
  } catch (const SQLite::Exception& failure) {
    internal::throw_in_words(path, failure);
  }
}

SqliteJobStore::~SqliteJobStore() = default;

std::string SqliteJobStore::create(const Document& document) {
  return base_->write([&](SQLite::Database& base) {
    const std::string id = base_->next_id(base);
    const std::string now = base_->now();
    SQLite::Statement insert(base, "INSERT INTO job (id, created_at) VALUES (?, ?)");
    insert.bind(1, id);
    insert.bind(2, now);
    insert.exec();
    add_row(base, id, {1, now, write_json(document, -1)}, "opened", jobs::labels_of(document));
    return id;
  });
}

std::optional<jobs::JobStore::Stored> SqliteJobStore::get(const std::string& id) {
  std::optional<Row> row = base_->read([&](SQLite::Database& base) { return latest_row(base, id); });
  if (!row) return std::nullopt;
  return base_->stored(id, std::move(*row));
}

std::optional<jobs::JobStore::Stored> SqliteJobStore::get_revision(const std::string& id, int revision) {
  std::optional<Row> row = base_->read([&](SQLite::Database& base) { return find_row(base, id, revision); });
  if (!row) return std::nullopt;
  return base_->stored(id, std::move(*row));
}

jobs::JobStore::SaveOutcome SqliteJobStore::save(const std::string& id, int expected_revision, const Document& document,
                                                 const std::string& note) {
  const std::string text = write_json(document, -1);
  const auto [status, row] = base_->write([&](SQLite::Database& base) -> std::pair<Status, std::optional<Row>> {
    std::optional<Row> latest = latest_row(base, id);
    if (!latest) return {Status::kNoSuchJob, std::nullopt};
    if (latest->revision != expected_revision) {
      if (expected_revision < 1 || expected_revision > latest->revision) return {Status::kConflict, latest};
      std::optional<Row> made_before = find_row(base, id, expected_revision + 1);
      if (made_before && made_before->document == text) return {Status::kSaved, made_before};
      return {Status::kConflict, latest};
    }
    Row next{expected_revision + 1, base_->now(), text};
    add_row(base, id, next, note, jobs::labels_of(document));
    return {Status::kSaved, std::move(next)};
  });
  if (!row) return {status, std::nullopt};
  return {status, base_->stored(id, *row)};
}

std::vector<jobs::JobStore::Summary> SqliteJobStore::list() {
  return base_->read([](SQLite::Database& base) {
    SQLite::Statement query(base,
                            "SELECT r.job, r.revision, r.changed_at, r.number, r.title, r.engine_name "
                            "FROM job JOIN job_revision r ON r.job = job.id "
                            "AND r.revision = (SELECT max(revision) FROM job_revision WHERE job = job.id) ORDER BY r.sequence DESC");
    std::vector<Summary> all;
    while (query.executeStep()) {
      all.push_back({query.getColumn(0).getString(), query.getColumn(1).getInt(), query.getColumn(2).getString(),
                     query.getColumn(3).getString(), query.getColumn(4).getString(), query.getColumn(5).getString()});
    }
    return all;
  });
}

std::vector<jobs::JobStore::Revision> SqliteJobStore::history(const std::string& id) {
  return base_->read([&](SQLite::Database& base) {
    SQLite::Statement query(base, "SELECT revision, changed_at, note FROM job_revision WHERE job = ? ORDER BY revision");
    query.bind(1, id);
    std::vector<Revision> all;
    while (query.executeStep()) {
      all.push_back({query.getColumn(0).getInt(), query.getColumn(1).getString(), query.getColumn(2).getString()});
    }
    return all;
  });
}

jobs::JobStore::SaveOutcome SqliteJobStore::revert(const std::string& id, int revision) {
  const std::optional<Row> row = base_->write([&](SQLite::Database& base) -> std::optional<Row> {
    const std::optional<Row> older = find_row(base, id, revision);
    std::optional<Row> latest = latest_row(base, id);
    if (!older || !latest || latest->document == older->document) return older ? latest : std::nullopt;
    Row next{latest->revision + 1, base_->now(), older->document};
    add_row(base, id, next, "back to revision " + std::to_string(revision), jobs::labels_of(base_->stored(id, next).document));
    return next;
  });
  if (!row) return {Status::kNoSuchJob, std::nullopt};
  return {Status::kSaved, base_->stored(id, *row)};
}

std::vector<std::string> SqliteJobStore::integrity_problems() {
  return base_->read([](SQLite::Database& base) {
    std::vector<std::string> all;
    SQLite::Statement check(base, "PRAGMA integrity_check");
    while (check.executeStep()) {
      if (const std::string said = check.getColumn(0).getString(); said != "ok") all.push_back(said);
    }
    SQLite::Statement keys(base, "PRAGMA foreign_key_check");
    while (keys.executeStep()) all.push_back("a revision of no job, row " + std::to_string(keys.getColumn(1).getInt64()));
    return all;
  });
}

}  // namespace headjoint::store
