#include "headjoint/store/internal/list_index.h"

#include <SQLiteCpp/Statement.h>

#include <algorithm>
#include <charconv>
#include <mutex>

#include "headjoint/base/error.h"
#include "headjoint/base/text.h"
#include "headjoint/store/internal/document_rows.h"

namespace headjoint::store::internal {
namespace {

using Kind = DocumentStore::Kind;

constexpr std::array kKinds{Kind::kJob, Kind::kEngine, Kind::kShop};
constexpr std::size_t kMostWords = 12;

std::size_t place_of(Kind kind) { return static_cast<std::size_t>(std::find(kKinds.begin(), kKinds.end(), kind) - kKinds.begin()); }

std::vector<std::string> words_of(const std::string& text) {
  std::vector<std::string> words;
  const std::string plain = jobs::folded(text);
  for (const std::string_view word : split(plain, ' ')) {
    if (!word.empty() && words.size() < kMostWords) words.emplace_back(word);
  }
  return words;
}

std::int64_t sequence_of_cursor(const std::string& cursor) {
  std::int64_t sequence = 0;
  const auto [end, failure] = std::from_chars(cursor.data(), cursor.data() + cursor.size(), sequence);
  if (cursor.empty()) return INT64_MAX;
  if (failure != std::errc() || end != cursor.data() + cursor.size()) throw InputError("after", "this is no place in the list");
  return sequence;
}

}  // namespace

void ListIndex::bring_up_to_date(SQLite::Database& reader) {
  const std::int64_t newest = reader.execAndGet("SELECT coalesce(max(sequence), 0) FROM revision").getInt64();
  {
    const std::shared_lock lock(mutex_);
    if (newest <= newest_) return;
  }
  const std::unique_lock lock(mutex_);
  for (const Kind kind : kKinds) {
    SQLite::Statement query(reader,
                            "SELECT l.document, r.revision, r.changed_at, r.who, l.binned_at, l.shown, l.words, l.sequence "
                            "FROM latest l JOIN revision r ON r.sequence = l.sequence WHERE l.kind = ? AND l.sequence > ?");
    query.bind(1, std::string(kind_word(kind)));
    query.bind(2, newest_);
    Side& side = sides_[place_of(kind)];
    while (query.executeStep()) {
      Entry entry{{query.getColumn(0).getString(), query.getColumn(1).getInt(), query.getColumn(2).getString(),
                   query.getColumn(3).getString(), query.getColumn(4).getString(), query.getColumn(5).getString()},
                  query.getColumn(6).getString()};
      const std::int64_t sequence = query.getColumn(7).getInt64();
      std::int64_t& known = side.sequence_of[entry.row.id];
      side.entries.erase(known);
      known = sequence;
      side.entries[sequence] = std::move(entry);
    }
  }
  newest_ = std::max(newest_, newest);
}

DocumentStore::Page ListIndex::list(SQLite::Database& reader, Kind kind, const DocumentStore::Search& search) {
  require(search.limit >= 1, "a page of a list holds something");
  const std::vector<std::string> words = words_of(search.words);
  const std::int64_t after = sequence_of_cursor(search.after);
  bring_up_to_date(reader);
  const std::shared_lock lock(mutex_);
  DocumentStore::Page page;
  std::int64_t last = 0;
  for (const auto& [sequence, entry] : sides_[place_of(kind)].entries) {
    const bool is_wanted =
        entry.row.binned_at.empty() != search.in_bin &&
        std::all_of(words.begin(), words.end(), [&](const std::string& word) { return entry.words.find(word) != std::string::npos; });
    if (!is_wanted) continue;
    ++page.total;
    if (sequence >= after) continue;
    if (page.rows.size() < search.limit) {
      page.rows.push_back(entry.row);
      last = sequence;
    } else if (page.next.empty()) {
      page.next = std::to_string(last);
    }
  }
  return page;
}

void ListIndex::clear() {
  const std::unique_lock lock(mutex_);
  newest_ = 0;
  sides_ = {};
}

}  // namespace headjoint::store::internal
