#pragma once

#include <cstddef>
#include <list>
#include <mutex>
#include <optional>
#include <string>
#include <unordered_map>

namespace headjoint::server {

/// Answers about documents that did not change since they were worked out: many people look at a job far more often than one changes it.
/// A key names everything an answer depends on, so an answer is never old. Safe from any thread.
class AnswerCache {
 public:
  /// @param most_bytes  of keys and answers together; beyond it the ones asked for longest ago go
  explicit AnswerCache(std::size_t most_bytes) : most_bytes_(most_bytes) {}

  [[nodiscard]] std::optional<std::string> find(const std::string& key);

  /// An answer that alone is larger than a quarter of the room is not kept.
  void keep(const std::string& key, std::string answer);

 private:
  struct Entry {
    std::string key;
    std::string answer;
  };
  static std::size_t bytes_of(const Entry& entry) { return entry.key.size() + entry.answer.size(); }

  std::size_t most_bytes_;
  std::mutex mutex_;
  std::size_t bytes_ = 0;
  std::list<Entry> entries_;  ///< the one asked for last in front
  std::unordered_map<std::string, std::list<Entry>::iterator> places_;
};

}  // namespace headjoint::server
