#pragma once

#include <SQLiteCpp/Database.h>

#include <array>
#include <cstdint>
#include <functional>
#include <map>
#include <shared_mutex>
#include <string>
#include <unordered_map>

#include "headjoint/jobs/document_store.h"

namespace headjoint::store::internal {

/// What lists show, held in memory: people type into the search field faster than ten thousand rows are read. Brought up to date from
/// the rows that changed since it was asked last, whoever changed them. Safe from any thread.
class ListIndex {
 public:
  /// @param reader  a connection inside a transaction
  [[nodiscard]] jobs::DocumentStore::Page list(SQLite::Database& reader, jobs::DocumentStore::Kind kind,
                                               const jobs::DocumentStore::Search& search);

  /// Forgets everything: another file stands in the place of the store.
  void clear();

 private:
  struct Entry {
    jobs::DocumentStore::Row row;
    std::string words;
  };
  /// Documents of one kind, the one changed last in front.
  struct Side {
    std::map<std::int64_t, Entry, std::greater<>> entries;
    std::unordered_map<std::string, std::int64_t> sequence_of;
  };

  void bring_up_to_date(SQLite::Database& reader);

  std::shared_mutex mutex_;
  std::int64_t newest_ = 0;  ///< sequence of the last revision that is in here
  std::array<Side, 3> sides_;
};

}  // namespace headjoint::store::internal
