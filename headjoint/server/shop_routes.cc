#include "headjoint/server/internal/shop_routes.h"

#include <algorithm>
#include <fstream>
#include <vector>

#include "headjoint/base/error.h"
#include "headjoint/base/text.h"
#include "headjoint/server/internal/body.h"
#include "headjoint/server/internal/kept_document.h"
#include "headjoint/server/internal/replies.h"

namespace headjoint::server::internal {
namespace {

using jobs::DocumentStore;
using Kind = DocumentStore::Kind;
using Status = DocumentStore::Outcome::Status;

constexpr std::size_t kLongestText = 1U << 20U;

std::string text_in(const Document& body) {
  const Document* text = body.find("text");
  if (text == nullptr || !text->is_text() || text->text().size() > kLongestText) {
    throw Refusal(422, "the request cannot be used as it is",
                  {{{{}, 0, 0, "/text"}, "the text is missing, no text, or too long", "up to 1 MiB of text", {}}});
  }
  return text->text();
}

/// Syntax first, then what its own reader says. @throws Refusal with every problem
void check(const ShopDocument& document, const std::string& text) {
  const bool is_json = trimmed(text).starts_with('{');
  const Result<Document> read = is_json ? read_json(text, document.name) : read_toml(text, document.name);
  if (!read) throw Refusal(422, "this text cannot be kept as it is", read.problems());
  if (!document.check) return;
  Problems problems = document.check(text);
  if (has_errors(problems)) throw Refusal(422, "this text cannot be kept as it is", std::move(problems));
}

/// A file that came in, under a name of its own.
void write_down(const SpooledFile& file, const std::string& path) {
  std::ofstream out(path, std::ios::binary);
  std::vector<char> piece(1U << 16U);
  const std::unique_ptr<ByteSource> bytes = file.open();
  for (std::size_t count = bytes->read(piece); count > 0; count = bytes->read(piece))
    out.write(piece.data(), static_cast<std::streamsize>(count));
  out.close();
  if (!out) throw EnvironmentError(EnvironmentError::Kind::kInputOutput, "the copy cannot be written down: is the disk full?");
}

Document row(const ShopDocument& document, const std::optional<DocumentStore::Stored>& stored) {
  return Table{{"name", document.name},
               {"title", document.title},
               {"revision", stored ? stored->revision : 0},
               {"changed_at", stored ? stored->changed_at : std::string()},
               {"who", stored ? stored->who : std::string()}};
}

}  // namespace

void ShopRoutes::add_to(Router& router) const {
  const auto add = [&](const char* method, const char* pattern, Response (ShopRoutes::*member)(const RoutedRequest&) const,
                       WorkedBy worked_by, const char* takes = "") {
    router.add({method, std::string("/api/v1") + pattern, [this, member](const RoutedRequest& routed) { return (this->*member)(routed); },
                worked_by, takes});
  };
  add("GET", "/shop", &ShopRoutes::list, WorkedBy::kReader);
  add("GET", "/shop/{id}", &ShopRoutes::get, WorkedBy::kReader);
  add("PUT", "/shop/{id}", &ShopRoutes::put, WorkedBy::kStore, "application/json");
  add("POST", "/shop/{id}/undo", &ShopRoutes::undo, WorkedBy::kStore);
  add("POST", "/shop/{id}/redo", &ShopRoutes::redo, WorkedBy::kStore);
  add("POST", "/shop/{id}/revert", &ShopRoutes::revert, WorkedBy::kStore, "application/json");
  add("GET", "/shop/{id}/history", &ShopRoutes::history, WorkedBy::kReader);
  add("GET", "/health", &ShopRoutes::health, WorkedBy::kReader);
  add("GET", "/backup", &ShopRoutes::backup, WorkedBy::kLongSolver);
  router.add({.method = "POST",
              .pattern = "/api/v1/restore",
              .answer = [this](const RoutedRequest& routed) { return restore(routed); },
              .worked_by = WorkedBy::kLongSolver,
              .takes = {},
              .takes_files = true});
}

bool ShopRoutes::is_kept(const assess::OptionSpec& option) const {
  return option.kind == assess::OptionKind::kFile &&
         std::any_of(parts_.shop_documents.begin(), parts_.shop_documents.end(),
                     [&](const ShopDocument& document) { return document.name == option.name; });
}

void ShopRoutes::attach_to(const assess::Operation& operation, assess::Request& request) const {
  for (const assess::OptionSpec& option : operation.options) {
    const std::string name(option.name);
    if (!is_kept(option) || request.files.contains(name)) continue;
    const std::optional<DocumentStore::Stored> stored = parts_.store->get(Kind::kShop, name);
    if (!stored) continue;
    const Document text = stored->document();
    if (text.is_text() && !trimmed(text.text()).empty())
      request.files[name] = {text.text(), "shop document " + name, joint::nothing_beside()};
  }
}

std::string ShopRoutes::revisions_for(const assess::Operation& operation) const {
  std::string text;
  for (const assess::OptionSpec& option : operation.options) {
    if (!is_kept(option)) continue;
    const std::optional<DocumentStore::Stored> stored = parts_.store->get(Kind::kShop, std::string(option.name));
    text += "/" + std::string(option.name) + ":" + std::to_string(stored ? stored->revision : 0);
  }
  return text;
}

const ShopDocument& ShopRoutes::named(const RoutedRequest& routed) const {
  const std::string& name = routed.parts.at("id");
  const auto found = std::find_if(parts_.shop_documents.begin(), parts_.shop_documents.end(),
                                  [&](const ShopDocument& document) { return document.name == name; });
  if (found != parts_.shop_documents.end()) return *found;
  std::string known;
  for (const ShopDocument& document : parts_.shop_documents) known += (known.empty() ? "" : ", ") + document.name;
  throw Refusal(404, "the shop keeps no document of that name; it keeps " + known);
}

Response ShopRoutes::whole_or_refusal(const DocumentStore::Outcome& outcome, const RoutedRequest& routed) const {
  if (outcome.status == Status::kDone) return whole_reply(*outcome.stored, "text", {});
  return refused_reply(outcome, "shop document", routed.parts.at("id"), "text");
}

Response ShopRoutes::list(const RoutedRequest&) const {
  Array rows;
  for (const ShopDocument& document : parts_.shop_documents) rows.push_back(row(document, parts_.store->get(Kind::kShop, document.name)));
  return json_reply(Table{{"documents", std::move(rows)}});
}

Response ShopRoutes::get(const RoutedRequest& routed) const {
  const ShopDocument& document = named(routed);
  DocumentStore::Stored stored;
  stored.id = document.name;
  stored.json = "\"\"";
  if (auto kept = parts_.store->get(Kind::kShop, document.name)) stored = std::move(*kept);
  Document head = stamp(stored);
  head.set("title", document.title);
  head.set("example", document.example);
  Response response = reply_with_json(head, "text", stored.json);
  response.headers.emplace_back("ETag", "\"" + std::to_string(stored.revision) + "\"");
  return response;
}

Response ShopRoutes::put(const RoutedRequest& routed) const {
  const ShopDocument& document = named(routed);
  const int expected = expected_revision(routed);
  const Document body = read_body(routed.request.body, {"text", "note"});
  const std::string text = text_in(body);
  check(document, text);
  const DocumentStore::Outcome outcome = parts_.store->save(Kind::kShop, document.name, expected, text, change_in(routed, note_in(body)));
  if (outcome.status == Status::kDone) return stamp_reply(*outcome.stored);
  return refused_reply(outcome, "shop document", document.name, "text");
}

Response ShopRoutes::undo(const RoutedRequest& routed) const {
  return whole_or_refusal(parts_.store->undo(Kind::kShop, named(routed).name, expected_revision(routed), change_in(routed)), routed);
}

Response ShopRoutes::redo(const RoutedRequest& routed) const {
  return whole_or_refusal(parts_.store->redo(Kind::kShop, named(routed).name, expected_revision(routed), change_in(routed)), routed);
}

Response ShopRoutes::revert(const RoutedRequest& routed) const {
  const Document body = read_body(routed.request.body, {"revision", "note"});
  return whole_or_refusal(parts_.store->revert(Kind::kShop, named(routed).name, revision_in(body), change_in(routed, note_in(body))),
                          routed);
}

Response ShopRoutes::history(const RoutedRequest& routed) const {
  return json_reply(history_document(*parts_.store, Kind::kShop, named(routed).name, routed));
}

Response ShopRoutes::health(const RoutedRequest&) const {
  if (!parts_.store_health) throw Refusal(501, "this workbench does not look after its store");
  return json_reply(parts_.store_health());
}

Response ShopRoutes::backup(const RoutedRequest&) const {
  if (!parts_.copy_store) throw Refusal(501, "this workbench makes no copies");
  const auto file = PassingFile::named(parts_.work_folder, "copy");
  parts_.copy_store(file->path());
  Response response = attachment({}, "application/octet-stream", "headjoint-" + parts_.today() + ".hjshop");
  response.file = file;
  return response;
}

Response ShopRoutes::restore(const RoutedRequest& routed) const {
  if (!parts_.restore_store) throw Refusal(501, "this workbench restores nothing");
  if (!routed.request.file) throw Refusal(415, "send the copy itself, as Content-Type: application/octet-stream");
  const auto file = PassingFile::named(parts_.work_folder, "incoming");
  write_down(*routed.request.file, file->path());
  try {
    return json_reply(parts_.restore_store(file->path()));
  } catch (const EnvironmentError& error) {
    if (error.kind() == EnvironmentError::Kind::kBusy) throw;
    std::string said = error.what();
    if (said.starts_with(file->path())) said.replace(0, file->path().size(), "the file");
    throw Refusal(422, "nothing was changed; " + said);
  }
}

}  // namespace headjoint::server::internal
