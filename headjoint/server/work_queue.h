#pragma once

#include <condition_variable>
#include <cstddef>
#include <deque>
#include <functional>
#include <mutex>
#include <thread>
#include <vector>

namespace headjoint::server {

/// One thread, or a few, that do one piece of work after the other, and a queue that refuses rather than grows.
class WorkQueue {
 public:
  /// @param longest how many pieces may wait; >= 1
  /// @param threads >= 1; with one, the work is done in the order it came
  explicit WorkQueue(std::size_t longest, std::size_t threads = 1);

  /// Finishes what is under way and drops what waits.
  ~WorkQueue();
  WorkQueue(const WorkQueue&) = delete;
  WorkQueue& operator=(const WorkQueue&) = delete;

  /// @returns false when the queue is full. @param work must not throw
  [[nodiscard]] bool add(std::function<void()> work);

 private:
  void run();

  std::size_t longest_;
  std::mutex mutex_;
  std::condition_variable changed_;
  std::deque<std::function<void()>> waiting_;
  bool is_stopping_ = false;
  std::vector<std::thread> threads_;  ///< last: start when all else is there
};

}  // namespace headjoint::server
