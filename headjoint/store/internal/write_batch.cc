#include "headjoint/store/internal/write_batch.h"

#include <SQLiteCpp/Transaction.h>
#include <sqlite3.h>

namespace headjoint::store::internal {

void WriteBatch::run(SQLite::Database& writer, const Work& work) {
  Ticket ticket{&work, nullptr, false};
  std::unique_lock lock(mutex_);
  waiting_.push_back(&ticket);
  while (!ticket.is_done) {
    if (is_writing_) {
      changed_.wait(lock);
      continue;
    }
    is_writing_ = true;
    const std::vector<Ticket*> batch(waiting_.begin(), waiting_.end());
    waiting_.clear();
    lock.unlock();
    write_together(writer, batch);
    lock.lock();
    for (Ticket* written : batch) written->is_done = true;
    is_writing_ = false;
    changed_.notify_all();
  }
  if (ticket.failure) std::rethrow_exception(ticket.failure);
}

void WriteBatch::write_together(SQLite::Database& writer, const std::vector<Ticket*>& batch) {
  try {
    SQLite::Transaction transaction(writer, SQLite::TransactionBehavior::IMMEDIATE);
    for (Ticket* ticket : batch) write_one(writer, *ticket);
    transaction.commit();
  } catch (...) {
    for (Ticket* ticket : batch) {
      if (!ticket->failure) ticket->failure = std::current_exception();
    }
  }
}

void WriteBatch::write_one(SQLite::Database& writer, Ticket& ticket) {
  writer.exec("SAVEPOINT one_change");
  try {
    (*ticket.work)(writer);
    writer.exec("RELEASE one_change");
  } catch (...) {
    ticket.failure = std::current_exception();
    const bool is_all_lost = sqlite3_get_autocommit(writer.getHandle()) != 0;  // as when the disk is full
    if (is_all_lost) throw;
    writer.exec("ROLLBACK TO one_change; RELEASE one_change");
  }
}

}  // namespace headjoint::store::internal
