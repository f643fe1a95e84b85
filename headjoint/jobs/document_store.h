#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "headjoint/base/document.h"

namespace headjoint::jobs {

/// Where documents are kept: jobs, engines of the library, and the shop's own lists. Documents are stored as they came, also when
/// they do not decode: nothing typed is lost.
///
/// Every change is a new revision; none is ever overwritten, and there is no removal: what is put away lies in a bin.
/// Undo and redo are revisions too. A revision either holds content of its own or shows the content of an earlier one again.
/// Every function throws EnvironmentError when the store itself fails.
class DocumentStore {
 public:
  enum class Kind { kJob, kEngine, kShop };

  /// What goes beside a revision.
  struct Change {
    std::string note = {};
    std::string who = {};
    std::string save_id = {};  ///< made by the client; "" = none. The same id again answers what the first one made.
  };

  struct Revision {
    int revision = 0;        ///< from 1
    std::string changed_at;  ///< UTC, "2026-11-24T09:30:00Z"
    std::string who;
    std::string note;
    std::string act;     ///< "opened", "saved", "undone", "redone", "reverted", "binned", "restored"
    int version = 0;     ///< revision whose content this one shows
    std::string json;    ///< the document as one line of JSON
    std::string before;  ///< likewise of the revision before; empty for the first. Filled by history() only.
  };

  struct Stored {
    std::string id;
    int revision = 0;
    std::string changed_at;
    std::string who;
    std::string json;              ///< the document as one line of JSON
    std::string binned_at;         ///< empty unless it lies in the bin
    std::optional<Revision> undo;  ///< the change that undo would take back; without its content
    std::optional<Revision> redo;  ///< the change that redo would make again; without its content

    /// @throws EnvironmentError kInputOutput when it cannot be read back
    [[nodiscard]] Document document() const;
  };

  /// What became of a change. On a conflict `stored` is what someone else saved meanwhile.
  struct Outcome {
    enum class Status { kDone, kConflict, kMissing, kBinned, kNothingToDo };
    Status status = Status::kMissing;
    std::optional<Stored> stored;
  };

  /// Which documents a list shows.
  struct Search {
    std::string words = {};   ///< all must occur; capitals and accents aside
    std::size_t limit = 100;  ///< >= 1
    std::string after = {};   ///< `next` of the page before; "" = from the start
    bool in_bin = false;
  };
  struct Row {
    std::string id;
    int revision = 0;
    std::string changed_at;
    std::string who;
    std::string binned_at;
    std::string shown;  ///< what a list shows of it, as one line of JSON: a table
  };
  struct Page {
    std::vector<Row> rows;  ///< last changed first
    std::size_t total = 0;
    std::string next;  ///< "" at the end
  };

  virtual ~DocumentStore() = default;
  DocumentStore() = default;
  DocumentStore(const DocumentStore&) = delete;
  DocumentStore& operator=(const DocumentStore&) = delete;
  DocumentStore(DocumentStore&&) = delete;
  DocumentStore& operator=(DocumentStore&&) = delete;

  /// Keeps a new document as revision 1. @param photos_of  document whose photographs it gets too, or ""
  [[nodiscard]] virtual Stored create(Kind kind, const Document& document, const Change& change, const std::string& photos_of = {}) = 0;

  /// Latest revision, also of what lies in the bin; empty for an unknown id.
  [[nodiscard]] virtual std::optional<Stored> get(Kind kind, const std::string& id) = 0;

  /// The content of an older revision; empty when there is none.
  [[nodiscard]] virtual std::optional<Revision> get_revision(Kind kind, const std::string& id, int revision) = 0;

  /// Keeps the next revision, if `expected_revision` is still the latest one. A shop document, whose id is its name, is made by its
  /// first save on revision 0. Content that is there already makes no further revision.
  [[nodiscard]] virtual Outcome save(Kind kind, const std::string& id, int expected_revision, const Document& document,
                                     const Change& change) = 0;

  /// Takes the last change back, or makes the one that was taken back again.
  [[nodiscard]] virtual Outcome undo(Kind kind, const std::string& id, int expected_revision, const Change& change) = 0;
  [[nodiscard]] virtual Outcome redo(Kind kind, const std::string& id, int expected_revision, const Change& change) = 0;

  /// Makes an older revision the latest one again, as a change that can be undone. kMissing also when there is no such revision.
  [[nodiscard]] virtual Outcome revert(Kind kind, const std::string& id, int revision, const Change& change) = 0;

  /// Into the bin, or out of it.
  [[nodiscard]] virtual Outcome set_binned(Kind kind, const std::string& id, bool binned, const Change& change) = 0;

  [[nodiscard]] virtual Page list(Kind kind, const Search& search) = 0;

  /// Revisions, the latest first; empty for an unknown id. @param before  only older ones; 0 = all
  [[nodiscard]] virtual std::vector<Revision> history(Kind kind, const std::string& id, int before, std::size_t limit) = 0;
};

/// What a list shows of a document, read without decoding it, and the words that find it.
struct ListEntry {
  Document shown;     ///< a table of texts, empty where the document says nothing
  std::string words;  ///< folded
};
[[nodiscard]] ListEntry list_entry(DocumentStore::Kind kind, const Document& document);

/// Lower case without accents, so that "Muller" finds "MÜLLER"; runs of blanks become one.
[[nodiscard]] std::string folded(std::string_view text);

}  // namespace headjoint::jobs
