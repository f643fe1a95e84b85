#pragma once

#include <chrono>
#include <cstdint>
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "headjoint/jobs/document_store.h"
#include "headjoint/jobs/photo_store.h"

namespace headjoint::store {

namespace internal {
class Connections;
}

/// The time that goes beside a revision.
using Clock = std::function<std::chrono::system_clock::time_point()>;

/// Schema that this program writes; the base says its own in `PRAGMA user_version`.
inline constexpr int kSchemaVersion = 2;

/// What a store holds.
struct Contents {
  std::int64_t jobs = 0;
  std::int64_t engines = 0;
  std::int64_t photos = 0;
  std::int64_t revisions = 0;
  std::string last_change;  ///< UTC; empty when there is none
};

/// Jobs, engines, shop documents and photographs in one SQLite file.
///
/// One row per revision, never changed and never removed: the history of a document is what is stored, its latest state is the last
/// row. A change has reached the disk when a function returns (write-ahead log, synchronous = FULL).
/// One connection writes, behind a mutex; a few others read. Any thread may call any function. Several programs may open the same
/// file on one machine; a file system of a network cannot hold it.
///
/// Ids are seven letters and digits that sort by the time of making; a shop document's id is its name.
class SqliteStore final : public jobs::DocumentStore, public jobs::PhotoStore {
 public:
  /// Opens the file, makes it when it is not there, brings an older schema up to date; before that it keeps a copy of the file
  /// beside it.
  /// @throws EnvironmentError
  ///   kNoSuchFile: the folder is not there; kInputOutput: not a database, damaged, disk full, read only;
  ///   kBusy: another program held it for more than 5 s;
  ///   kConfiguration: written by a newer program, by another program, or on a file system without shared memory
  explicit SqliteStore(const std::string& path, Clock clock = std::chrono::system_clock::now);
  ~SqliteStore() override;

  [[nodiscard]] Stored create(Kind kind, const Document& document, const Change& change, const std::string& photos_of = {}) override;
  [[nodiscard]] std::optional<Stored> get(Kind kind, const std::string& id) override;
  [[nodiscard]] std::optional<Revision> get_revision(Kind kind, const std::string& id, int revision) override;

  /// A save that is repeated (same save id, or same expected revision and document) answers the revision that the first one made.
  [[nodiscard]] Outcome save(Kind kind, const std::string& id, int expected_revision, const Document& document,
                             const Change& change) override;
  [[nodiscard]] Outcome undo(Kind kind, const std::string& id, int expected_revision, const Change& change) override;
  [[nodiscard]] Outcome redo(Kind kind, const std::string& id, int expected_revision, const Change& change) override;
  [[nodiscard]] Outcome revert(Kind kind, const std::string& id, int revision, const Change& change) override;
  [[nodiscard]] Outcome set_binned(Kind kind, const std::string& id, bool binned, const Change& change) override;
  [[nodiscard]] Page list(Kind kind, const Search& search) override;
  [[nodiscard]] std::vector<Revision> history(Kind kind, const std::string& id, int before, std::size_t limit) override;

  [[nodiscard]] PhotoRow add_photo(const std::string& document, const Picture& picture, const Change& change) override;
  [[nodiscard]] std::vector<PhotoRow> photos(const std::string& document, bool in_bin) override;
  [[nodiscard]] std::optional<PhotoRow> photo_row(const std::string& id) override;
  [[nodiscard]] std::optional<Picture> photo(const std::string& id) override;
  [[nodiscard]] std::optional<PhotoRow> set_caption(const std::string& id, const std::string& caption) override;
  [[nodiscard]] std::optional<PhotoRow> set_photo_binned(const std::string& id, bool binned) override;

  /// Writes a copy of everything, as it is at one moment, while others go on reading and writing. The copy is checked before it gets
  /// its name, and readable by its owner alone.
  /// @throws EnvironmentError kInputOutput also when `path` is there already
  void copy_to(const std::string& path);

  /// Puts a copy in the place of everything, brought up to date when it is older. What was there is kept beside the store.
  /// @returns the path under which the former store is kept
  /// @throws EnvironmentError as the constructor does about the copy, and nothing was changed; kBusy while another program has the store
  /// open
  [[nodiscard]] std::string restore_from(const std::string& copy);

  [[nodiscard]] Contents contents();

  /// Problems of the file as the database sees them, and documents that cannot be read back; empty when it is sound. Reads every page.
  [[nodiscard]] std::vector<std::string> integrity_problems();

 private:
  std::unique_ptr<internal::Connections> base_;
};

/// Puts a copy in the place of the store at `path`, which no program has open and which need not be there.
/// @returns the path under which the former store is kept; empty when there was none
/// @throws EnvironmentError as SqliteStore::restore_from
[[nodiscard]] std::string restore_file(const std::string& copy, const std::string& path,
                                       const Clock& clock = std::chrono::system_clock::now);

/// Whether some program has the store at `path` open.
[[nodiscard]] bool is_open_elsewhere(const std::string& path);

/// What is wrong with a store that may not be touched: read without changing it.
struct StoreCheck {
  int schema = 0;  ///< 0: there is no file
  Contents contents;
  std::vector<std::string> problems;
};
/// @throws EnvironmentError kConfiguration: another program's or a newer one; kInputOutput: cannot be read at all
[[nodiscard]] StoreCheck check_file(const std::string& path);

}  // namespace headjoint::store
