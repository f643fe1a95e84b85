#include <algorithm>
#include <charconv>
#include <limits>
#include <optional>
#include <utility>

#include "headjoint/base/text.h"
#include "headjoint/server/internal/body.h"
#include "headjoint/server/internal/replies.h"
#include "headjoint/server/internal/routes.h"

/// The routes of jobs: keeping them, and what the operations say about a kept one.
namespace headjoint::server {
namespace {

using internal::json_reply;
using internal::problem_reply;
using internal::read_body;
using internal::Refusal;
using jobs::JobStore;

constexpr std::size_t kLongestNote = 1000;

const char* const kPaperPolicy =
    "default-src 'none'; style-src 'unsafe-inline'; img-src 'self' data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

std::optional<int> whole_number(std::string_view text) {
  int number = 0;
  const auto [end, failure] = std::from_chars(text.data(), text.data() + text.size(), number);
  if (failure != std::errc() || end != text.data() + text.size()) return std::nullopt;
  return number;
}

const std::string& id_of(const RoutedRequest& routed) { return routed.parts.at("id"); }

Refusal no_such_job(const std::string& id) { return {404, "there is no job " + id}; }

std::string entity_tag(int revision) { return "\"" + std::to_string(revision) + "\""; }

Document stamp(const JobStore::Stored& stored) {
  return Table{{"id", stored.id}, {"revision", stored.revision}, {"changed_at", stored.changed_at}};
}

Document whole(const JobStore::Stored& stored) {
  Document document = stamp(stored);
  document.set("document", stored.document);
  return document;
}

Response stamped(const JobStore::Stored& stored, int status = 200) {
  Response response = json_reply(stamp(stored), status);
  response.headers.emplace_back("ETag", entity_tag(stored.revision));
  return response;
}

/// @throws Refusal 428 without If-Match, 400 when it holds no revision
int expected_revision(const RoutedRequest& routed) {
  const std::string header = routed.request.header("if-match");
  if (header.empty()) throw Refusal(428, "send If-Match with the revision this change was made on");
  std::string_view text = trimmed(header);
  if (text.size() >= 2 && text.front() == '"' && text.back() == '"') text = text.substr(1, text.size() - 2);
  const std::optional<int> revision = whole_number(text);
  if (!revision || *revision < 1) throw Refusal(400, "If-Match does not hold a revision such as \"3\"");
  return *revision;
}

std::string note_in(const Document& body) {
  const Document* note = body.find("note");
  if (note == nullptr || note->is_null()) return {};
  if (!note->is_text() || note->text().size() > kLongestNote) {
    throw Refusal(422, "the request cannot be used as it is",
                  {{{{}, 0, 0, "/note"}, "the note is no text, or too long", "up to 1000 bytes of text", {}}});
  }
  return note->text();
}

/// A kept document, its pointers as if it had been read alone.
Document kept_document(const Document& body) { return internal::standing_alone(internal::document_in(body, "document"), "/document", ""); }

}  // namespace

void Workbench::Routes::add_job_routes() {
  const auto bind = [this](Response (Routes::*member)(const RoutedRequest&) const) {
    return [this, member](const RoutedRequest& routed) { return (this->*member)(routed); };
  };
  const char* const json = "application/json";
  router_.add({"GET", "/api/v1/new-job", bind(&Routes::new_job), WorkedBy::kStore, {}});
  router_.add({"GET", "/api/v1/jobs", [this](const RoutedRequest&) { return list_jobs(); }, WorkedBy::kStore, {}});
  router_.add({"POST", "/api/v1/jobs", bind(&Routes::create_job), WorkedBy::kStore, json});
  router_.add({"GET", "/api/v1/jobs/{id}", bind(&Routes::get_job), WorkedBy::kStore, {}});
  router_.add({"PUT", "/api/v1/jobs/{id}", bind(&Routes::put_job), WorkedBy::kStore, json});
  router_.add({"GET", "/api/v1/jobs/{id}/history", bind(&Routes::job_history), WorkedBy::kStore, {}});
  router_.add({"POST", "/api/v1/jobs/{id}/revert", bind(&Routes::revert_job), WorkedBy::kStore, json});
}

void Workbench::Routes::add_finding_routes() {
  router_.add({"GET", "/api/v1/jobs/{id}/assessment", [this](const RoutedRequest& r) { return job_assessment(r); }, WorkedBy::kSolver, {}});
  router_.add({"GET", "/api/v1/jobs/{id}/questions", [this](const RoutedRequest& r) { return job_questions(r); }, WorkedBy::kSolver, {}});
  router_.add({"GET",
               "/api/v1/jobs/{id}/paper",
               [this](const RoutedRequest& r) { return job_paper(r, parts_.record_html); },
               WorkedBy::kSolver,
               {}});
  router_.add({"GET",
               "/api/v1/jobs/{id}/owner-sheet",
               [this](const RoutedRequest& r) { return job_paper(r, parts_.owner_sheet_html); },
               WorkedBy::kSolver,
               {}});
  router_.add({"GET",
               "/api/v1/jobs/{id}/machine-shop-order",
               [this](const RoutedRequest& r) { return job_paper(r, parts_.machine_shop_html); },
               WorkedBy::kSolver,
               {}});
  router_.add({"GET",
               "/api/v1/jobs/{id}/tightening-sheet",
               [this](const RoutedRequest& r) { return job_paper(r, parts_.tightening_html); },
               WorkedBy::kSolver,
               {}});
  for (const auto& [path, make] : {std::pair{"/api/v1/jobs/{id}/repair-plan", &parts_.repair_plan_html},
                                   std::pair{"/api/v1/jobs/{id}/measuring-sheets", &parts_.measuring_html},
                                   std::pair{"/api/v1/jobs/{id}/warranty-record", &parts_.warranty_html}})
    router_.add({"GET", path, [this, make](const RoutedRequest& r) { return job_paper(r, *make); }, WorkedBy::kSolver, {}});
}

Response Workbench::Routes::new_job(const RoutedRequest& routed) const {
  if (!parts_.new_job_document) throw Refusal(501, "this workbench makes no new jobs");
  const std::optional<int> cylinders = whole_number(routed.query_value("cylinders", "4"));
  if (!cylinders || *cylinders < 1 || *cylinders > 16) {
    throw Refusal(422, "the request cannot be used as it is",
                  {{{{}, 0, 0, "/cylinders"}, "the number of cylinders cannot be used", "1 to 16", {}}});
  }
  const Result<Document> document = parts_.new_job_document(
      {*cylinders, routed.query_value("layout", "inline"), routed.query_value("fuel", "petrol"), routed.query_value("title")});
  if (!document) throw Refusal(422, "the request cannot be used as it is", document.problems());
  return json_reply(Table{{"document", *document}});
}

Response Workbench::Routes::list_jobs() const {
  Array rows;
  for (const JobStore::Summary& job : parts_.store->list()) {
    rows.emplace_back(Table{{"id", job.id},
                            {"revision", job.revision},
                            {"changed_at", job.changed_at},
                            {"number", job.number},
                            {"title", job.title},
                            {"engine", job.engine_name}});
  }
  return json_reply(Table{{"jobs", std::move(rows)}});
}

Response Workbench::Routes::create_job(const RoutedRequest& routed) const {
  const Document body = read_body(routed.request.body, {"document"});
  const std::string id = parts_.store->create(kept_document(body));
  const std::optional<JobStore::Stored> stored = parts_.store->get(id);
  require(stored.has_value(), "a job that was just made is there");
  Response response = stamped(*stored, 201);
  response.headers.emplace_back("Location", "/api/v1/jobs/" + id);
  return response;
}

Response Workbench::Routes::get_job(const RoutedRequest& routed) const {
  const std::optional<JobStore::Stored> stored = parts_.store->get(id_of(routed));
  if (!stored) throw no_such_job(id_of(routed));
  const std::string tag = entity_tag(stored->revision);
  const bool is_known = routed.request.header("if-none-match") == tag;
  Response response = is_known ? Response{304, {}, {}, {}} : json_reply(whole(*stored));
  response.headers = {{"ETag", tag}, {"Cache-Control", "no-cache"}};
  return response;
}

Response Workbench::Routes::put_job(const RoutedRequest& routed) const {
  const int expected = expected_revision(routed);
  const Document body = read_body(routed.request.body, {"document", "note"});
  const JobStore::SaveOutcome outcome = parts_.store->save(id_of(routed), expected, kept_document(body), note_in(body));
  switch (outcome.status) {
    case JobStore::SaveOutcome::Status::kSaved:
      return stamped(*outcome.stored);
    case JobStore::SaveOutcome::Status::kConflict:
      return internal::problem_reply_with(412, "someone else changed this job meanwhile", "current", whole(*outcome.stored));
    case JobStore::SaveOutcome::Status::kNoSuchJob:
      break;
  }
  throw no_such_job(id_of(routed));
}

Response Workbench::Routes::job_history(const RoutedRequest& routed) const {
  Array rows;
  for (const JobStore::Revision& revision : parts_.store->history(id_of(routed))) {
    rows.emplace_back(Table{{"revision", revision.revision}, {"changed_at", revision.changed_at}, {"note", revision.note}});
  }
  if (rows.empty()) throw no_such_job(id_of(routed));
  return json_reply(Table{{"revisions", std::move(rows)}});
}

Response Workbench::Routes::revert_job(const RoutedRequest& routed) const {
  const Document body = read_body(routed.request.body, {"revision"});
  const Document* revision = body.find("revision");
  if (revision == nullptr || !revision->is_integer() || revision->integer() < 1 || revision->integer() > std::numeric_limits<int>::max()) {
    throw Refusal(422, "the request cannot be used as it is",
                  {{{{}, 0, 0, "/revision"}, "the revision cannot be used", "a whole number from 1", {}}});
  }
  const JobStore::SaveOutcome outcome = parts_.store->revert(id_of(routed), static_cast<int>(revision->integer()));
  if (outcome.status != JobStore::SaveOutcome::Status::kSaved) throw Refusal(404, "there is no such job or revision");
  return stamped(*outcome.stored);
}

assess::Reply Workbench::Routes::reply_about(const RoutedRequest& routed, std::string_view operation) const {
  const auto found =
      std::find_if(parts_.operations.begin(), parts_.operations.end(), [&](const assess::Operation& one) { return one.name == operation; });
  if (found == parts_.operations.end()) throw Refusal(501, "this workbench has no operation " + std::string(operation));
  std::optional<JobStore::Stored> stored = parts_.store->get(id_of(routed));
  if (!stored) throw no_such_job(id_of(routed));
  assess::Request request;
  request.source = "job " + stored->id;
  request.input = std::move(stored->document);
  Result<assess::Reply> reply = found->run(request);
  if (!reply) throw Refusal(422, "the job cannot be assessed as it is", reply.problems());
  return std::move(reply).value();
}

Response Workbench::Routes::job_assessment(const RoutedRequest& routed) const {
  assess::Reply reply = reply_about(routed, "assess");
  const auto* assessment = std::get_if<assess::Assessment>(&reply.content);
  require(assessment != nullptr, "the operation assess answers an Assessment");
  const auto plan = [&](std::string_view layer) { return parts_.plan_svg ? Document(parts_.plan_svg(*assessment, layer)) : Document(); };
  reply.document.set("plan", Table{{"breach", plan("breach")},
                                   {"face", assessment->faces.empty() ? Document() : plan("face")},
                                   {"seen", assessment->job.seen.empty() ? Document() : plan("seen")}});
  return json_reply(reply.document);
}

Response Workbench::Routes::job_questions(const RoutedRequest& routed) const {
  return json_reply(reply_about(routed, "questions").document);
}

Response Workbench::Routes::job_paper(const RoutedRequest& routed, const PaperMaker& make) const {
  if (!make) throw Refusal(501, "this workbench prints no papers");
  const assess::Reply reply = reply_about(routed, "assess");
  const auto* assessment = std::get_if<assess::Assessment>(&reply.content);
  require(assessment != nullptr, "the operation assess answers an Assessment");
  return {200, "text/html; charset=utf-8", make(*assessment), {{"Content-Security-Policy", kPaperPolicy}}};
}

}  // namespace headjoint::server
