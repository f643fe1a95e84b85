#include "headjoint/server/internal/document_routes.h"

#include <algorithm>

#include "headjoint/assess/engine_input.h"
#include "headjoint/base/error.h"
#include "headjoint/base/text.h"
#include "headjoint/jobs/kept_file.h"
#include "headjoint/server/internal/body.h"
#include "headjoint/server/internal/kept_document.h"
#include "headjoint/server/internal/replies.h"

/// Jobs and engines as documents: what the routes of both have in common.
namespace headjoint::server::internal {
namespace {

using Kind = jobs::DocumentStore::Kind;
using Status = jobs::DocumentStore::Outcome::Status;

constexpr int kListPage = 100;
constexpr int kLongestListPage = 500;
constexpr const char* kJsonType = "application/json";

const std::string& id_of(const RoutedRequest& routed) { return routed.parts.at("id"); }

/// A kept document, its pointers as if it had been read alone.
Document kept_document(const Document& body) { return standing_alone(document_in(body, "document"), "/document", ""); }

std::string text_in(const Document& body, const char* key) {
  const Document* text = body.find(key);
  if (text == nullptr || text->is_null()) return {};
  if (!text->is_text())
    throw Refusal(422, "the request cannot be used as it is",
                  {{{{}, 0, 0, std::string("/") + key}, std::string("\"") + key + "\" is " + text->kind_text(), "text", {}}});
  return text->text();
}

/// A row of a list: what all have, then what is shown of this kind, which is JSON already.
std::string list_row(const jobs::DocumentStore::Row& row) {
  Document head = Table{{"id", row.id}, {"revision", row.revision}, {"changed_at", row.changed_at}, {"who", row.who}};
  if (!row.binned_at.empty()) head.set("binned_at", row.binned_at);
  std::string text = write_json(head, -1);
  if (row.shown.size() > 2) {
    text.back() = ',';
    text.append(row.shown, 1);
  }
  return text;
}

/// What the check of a file says about it; problems keep nothing out.
Problems problems_of(const WorkbenchParts& parts, const std::string& text, const std::string& source) {
  const auto check =
      std::find_if(parts.operations.begin(), parts.operations.end(), [](const assess::Operation& one) { return one.name == "check"; });
  if (check == parts.operations.end()) return {};
  assess::Request request;
  request.input = Document(text);
  request.source = source;
  const Result<assess::Reply> reply = check->run(request);
  if (!reply) return reply.problems();
  const auto* checked = assess::content_if<assess::CheckReply>(*reply);
  return checked == nullptr ? Problems{} : checked->problems;
}

}  // namespace

DocumentRoutes::DocumentRoutes(const WorkbenchParts& parts, Kind kind)
    : parts_(parts), kind_(kind), noun_(kind == Kind::kJob ? "job" : "engine"), base_("/api/v1/" + noun_ + "s") {
  require(kind != Kind::kShop, "documents of the shop have routes of their own");
}

void DocumentRoutes::add_to(Router& router) const {
  add_document_routes(router);
  add_photo_routes(router);
}

void DocumentRoutes::add_document_routes(Router& router) const {
  const auto add = [&](const char* method, const std::string& rest, Response (DocumentRoutes::*member)(const RoutedRequest&) const,
                       WorkedBy worked_by, const char* takes = "") {
    router.add({method, base_ + rest, [this, member](const RoutedRequest& routed) { return (this->*member)(routed); }, worked_by, takes});
  };
  add("GET", "", &DocumentRoutes::list, WorkedBy::kReader);
  add("POST", "", &DocumentRoutes::create, WorkedBy::kStore, kJsonType);
  add("POST", "/import", &DocumentRoutes::import_file, WorkedBy::kSolver, kJsonType);
  add("GET", "/{id}", &DocumentRoutes::get, WorkedBy::kReader);
  add("PUT", "/{id}", &DocumentRoutes::put, WorkedBy::kStore, kJsonType);
  add("DELETE", "/{id}", &DocumentRoutes::remove, WorkedBy::kStore);
  add("POST", "/{id}/undo", &DocumentRoutes::undo, WorkedBy::kStore);
  add("POST", "/{id}/redo", &DocumentRoutes::redo, WorkedBy::kStore);
  add("POST", "/{id}/revert", &DocumentRoutes::revert, WorkedBy::kStore, kJsonType);
  add("POST", "/{id}/restore", &DocumentRoutes::restore, WorkedBy::kStore);
  add("POST", "/{id}/copy", &DocumentRoutes::copy, WorkedBy::kStore, kJsonType);
  add("GET", "/{id}/history", &DocumentRoutes::history, WorkedBy::kReader);
  add("GET", "/{id}/export", &DocumentRoutes::export_file, WorkedBy::kReader);
}

DocumentRoutes::Stored DocumentRoutes::stored(const RoutedRequest& routed) const {
  std::optional<Stored> found = store().get(kind_, id_of(routed));
  if (!found) throw Refusal(404, "there is no " + noun_ + " " + id_of(routed));
  return std::move(*found);
}

Response DocumentRoutes::created(const Stored& stored) const {
  Response response = stamp_reply(stored, 201);
  response.headers.emplace_back("Location", base_ + "/" + stored.id);
  return response;
}

Response DocumentRoutes::whole_or_refusal(const Outcome& outcome, const RoutedRequest& routed) const {
  if (outcome.status == Status::kDone) return whole_reply(*outcome.stored, "document", {});
  return refused_reply(outcome, noun_, id_of(routed), "document");
}

Response DocumentRoutes::list(const RoutedRequest& routed) const {
  jobs::DocumentStore::Search search;
  search.words = routed.query_value("find");
  search.limit = static_cast<std::size_t>(number_in_query(routed, "limit", kListPage, 1, kLongestListPage));
  search.after = routed.query_value("after");
  search.in_bin = routed.query_value("bin") == "true";
  const jobs::DocumentStore::Page page = store().list(kind_, search);
  std::string rows = "[";
  for (const jobs::DocumentStore::Row& row : page.rows) rows.append(rows.size() > 1 ? "," : "").append(list_row(row));
  return reply_with_json(Table{{"total", page.total}, {"next", page.next.empty() ? Document() : Document(page.next)}}, noun_ + "s",
                         rows + "]");
}

Response DocumentRoutes::create(const RoutedRequest& routed) const {
  const Document body = read_body(routed.request.body, {"document", "note"});
  return created(store().create(kind_, kept_document(body), change_in(routed, note_in(body))));
}

Response DocumentRoutes::get(const RoutedRequest& routed) const {
  Stored found = stored(routed);
  if (!routed.query.contains("revision")) return whole_reply(found, "document", routed.request);
  const int revision = number_in_query(routed, "revision", 0, 1, found.revision);
  const auto older = store().get_revision(kind_, id_of(routed), revision);
  if (!older) throw Refusal(404, "there is no such revision");
  return reply_with_json(
      Table{{"id", found.id}, {"revision", older->revision}, {"changed_at", older->changed_at}, {"who", older->who}, {"note", older->note}},
      "document", older->json);
}

Response DocumentRoutes::put(const RoutedRequest& routed) const {
  const int expected = expected_revision(routed);
  const Document body = read_body(routed.request.body, {"document", "note"});
  const Outcome outcome = store().save(kind_, id_of(routed), expected, kept_document(body), change_in(routed, note_in(body)));
  if (outcome.status == Status::kDone) return stamp_reply(*outcome.stored);
  return refused_reply(outcome, noun_, id_of(routed), "document");
}

Response DocumentRoutes::undo(const RoutedRequest& routed) const {
  return whole_or_refusal(store().undo(kind_, id_of(routed), expected_revision(routed), change_in(routed)), routed);
}

Response DocumentRoutes::redo(const RoutedRequest& routed) const {
  return whole_or_refusal(store().redo(kind_, id_of(routed), expected_revision(routed), change_in(routed)), routed);
}

Response DocumentRoutes::revert(const RoutedRequest& routed) const {
  const Document body = read_body(routed.request.body, {"revision", "note"});
  const Outcome outcome = store().revert(kind_, id_of(routed), revision_in(body), change_in(routed, note_in(body)));
  if (outcome.status == Status::kMissing) throw Refusal(404, "there is no such " + noun_ + " or revision");
  return whole_or_refusal(outcome, routed);
}

Response DocumentRoutes::history(const RoutedRequest& routed) const {
  const Document document = history_document(store(), kind_, id_of(routed), routed);
  if (document.find("revisions")->array().empty()) (void)stored(routed);
  return json_reply(document);
}

Response DocumentRoutes::remove(const RoutedRequest& routed) const {
  const Outcome outcome = store().set_binned(kind_, id_of(routed), true, change_in(routed));
  return outcome.status == Status::kDone ? stamp_reply(*outcome.stored) : refused_reply(outcome, noun_, id_of(routed), "document");
}

Response DocumentRoutes::restore(const RoutedRequest& routed) const {
  return whole_or_refusal(store().set_binned(kind_, id_of(routed), false, change_in(routed)), routed);
}

Response DocumentRoutes::copy(const RoutedRequest& routed) const {
  const char* const name_key = kind_ == Kind::kJob ? "title" : "name";
  const Document body = read_body(routed.request.body, {name_key});
  const Stored source = stored(routed);
  Document document = source.document();
  if (const std::string name = text_in(body, name_key); !name.empty() && document.is_table()) document.set(name_key, name);
  Change change = change_in(routed, "copy of " + noun_ + " " + source.id);
  return created(store().create(kind_, document, change, source.id));
}

Response DocumentRoutes::export_file(const RoutedRequest& routed) const {
  const std::string format = routed.query_value("format", "toml");
  if (format != "toml" && format != "json") throw Refusal(422, "\"format\" must be toml or json");
  const Stored found = stored(routed);
  const Document document = found.document();
  const Document* name = document.find(kind_ == Kind::kJob ? "number" : "name");
  const std::string file = jobs::kept_file_name(noun_, name != nullptr && name->is_text() ? name->text() : found.id, format);
  const std::string type = format == "json" ? "application/json; charset=utf-8" : "application/toml; charset=utf-8";
  return attachment(jobs::kept_file_text(document, format), type, file);
}

Response DocumentRoutes::import_file(const RoutedRequest& routed) const {
  const Document body = read_body(routed.request.body, {"text", "source"});
  const std::string text = text_in(body, "text");
  const std::string named = text_in(body, "source");
  const std::string source = named.empty() ? "file" : named;
  const bool is_json = source.ends_with(".json") || trimmed(text).starts_with('{');
  Result<Document> read = is_json ? read_json(text, source) : read_toml(text, source);
  if (!read) throw Refusal(422, "the file cannot be read", read.problems());
  const bool is_engine = assess::looks_like_engine(*read);
  if (!read->is_table() || read->table().empty()) throw Refusal(422, "the file holds no " + noun_);
  if (is_engine != (kind_ == Kind::kEngine)) {
    throw Refusal(422, is_engine ? "this file holds an engine: bring it in on the page of engines"
                                 : "this file holds no engine; a job is brought in on the page of jobs");
  }
  Document answer = stamp(store().create(kind_, standing_alone(*read, "", ""), change_in(routed, "from the file " + source)));
  answer.set("problems", problems_document(problems_of(parts_, text, source)));
  return json_reply(answer, 201);
}

}  // namespace headjoint::server::internal
