#pragma once

#include <optional>
#include <string>
#include <vector>

#include "headjoint/base/document.h"

namespace headjoint::jobs {

/// Where job documents are kept. Documents are stored as they came, also when they do not decode: nothing typed is lost.
/// Every change is a new revision; none is ever overwritten, and there is no removal.
/// Every function throws EnvironmentError when the store itself fails.
class JobStore {
 public:
  struct Stored {
    std::string id;
    int revision = 0;        ///< from 1
    std::string changed_at;  ///< UTC, "2026-11-24T09:30:00Z"
    Document document;
  };

  struct Summary {
    std::string id;
    int revision = 0;
    std::string changed_at;
    std::string number;
    std::string title;
    std::string engine_name;
  };

  struct Revision {
    int revision = 0;
    std::string changed_at;
    std::string note;
  };

  /// What became of a save. On a conflict `stored` is what someone else saved meanwhile.
  struct SaveOutcome {
    enum class Status { kSaved, kConflict, kNoSuchJob };
    Status status = Status::kNoSuchJob;
    std::optional<Stored> stored;
  };

  virtual ~JobStore() = default;
  JobStore() = default;
  JobStore(const JobStore&) = delete;
  JobStore& operator=(const JobStore&) = delete;
  JobStore(JobStore&&) = delete;
  JobStore& operator=(JobStore&&) = delete;

  /// Keeps a new document as revision 1. @returns its id
  [[nodiscard]] virtual std::string create(const Document& document) = 0;

  /// Latest revision, or empty for an unknown id.
  [[nodiscard]] virtual std::optional<Stored> get(const std::string& id) = 0;

  /// An older revision, or empty when there is none.
  [[nodiscard]] virtual std::optional<Stored> get_revision(const std::string& id, int revision) = 0;

  /// Keeps the next revision, if `expected_revision` is still the latest one.
  [[nodiscard]] virtual SaveOutcome save(const std::string& id, int expected_revision, const Document& document,
                                         const std::string& note) = 0;

  /// Latest revision of every job, last changed first.
  [[nodiscard]] virtual std::vector<Summary> list() = 0;

  /// Every revision of a job, oldest first; empty for an unknown id.
  [[nodiscard]] virtual std::vector<Revision> history(const std::string& id) = 0;

  /// Makes an older revision the latest one again, as a new revision.
  [[nodiscard]] virtual SaveOutcome revert(const std::string& id, int revision) = 0;
};

/// What a list of jobs shows of a document, read without decoding it; empty texts where it says nothing.
struct JobLabels {
  std::string number;
  std::string title;
  std::string engine_name;
};
[[nodiscard]] JobLabels labels_of(const Document& document);

}  // namespace headjoint::jobs
