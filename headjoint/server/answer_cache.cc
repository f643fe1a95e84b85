#include "headjoint/server/answer_cache.h"

namespace headjoint::server {

std::optional<std::string> AnswerCache::find(const std::string& key) {
  const std::lock_guard lock(mutex_);
  const auto found = places_.find(key);
  if (found == places_.end()) return std::nullopt;
  entries_.splice(entries_.begin(), entries_, found->second);
  return entries_.front().answer;
}

void AnswerCache::keep(const std::string& key, std::string answer) {
  const std::lock_guard lock(mutex_);
  Entry entry{key, std::move(answer)};
  if (bytes_of(entry) > most_bytes_ / 4 || places_.contains(key)) return;
  bytes_ += bytes_of(entry);
  entries_.push_front(std::move(entry));
  places_[key] = entries_.begin();
  while (bytes_ > most_bytes_) {
    bytes_ -= bytes_of(entries_.back());
    places_.erase(entries_.back().key);
    entries_.pop_back();
  }
}

}  // namespace headjoint::server
