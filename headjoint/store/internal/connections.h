#pragma once

#include <SQLiteCpp/Database.h>
#include <SQLiteCpp/Exception.h>
#include <SQLiteCpp/Transaction.h>

#include <cstdint>
#include <memory>
#include <mutex>
#include <optional>
#include <shared_mutex>
#include <string>
#include <vector>

#include "headjoint/store/internal/base_file.h"
#include "headjoint/store/internal/list_index.h"
#include "headjoint/store/internal/store_lock.h"
#include "headjoint/store/internal/write_batch.h"
#include "headjoint/store/sqlite_store.h"

namespace headjoint::store::internal {

/// The connections: one that writes, and a few that read while it does.
class Connections {
 public:
  Connections(std::string path, Clock clock);

  [[nodiscard]] const std::string& path() const { return path_; }
  [[nodiscard]] std::string now() const;
  [[nodiscard]] const Clock& clock() const { return clock_; }

  /// Runs `work(database)`, all of it or nothing, and returns when it is on the disk.
  template <class Work>
  auto write(Work work) {
    const std::shared_lock open(open_);
    return in_words([&] {
      std::optional<decltype(work(*writer_))> result;
      batch_.run(*writer_, [&](SQLite::Database& base) { result.emplace(work(base)); });
      return std::move(*result);
    });
  }

  /// Runs `work(database)` on one state of the base.
  template <class Work>
  auto read(Work work) {
    const std::shared_lock open(open_);
    return in_words([&] {
      std::unique_ptr<SQLite::Database> reader = take_reader();
      auto result = [&] {
        SQLite::Transaction one_state(*reader);
        return work(*reader);
      }();
      give_back(std::move(reader));
      return result;
    });
  }

  [[nodiscard]] ListIndex& list_index() { return list_index_; }

  /// Closes every connection, runs `work()`, opens them again, also when it failed.
  template <class Work>
  void while_closed(Work work) {
    const std::unique_lock lock(open_);
    close();
    try {
      work();
    } catch (...) {
      open();
      throw;
    }
    open();
  }

  /// A further id: one more than the greatest, or what the clock says when that is greater.
  [[nodiscard]] std::string next_id(SQLite::Database& base) const;

 private:
  template <class Work>
  auto in_words(Work work) const {
    try {
      return work();
    } catch (const SQLite::Exception& failure) {
      throw_in_words(path_, failure);
    }
  }

  void open();
  void close();
  std::unique_ptr<SQLite::Database> take_reader();
  void give_back(std::unique_ptr<SQLite::Database> reader);

  std::string path_;
  Clock clock_;
  std::shared_mutex open_;
  std::optional<StoreLock> lock_;
  WriteBatch batch_;
  std::unique_ptr<SQLite::Database> writer_;
  std::mutex lending_;
  std::vector<std::unique_ptr<SQLite::Database>> readers_;
  ListIndex list_index_;
};

/// UTC as it stands in the base: "2026-11-24T09:30:00Z".
[[nodiscard]] std::string time_text(std::chrono::system_clock::time_point time);

}  // namespace headjoint::store::internal
