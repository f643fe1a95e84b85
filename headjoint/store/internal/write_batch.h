#pragma once

#include <SQLiteCpp/Database.h>

#include <condition_variable>
#include <deque>
#include <exception>
#include <functional>
#include <mutex>
#include <vector>

namespace headjoint::store::internal {

/// Changes that come at the same time share one transaction, so that twenty people wait for one write to the disk and not for twenty.
/// Whoever comes while nobody writes does the work of all who wait. Safe from any thread.
class WriteBatch {
 public:
  using Work = std::function<void(SQLite::Database&)>;

  /// Returns when `work` is on the disk. A work that throws leaves no trace, and the others of its batch are not disturbed.
  /// @throws what `work` threw, or SQLite::Exception when the batch could not be written
  void run(SQLite::Database& writer, const Work& work);

 private:
  struct Ticket {
    const Work* work = nullptr;
    std::exception_ptr failure;
    bool is_done = false;
  };
  static void write_together(SQLite::Database& writer, const std::vector<Ticket*>& batch);
  static void write_one(SQLite::Database& writer, Ticket& ticket);

  std::mutex mutex_;
  std::condition_variable changed_;
  std::deque<Ticket*> waiting_;
  bool is_writing_ = false;
};

}  // namespace headjoint::store::internal
