#pragma once

#include <SQLiteCpp/Database.h>

#include <optional>
#include <string>
#include <string_view>

#include "headjoint/jobs/document_store.h"

/// Rows of the tables `document`, `revision` and `latest`.
namespace headjoint::store::internal {

using jobs::DocumentStore;

/// "job", "engine", "shop": as the base has it.
[[nodiscard]] std::string_view kind_word(DocumentStore::Kind kind);

/// A revision with what undo needs to know. `json` is the content it shows.
struct RevisionRow : DocumentStore::Revision {
  int parent = 0;  ///< of its version: the version it was made from; 0 = none
  std::string save_id;
};

[[nodiscard]] std::optional<RevisionRow> find_revision(SQLite::Database& base, std::string_view kind, const std::string& id, int revision);
[[nodiscard]] std::optional<RevisionRow> latest_revision(SQLite::Database& base, std::string_view kind, const std::string& id);

/// The revision that a client's save id made. @param id  of the document it belongs to, on return
[[nodiscard]] std::optional<RevisionRow> revision_of_save(SQLite::Database& base, const std::string& save_id, std::string& id);

/// When it was moved to the bin; empty when it is not there.
[[nodiscard]] std::string binned_at(SQLite::Database& base, const std::string& id);

/// The change that undo takes back (the version shown now) and its target; the change that redo makes again. Without content.
[[nodiscard]] std::optional<RevisionRow> undone_by_undo(SQLite::Database& base, const std::string& id, const RevisionRow& latest);
[[nodiscard]] std::optional<RevisionRow> made_by_redo(SQLite::Database& base, const std::string& id, const RevisionRow& latest);

void add_document(SQLite::Database& base, DocumentStore::Kind kind, const std::string& id, const std::string& now);

/// Adds the row and brings `latest` up to date. Content is written only when the row shows content of its own.
void add_revision(SQLite::Database& base, DocumentStore::Kind kind, const std::string& id, const RevisionRow& row,
                  const Document& document);

/// The same for the bin: content and list entry stay as they are.
void add_bin_revision(SQLite::Database& base, const std::string& id, const RevisionRow& row, bool binned);

/// Fills `latest` from all revisions: after a step of the schema.
void rebuild_latest(SQLite::Database& base);

}  // namespace headjoint::store::internal
