#pragma once

#include <chrono>
#include <functional>
#include <memory>
#include <string>

#include "headjoint/jobs/job_store.h"

namespace headjoint::store {

/// The time that goes beside a revision.
using Clock = std::function<std::chrono::system_clock::time_point()>;

/// Schema that this program writes; the base says its own in `PRAGMA user_version`.
inline constexpr int kSchemaVersion = 1;

/// Jobs in one SQLite file.
///
/// One row per revision, never changed and never removed: the history of a job is what is stored, its latest state is the last row.
/// A change has reached the disk when a function returns (write-ahead log, synchronous = FULL).
/// One connection writes, behind a mutex; a few others read. Any thread may call any function. Several programs may open the same
/// file on one machine; a file system of a network cannot hold it.
///
/// Ids are seven letters and digits that sort by the time of making.
class SqliteJobStore final : public jobs::JobStore {
 public:
  /// Opens the file, makes it when it is not there, brings an older schema up to date.
  /// @throws EnvironmentError
  ///   kNoSuchFile: the folder is not there; kInputOutput: not a database, damaged, disk full, read only;
  ///   kBusy: another program held it for more than 5 s;
  ///   kConfiguration: written by a newer program, by another program, or on a file system without shared memory
  explicit SqliteJobStore(const std::string& path, Clock clock = std::chrono::system_clock::now);
  ~SqliteJobStore() override;

  [[nodiscard]] std::string create(const Document& document) override;
  [[nodiscard]] std::optional<Stored> get(const std::string& id) override;
  [[nodiscard]] std::optional<Stored> get_revision(const std::string& id, int revision) override;

  /// A save that is repeated (same expected revision, same document) answers the revision that the first one made.
  [[nodiscard]] SaveOutcome save(const std::string& id, int expected_revision, const Document& document, const std::string& note) override;
  [[nodiscard]] std::vector<Summary> list() override;
  [[nodiscard]] std::vector<Revision> history(const std::string& id) override;

  /// kNoSuchJob also when the job has no such revision.
  [[nodiscard]] SaveOutcome revert(const std::string& id, int revision) override;

  /// Problems of the file as the database sees them; empty when it is sound. Reads every page.
  [[nodiscard]] std::vector<std::string> integrity_problems();

 private:
  class Base;
  std::unique_ptr<Base> base_;
};

}  // namespace headjoint::store
