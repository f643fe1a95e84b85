#include "headjoint/server/internal/kept_document.h"

#include <algorithm>
#include <charconv>
#include <limits>
#include <optional>

#include "headjoint/base/text.h"
#include "headjoint/jobs/document_changes.h"
#include "headjoint/server/internal/body.h"
#include "headjoint/server/internal/replies.h"

namespace headjoint::server::internal {
namespace {

constexpr std::size_t kLongestNote = 1000;
constexpr std::size_t kLongestWho = 400;  // bytes: 100 letters of four
constexpr std::size_t kLongestSaveId = 64;
constexpr std::size_t kMostChanges = 100;  // of one revision
constexpr int kHistoryPage = 50;
constexpr int kLongestHistoryPage = 200;

Refusal unusable(const std::string& pointer, const std::string& what, const std::string& allowed) {
  return {422, "the request cannot be used as it is", {{{{}, 0, 0, pointer}, what, allowed, {}}}};
}

std::optional<int> whole_number(std::string_view text) {
  int number = 0;
  const auto [end, failure] = std::from_chars(text.data(), text.data() + text.size(), number);
  if (failure != std::errc() || end != text.data() + text.size()) return std::nullopt;
  return number;
}

std::string who_in(const RoutedRequest& routed) {
  const std::string& header = routed.request.header("headjoint-who");
  if (header.empty()) return {};
  const std::optional<std::string> name = percent_decoded(header);
  const bool has_control = name && std::any_of(name->begin(), name->end(), [](char c) { return static_cast<unsigned char>(c) < 0x20; });
  if (!name || has_control || name->size() > kLongestWho)
    throw unusable("/headjoint-who", "the name of who makes the change cannot be used", "up to 100 letters, percent-encoded");
  return std::string(trimmed(*name));
}

std::string save_id_in(const RoutedRequest& routed) {
  const std::string& id = routed.request.header("headjoint-save-id");
  const bool is_plain = std::all_of(id.begin(), id.end(), [](char c) {
    return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '-' || c == '_';
  });
  if (!is_plain || id.size() > kLongestSaveId)
    throw unusable("/headjoint-save-id", "the save id cannot be used", "up to 64 letters, digits, - and _");
  return id;
}

Document told(const std::optional<DocumentStore::Revision>& revision) {
  if (!revision) return {};
  return Table{{"note", revision->note}, {"who", revision->who}, {"changed_at", revision->changed_at}};
}

std::string entity_tag(int revision) { return "\"" + std::to_string(revision) + "\""; }

Document read_back(const std::string& json) {
  Result<Document> document = read_json(json, "");
  return document ? std::move(document).value() : Document();
}

/// A revision as the history shows it. The first one has no differences: all of it was new.
Document revision_row(const DocumentStore::Revision& revision) {
  Array changes;
  bool has_more = false;
  if (!revision.before.empty() && revision.before != revision.json) {
    for (jobs::DocumentChange& change : jobs::changes_between(read_back(revision.before), read_back(revision.json))) {
      has_more = changes.size() == kMostChanges;
      if (has_more) break;
      changes.emplace_back(Table{{"path", std::move(change.path)}, {"old", std::move(change.before)}, {"new", std::move(change.after)}});
    }
  }
  return Table{{"revision", revision.revision}, {"changed_at", revision.changed_at}, {"who", revision.who},     {"note", revision.note},
               {"kind", revision.act},          {"changes", std::move(changes)},     {"more_changes", has_more}};
}

}  // namespace

DocumentStore::Change change_in(const RoutedRequest& routed, std::string note) {
  return {std::move(note), who_in(routed), save_id_in(routed)};
}

std::string note_in(const Document& body) {
  const Document* note = body.find("note");
  if (note == nullptr || note->is_null()) return {};
  if (!note->is_text() || note->text().size() > kLongestNote)
    throw unusable("/note", "the note is no text, or too long", "up to 1000 bytes of text");
  return note->text();
}

int revision_in(const Document& body) {
  const Document* revision = body.find("revision");
  if (revision == nullptr || !revision->is_integer() || revision->integer() < 1 || revision->integer() > std::numeric_limits<int>::max())
    throw unusable("/revision", "the revision cannot be used", "a whole number from 1");
  return static_cast<int>(revision->integer());
}

int expected_revision(const RoutedRequest& routed) {
  const std::string header = routed.request.header("if-match");
  if (header.empty()) throw Refusal(428, "send If-Match with the revision this change was made on");
  std::string_view text = trimmed(header);
  if (text.size() >= 2 && text.front() == '"' && text.back() == '"') text = text.substr(1, text.size() - 2);
  const std::optional<int> revision = whole_number(text);
  if (!revision || *revision < 0) throw Refusal(400, "If-Match does not hold a revision such as \"3\"");
  return *revision;
}

int number_in_query(const RoutedRequest& routed, const std::string& name, int otherwise, int least, int most) {
  const std::optional<int> number = whole_number(routed.query_value(name, std::to_string(otherwise)));
  if (!number || *number < least || *number > most)
    throw unusable("/" + name, "\"" + name + "\" cannot be used", std::to_string(least) + " to " + std::to_string(most));
  return *number;
}

Document stamp(const DocumentStore::Stored& stored) {
  Document document = Table{{"id", stored.id},   {"revision", stored.revision}, {"changed_at", stored.changed_at},
                            {"who", stored.who}, {"undo", told(stored.undo)},   {"redo", told(stored.redo)}};
  if (!stored.binned_at.empty()) document.set("binned_at", stored.binned_at);
  return document;
}

Response reply_with_json(const Document& head, const std::string& key, const std::string& json, int status) {
  Response response = json_reply(head, status);
  response.body.pop_back();
  response.body.reserve(response.body.size() + key.size() + json.size() + 8);
  response.body.append(response.body.size() > 1 ? ",\"" : "\"").append(key).append("\":").append(json).append("}");
  return response;
}

Response stamp_reply(const DocumentStore::Stored& stored, int status) {
  Response response = json_reply(stamp(stored), status);
  response.headers.emplace_back("ETag", entity_tag(stored.revision));
  return response;
}

Response whole_reply(const DocumentStore::Stored& stored, const std::string& key, const Request& request) {
  const std::string tag = entity_tag(stored.revision);
  Response response = request.header("if-none-match") == tag ? Response{304, {}, {}, {}} : reply_with_json(stamp(stored), key, stored.json);
  response.headers = {{"ETag", tag}, {"Cache-Control", "no-cache"}};
  return response;
}

Response refused_reply(const DocumentStore::Outcome& outcome, const std::string& noun, const std::string& id, const std::string& key) {
  using Status = DocumentStore::Outcome::Status;
  if (!outcome.stored) return problem_reply(404, "there is no " + noun + " " + id);
  Document current = stamp(*outcome.stored);
  current.set(key, read_back(outcome.stored->json));
  const std::string by = outcome.stored->who.empty() ? std::string() : " by " + outcome.stored->who;
  if (outcome.status == Status::kBinned) {
    return problem_reply_with(410,
                              "this " + noun + " was put into the bin" + by + ", " + outcome.stored->binned_at +
                                  "; nothing of it is lost, take it out of the bin to go on",
                              "current", std::move(current));
  }
  if (outcome.status == Status::kNothingToDo)
    return problem_reply_with(409, "there is nothing to go back or forward to", "current", std::move(current));
  return problem_reply_with(412, "someone else changed this " + noun + " meanwhile", "current", std::move(current));
}

Document history_document(DocumentStore& store, DocumentStore::Kind kind, const std::string& id, const RoutedRequest& routed) {
  const int limit = number_in_query(routed, "limit", kHistoryPage, 1, kLongestHistoryPage);
  const int before = number_in_query(routed, "before", 0, 0, std::numeric_limits<int>::max());
  const std::vector<DocumentStore::Revision> revisions = store.history(kind, id, before, static_cast<std::size_t>(limit));
  Array rows;
  for (const DocumentStore::Revision& revision : revisions) rows.push_back(revision_row(revision));
  const bool has_more = !revisions.empty() && revisions.back().revision > 1;
  return Table{{"revisions", std::move(rows)}, {"next", has_more ? Document(revisions.back().revision) : Document()}};
}

Response attachment(std::string bytes, std::string type, const std::string& name) {
  return {200, std::move(type), std::move(bytes), {{"Content-Disposition", "attachment; filename=\"" + name + "\""}}};
}

}  // namespace headjoint::server::internal
