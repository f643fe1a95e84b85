#include "headjoint/server/work_queue.h"

#include <utility>

#include "headjoint/base/error.h"

namespace headjoint::server {

WorkQueue::WorkQueue(std::size_t longest, std::size_t threads) : longest_(longest) {
  require(longest >= 1 && threads >= 1, "a queue takes at least one piece of work, and somebody does it");
  for (std::size_t i = 0; i < threads; ++i) threads_.emplace_back([this] { run(); });
}

WorkQueue::~WorkQueue() {
  {
    const std::lock_guard lock(mutex_);
    is_stopping_ = true;
  }
  changed_.notify_all();
  for (std::thread& thread : threads_) thread.join();
}

bool WorkQueue::add(std::function<void()> work) {
  {
    const std::lock_guard lock(mutex_);
    if (is_stopping_ || waiting_.size() >= longest_) return false;
    waiting_.push_back(std::move(work));
  }
  changed_.notify_one();
  return true;
}

void WorkQueue::run() {
  std::unique_lock lock(mutex_);
  for (;;) {
    changed_.wait(lock, [this] { return is_stopping_ || !waiting_.empty(); });
    if (is_stopping_) return;
    const std::function<void()> work = std::move(waiting_.front());
    waiting_.pop_front();
    lock.unlock();
    work();
    lock.lock();
  }
}

}  // namespace headjoint::server
