#include "headjoint/store/internal/document_rows.h"

#include <SQLiteCpp/Statement.h>

#include <vector>

namespace headjoint::store::internal {
namespace {

using Kind = DocumentStore::Kind;

constexpr const char* kColumns =
    "SELECT r.revision, r.changed_at, r.who, r.note, r.act, r.version, v.parent, r.save_id, v.content, r.document "
    "FROM revision r JOIN revision v ON v.document = r.document AND v.revision = r.version ";

RevisionRow row_of(SQLite::Statement& query) {
  RevisionRow row;
  row.revision = query.getColumn(0).getInt();
  row.changed_at = query.getColumn(1).getString();
  row.who = query.getColumn(2).getString();
  row.note = query.getColumn(3).getString();
  row.act = query.getColumn(4).getString();
  row.version = query.getColumn(5).getInt();
  row.parent = query.getColumn(6).getInt();
  row.save_id = query.getColumn(7).getString();
  row.json = query.getColumn(8).getString();
  return row;
}

void insert_revision(SQLite::Database& base, const std::string& id, const RevisionRow& row) {
  SQLite::Statement insert(base,
                           "INSERT INTO revision (document, revision, changed_at, who, note, act, version, parent, save_id, content) "
                           "VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)");
  insert.bind(1, id);
  insert.bind(2, row.revision);
  insert.bind(3, row.changed_at);
  insert.bind(4, row.who);
  insert.bind(5, row.note);
  insert.bind(6, row.act);
  insert.bind(7, row.version);
  insert.bind(8, row.parent);
  insert.bind(9, row.save_id);
  if (row.version == row.revision)
    insert.bindNoCopy(10, row.json);
  else
    insert.bind(10);
  insert.exec();
}

void set_latest(SQLite::Database& base, Kind kind, const std::string& id, std::int64_t sequence, const Document& document) {
  const jobs::ListEntry entry = jobs::list_entry(kind, document);
  SQLite::Statement put(
      base,
      "INSERT INTO latest (document, kind, sequence, binned_at, shown, words) VALUES (?, ?, ?, '', ?, ?) "
      "ON CONFLICT (document) DO UPDATE SET sequence = excluded.sequence, shown = excluded.shown, words = excluded.words");
  put.bind(1, id);
  put.bind(2, std::string(kind_word(kind)));
  put.bind(3, sequence);
  put.bind(4, write_json(entry.shown, -1));
  put.bind(5, entry.words);
  put.exec();
}

/// What is known of one version, without its content.
std::optional<RevisionRow> version_row(SQLite::Database& base, const std::string& id, int version) {
  SQLite::Statement query(base,
                          "SELECT revision, changed_at, who, note, act, version, parent, save_id, '' "
                          "FROM revision WHERE document = ? AND revision = ?");
  query.bind(1, id);
  query.bind(2, version);
  return query.executeStep() ? std::optional(row_of(query)) : std::nullopt;
}

}  // namespace

std::string_view kind_word(Kind kind) {
  switch (kind) {
    case Kind::kJob:
      return "job";
    case Kind::kEngine:
      return "engine";
    case Kind::kShop:
      break;
  }
  return "shop";
}

std::optional<RevisionRow> find_revision(SQLite::Database& base, std::string_view kind, const std::string& id, int revision) {
  SQLite::Statement query(
      base, std::string(kColumns) + "JOIN document d ON d.id = r.document AND d.kind = ? WHERE r.document = ? AND r.revision = ?");
  query.bind(1, std::string(kind));
  query.bind(2, id);
  query.bind(3, revision);
  return query.executeStep() ? std::optional(row_of(query)) : std::nullopt;
}

std::optional<RevisionRow> latest_revision(SQLite::Database& base, std::string_view kind, const std::string& id) {
  SQLite::Statement query(
      base,
      std::string(kColumns) + "JOIN document d ON d.id = r.document AND d.kind = ? WHERE r.document = ? ORDER BY r.revision DESC LIMIT 1");
  query.bind(1, std::string(kind));
  query.bind(2, id);
  return query.executeStep() ? std::optional(row_of(query)) : std::nullopt;
}

std::optional<RevisionRow> revision_of_save(SQLite::Database& base, const std::string& save_id, std::string& id) {
  if (save_id.empty()) return std::nullopt;
  SQLite::Statement query(base, std::string(kColumns) + "WHERE r.save_id = ? AND r.save_id <> ''");  // said so that the index is used
  query.bind(1, save_id);
  if (!query.executeStep()) return std::nullopt;
  id = query.getColumn(9).getString();
  return row_of(query);
}

std::string binned_at(SQLite::Database& base, const std::string& id) {
  SQLite::Statement query(base, "SELECT binned_at FROM latest WHERE document = ?");
  query.bind(1, id);
  return query.executeStep() ? query.getColumn(0).getString() : std::string();
}

std::optional<RevisionRow> undone_by_undo(SQLite::Database& base, const std::string& id, const RevisionRow& latest) {
  return latest.parent == 0 ? std::nullopt : version_row(base, id, latest.version);
}

std::optional<RevisionRow> made_by_redo(SQLite::Database& base, const std::string& id, const RevisionRow& latest) {
  SQLite::Statement newest(base, "SELECT max(revision) FROM revision WHERE document = ? AND version = revision");
  newest.bind(1, id);
  if (!newest.executeStep()) return std::nullopt;
  // From the newest content down the line of what it was made from, to the one that was made from what is shown now.
  int version = newest.getColumn(0).getInt();
  while (version > latest.version) {
    std::optional<RevisionRow> row = version_row(base, id, version);
    if (!row || row->parent == latest.version) return row;
    version = row->parent;
  }
  return std::nullopt;
}

void add_document(SQLite::Database& base, Kind kind, const std::string& id, const std::string& now) {
  SQLite::Statement insert(base, "INSERT INTO document (id, kind, created_at) VALUES (?, ?, ?)");
  insert.bind(1, id);
  insert.bind(2, std::string(kind_word(kind)));
  insert.bind(3, now);
  insert.exec();
}

void add_revision(SQLite::Database& base, Kind kind, const std::string& id, const RevisionRow& row, const Document& document) {
  insert_revision(base, id, row);
  set_latest(base, kind, id, base.getLastInsertRowid(), document);
}

void add_bin_revision(SQLite::Database& base, const std::string& id, const RevisionRow& row, bool binned) {
  insert_revision(base, id, row);
  SQLite::Statement put(base, "UPDATE latest SET sequence = ?, binned_at = ? WHERE document = ?");
  put.bind(1, static_cast<std::int64_t>(base.getLastInsertRowid()));
  put.bind(2, binned ? row.changed_at : std::string());
  put.bind(3, id);
  put.exec();
}

void rebuild_latest(SQLite::Database& base) {
  SQLite::Statement query(base,
                          "SELECT d.id, d.kind, max(r.sequence), r.content FROM document d JOIN revision r ON r.document = d.id "
                          "WHERE r.version = r.revision GROUP BY d.id");
  while (query.executeStep()) {
    const std::string word = query.getColumn(1).getString();
    const Kind kind = word == kind_word(Kind::kJob) ? Kind::kJob : word == kind_word(Kind::kEngine) ? Kind::kEngine : Kind::kShop;
    const Result<Document> document = read_json(query.getColumn(3).getString(), "");
    set_latest(base, kind, query.getColumn(0).getString(), query.getColumn(2).getInt64(), document ? *document : Document());
  }
}

}  // namespace headjoint::store::internal
