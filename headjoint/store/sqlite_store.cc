#include "headjoint/store/sqlite_store.h"

#include <SQLiteCpp/Statement.h>

#include <utility>

#include "headjoint/base/error.h"
#include "headjoint/store/internal/connections.h"
#include "headjoint/store/internal/document_rows.h"

namespace headjoint::store {
namespace {

using internal::kind_word;
using internal::RevisionRow;
using jobs::DocumentStore;
using Kind = DocumentStore::Kind;
using Outcome = DocumentStore::Outcome;
using Status = Outcome::Status;
using Stored = DocumentStore::Stored;

/// The state as callers see it.
Stored stored(SQLite::Database& base, const std::string& id, RevisionRow row) {
  Stored all{id, row.revision, row.changed_at, row.who, {}, internal::binned_at(base, id), {}, {}};
  if (auto undo = internal::undone_by_undo(base, id, row)) all.undo = std::move(*undo);
  if (auto redo = internal::made_by_redo(base, id, row)) all.redo = std::move(*redo);
  all.json = std::move(row.json);
  return all;
}

RevisionRow next_row(const RevisionRow& latest, const std::string& now, const DocumentStore::Change& change, const char* act) {
  RevisionRow row;
  row.revision = latest.revision + 1;
  row.changed_at = now;
  row.who = change.who;
  row.note = change.note;
  row.act = act;
  row.version = row.revision;
  row.parent = latest.version;
  row.save_id = change.save_id;
  return row;
}

Document read_back(const std::string& json) {
  Result<Document> document = read_json(json, "");
  return document ? std::move(document).value() : Document();
}

/// What a repeated request made the first time.
std::optional<Stored> made_before(SQLite::Database& base, const std::string& save_id, const std::string& wanted_id) {
  std::string id;
  std::optional<RevisionRow> row = internal::revision_of_save(base, save_id, id);
  if (!row) return std::nullopt;
  if (!wanted_id.empty() && id != wanted_id) throw InputError("save_id", "this save id was already used for another document");
  return stored(base, id, std::move(*row));
}

/// The latest row of a document that may be changed; `refused` says why not.
std::optional<RevisionRow> changeable(SQLite::Database& base, Kind kind, const std::string& id, int expected_revision, Outcome& refused) {
  std::optional<RevisionRow> latest = internal::latest_revision(base, kind_word(kind), id);
  refused.status = Status::kMissing;
  if (!latest) return std::nullopt;
  refused.status = Status::kBinned;
  if (internal::binned_at(base, id).empty()) {
    refused.status = Status::kConflict;
    if (latest->revision == expected_revision) return latest;
  }
  refused.stored = stored(base, id, std::move(*latest));
  return std::nullopt;
}

Outcome first_save(SQLite::Database& base, Kind kind, const std::string& id, const std::string& now, const Document& document,
                   const DocumentStore::Change& change) {
  RevisionRow row = next_row({}, now, change, "opened");
  row.json = write_json(document, -1);
  internal::add_document(base, kind, id, now);
  internal::add_revision(base, kind, id, row, document);
  return {Status::kDone, stored(base, id, std::move(row))};
}

/// The save that `refused` as overtaken, when it is the same as the one that overtook it: its answer was lost.
std::optional<Outcome> repeated_save(SQLite::Database& base, Kind kind, const std::string& id, int expected_revision,
                                     const std::string& json) {
  std::optional<RevisionRow> overtaking = internal::find_revision(base, kind_word(kind), id, expected_revision + 1);
  if (expected_revision < 1 || !overtaking || overtaking->json != json) return std::nullopt;
  return Outcome{Status::kDone, stored(base, id, std::move(*overtaking))};
}

/// Shows the content of an earlier version again.
Outcome show_version(SQLite::Database& base, Kind kind, const std::string& id, RevisionRow row, int version) {
  const std::optional<RevisionRow> shown = internal::find_revision(base, kind_word(kind), id, version);
  require(shown.has_value(), "a version that was made from is there");
  row.version = version;
  row.parent = shown->parent;
  row.json = shown->json;
  internal::add_revision(base, kind, id, row, read_back(row.json));
  return {Status::kDone, stored(base, id, std::move(row))};
}

}  // namespace

SqliteStore::SqliteStore(const std::string& path, Clock clock) : base_(std::make_unique<internal::Connections>(path, std::move(clock))) {}

SqliteStore::~SqliteStore() = default;

SqliteStore::Stored SqliteStore::create(Kind kind, const Document& document, const Change& change, const std::string& photos_of) {
  return base_->write([&](SQLite::Database& base) {
    if (auto before = made_before(base, change.save_id, {})) return std::move(*before);
    const std::string id = base_->next_id(base);
    const std::string now = base_->now();
    Outcome made = first_save(base, kind, id, now, document, change);
    if (!photos_of.empty()) {
      SQLite::Statement copy(base,
                             "INSERT INTO photo (id, document, added_at, who, caption, type, width, height, bytes, binned_at, save_id) "
                             "SELECT ? || '-' || id, ?, ?, who, caption, type, width, height, bytes, '', '' FROM photo "
                             "WHERE document = ? AND binned_at = ''");
      copy.bind(1, id);
      copy.bind(2, id);
      copy.bind(3, now);
      copy.bind(4, photos_of);
      copy.exec();
    }
    return std::move(*made.stored);
  });
}

std::optional<SqliteStore::Stored> SqliteStore::get(Kind kind, const std::string& id) {
  return base_->read([&](SQLite::Database& base) -> std::optional<Stored> {
    std::optional<RevisionRow> row = internal::latest_revision(base, kind_word(kind), id);
    return row ? std::optional(stored(base, id, std::move(*row))) : std::nullopt;
  });
}

std::optional<SqliteStore::Revision> SqliteStore::get_revision(Kind kind, const std::string& id, int revision) {
  return base_->read(
      [&](SQLite::Database& base) -> std::optional<Revision> { return internal::find_revision(base, kind_word(kind), id, revision); });
}

SqliteStore::Outcome SqliteStore::save(Kind kind, const std::string& id, int expected_revision, const Document& document,
                                       const Change& change) {
  return base_->write([&](SQLite::Database& base) -> Outcome {
    if (auto before = made_before(base, change.save_id, id)) return {Status::kDone, std::move(before)};
    Outcome refused;
    std::optional<RevisionRow> latest = changeable(base, kind, id, expected_revision, refused);
    if (refused.status == Status::kMissing && kind == Kind::kShop && expected_revision == 0)
      return first_save(base, kind, id, base_->now(), document, change);
    const std::string json = write_json(document, -1);
    if (!latest) {
      if (refused.status != Status::kConflict) return refused;
      return repeated_save(base, kind, id, expected_revision, json).value_or(std::move(refused));
    }
    if (latest->json == json) return {Status::kDone, stored(base, id, std::move(*latest))};
    RevisionRow row = next_row(*latest, base_->now(), change, "saved");
    row.json = json;
    internal::add_revision(base, kind, id, row, document);
    return {Status::kDone, stored(base, id, std::move(row))};
  });
}

SqliteStore::Outcome SqliteStore::undo(Kind kind, const std::string& id, int expected_revision, const Change& change) {
  return base_->write([&](SQLite::Database& base) -> Outcome {
    if (auto before = made_before(base, change.save_id, id)) return {Status::kDone, std::move(before)};
    Outcome refused;
    const std::optional<RevisionRow> latest = changeable(base, kind, id, expected_revision, refused);
    if (!latest) return refused;
    const std::optional<RevisionRow> undone = internal::undone_by_undo(base, id, *latest);
    if (!undone) return {Status::kNothingToDo, stored(base, id, *latest)};
    RevisionRow row = next_row(*latest, base_->now(), change, "undone");
    if (row.note.empty()) row.note = undone->note;
    return show_version(base, kind, id, std::move(row), undone->parent);
  });
}

SqliteStore::Outcome SqliteStore::redo(Kind kind, const std::string& id, int expected_revision, const Change& change) {
  return base_->write([&](SQLite::Database& base) -> Outcome {
    if (auto before = made_before(base, change.save_id, id)) return {Status::kDone, std::move(before)};
    Outcome refused;
    const std::optional<RevisionRow> latest = changeable(base, kind, id, expected_revision, refused);
    if (!latest) return refused;
    const std::optional<RevisionRow> redone = internal::made_by_redo(base, id, *latest);
    if (!redone) return {Status::kNothingToDo, stored(base, id, *latest)};
    RevisionRow row = next_row(*latest, base_->now(), change, "redone");
    if (row.note.empty()) row.note = redone->note;
    return show_version(base, kind, id, std::move(row), redone->revision);
  });
}

SqliteStore::Outcome SqliteStore::revert(Kind kind, const std::string& id, int revision, const Change& change) {
  return base_->write([&](SQLite::Database& base) -> Outcome {
    if (auto before = made_before(base, change.save_id, id)) return {Status::kDone, std::move(before)};
    const std::optional<RevisionRow> older = internal::find_revision(base, kind_word(kind), id, revision);
    std::optional<RevisionRow> latest = internal::latest_revision(base, kind_word(kind), id);
    if (!older || !latest) return {};
    if (!internal::binned_at(base, id).empty()) return {Status::kBinned, stored(base, id, std::move(*latest))};
    if (latest->json == older->json) return {Status::kDone, stored(base, id, std::move(*latest))};
    RevisionRow row = next_row(*latest, base_->now(), change, "reverted");
    if (row.note.empty()) row.note = "back to revision " + std::to_string(revision);
    row.json = older->json;
    internal::add_revision(base, kind, id, row, read_back(row.json));
    return {Status::kDone, stored(base, id, std::move(row))};
  });
}

SqliteStore::Outcome SqliteStore::set_binned(Kind kind, const std::string& id, bool binned, const Change& change) {
  return base_->write([&](SQLite::Database& base) -> Outcome {
    if (auto before = made_before(base, change.save_id, id)) return {Status::kDone, std::move(before)};
    std::optional<RevisionRow> latest = internal::latest_revision(base, kind_word(kind), id);
    if (!latest) return {};
    if (internal::binned_at(base, id).empty() != binned) return {Status::kDone, stored(base, id, std::move(*latest))};
    RevisionRow row = next_row(*latest, base_->now(), change, binned ? "binned" : "restored");
    row.version = latest->version;
    row.parent = latest->parent;
    row.json = latest->json;
    internal::add_bin_revision(base, id, row, binned);
    return {Status::kDone, stored(base, id, std::move(row))};
  });
}

SqliteStore::Page SqliteStore::list(Kind kind, const Search& search) {
  return base_->read([&](SQLite::Database& base) { return base_->list_index().list(base, kind, search); });
}

std::vector<SqliteStore::Revision> SqliteStore::history(Kind kind, const std::string& id, int before, std::size_t limit) {
  return base_->read([&](SQLite::Database& base) {
    std::vector<Revision> all;
    std::optional<RevisionRow> row =
        before == 0 ? internal::latest_revision(base, kind_word(kind), id) : internal::find_revision(base, kind_word(kind), id, before - 1);
    while (row && all.size() < limit) {
      std::optional<RevisionRow> older = internal::find_revision(base, kind_word(kind), id, row->revision - 1);
      if (older) row->before = older->json;
      all.push_back(std::move(*row));
      row = std::move(older);
    }
    return all;
  });
}

}  // namespace headjoint::store
