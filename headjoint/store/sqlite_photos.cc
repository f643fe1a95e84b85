#include <SQLiteCpp/Statement.h>

#include "headjoint/base/error.h"
#include "headjoint/store/internal/connections.h"
#include "headjoint/store/sqlite_store.h"

/// The photographs of a SqliteStore.
namespace headjoint::store {
namespace {

using jobs::PhotoStore;

constexpr const char* kColumns = "SELECT id, document, caption, type, width, height, length(bytes), added_at, who, binned_at FROM photo ";

PhotoStore::PhotoRow row_of(SQLite::Statement& query) {
  return {query.getColumn(0).getString(),
          query.getColumn(1).getString(),
          query.getColumn(2).getString(),
          query.getColumn(3).getString(),
          query.getColumn(4).getInt(),
          query.getColumn(5).getInt(),
          static_cast<std::size_t>(query.getColumn(6).getInt64()),
          query.getColumn(7).getString(),
          query.getColumn(8).getString(),
          query.getColumn(9).getString()};
}

std::optional<PhotoStore::PhotoRow> row_where(SQLite::Database& base, const char* condition, const std::string& value) {
  SQLite::Statement query(base, std::string(kColumns) + condition);
  query.bind(1, value);
  return query.executeStep() ? std::optional(row_of(query)) : std::nullopt;
}

std::optional<PhotoStore::PhotoRow> set(SQLite::Database& base, const char* sql, const std::string& value, const std::string& id) {
  SQLite::Statement update(base, sql);
  update.bind(1, value);
  update.bind(2, id);
  update.exec();
  return row_where(base, "WHERE id = ?", id);
}

}  // namespace

SqliteStore::PhotoRow SqliteStore::add_photo(const std::string& document, const Picture& picture, const Change& change) {
  return base_->write([&](SQLite::Database& base) {
    if (!change.save_id.empty()) {
      if (auto before = row_where(base, "WHERE save_id = ? AND save_id <> ''", change.save_id)) return std::move(*before);
    }
    const std::string id = base_->next_id(base);
    SQLite::Statement insert(base,
                             "INSERT INTO photo (id, document, added_at, who, caption, type, width, height, binned_at, save_id, bytes) "
                             "VALUES (?, ?, ?, ?, ?, ?, ?, ?, '', ?, ?)");
    insert.bind(1, id);
    insert.bind(2, document);
    insert.bind(3, base_->now());
    insert.bind(4, change.who);
    insert.bind(5, change.note);
    insert.bind(6, picture.type);
    insert.bind(7, picture.width);
    insert.bind(8, picture.height);
    insert.bind(9, change.save_id);
    insert.bindNoCopy(10, picture.bytes.data(), static_cast<int>(picture.bytes.size()));
    insert.exec();
    std::optional<PhotoStore::PhotoRow> row = row_where(base, "WHERE id = ?", id);
    require(row.has_value(), "a photograph that was just kept is there");
    return std::move(*row);
  });
}

std::vector<SqliteStore::PhotoRow> SqliteStore::photos(const std::string& document, bool in_bin) {
  return base_->read([&](SQLite::Database& base) {
    SQLite::Statement query(base, std::string(kColumns) + "WHERE document = ? AND (binned_at <> '') = ? ORDER BY id");
    query.bind(1, document);
    query.bind(2, in_bin ? 1 : 0);
    std::vector<PhotoStore::PhotoRow> all;
    while (query.executeStep()) all.push_back(row_of(query));
    return all;
  });
}

std::optional<SqliteStore::PhotoRow> SqliteStore::photo_row(const std::string& id) {
  return base_->read([&](SQLite::Database& base) { return row_where(base, "WHERE id = ?", id); });
}

std::optional<SqliteStore::Picture> SqliteStore::photo(const std::string& id) {
  return base_->read([&](SQLite::Database& base) -> std::optional<Picture> {
    SQLite::Statement query(base, "SELECT bytes, type, width, height FROM photo WHERE id = ?");
    query.bind(1, id);
    if (!query.executeStep()) return std::nullopt;
    const SQLite::Column bytes = query.getColumn(0);
    const char* data = static_cast<const char*>(bytes.getBlob());
    return Picture{std::string(data == nullptr ? "" : data, static_cast<std::size_t>(bytes.getBytes())), query.getColumn(1).getString(),
                   query.getColumn(2).getInt(), query.getColumn(3).getInt()};
  });
}

std::optional<SqliteStore::PhotoRow> SqliteStore::set_caption(const std::string& id, const std::string& caption) {
  return base_->write([&](SQLite::Database& base) { return set(base, "UPDATE photo SET caption = ? WHERE id = ?", caption, id); });
}

std::optional<SqliteStore::PhotoRow> SqliteStore::set_photo_binned(const std::string& id, bool binned) {
  return base_->write([&](SQLite::Database& base) {
    return set(base, "UPDATE photo SET binned_at = ? WHERE id = ?", binned ? base_->now() : std::string(), id);
  });
}

}  // namespace headjoint::store
