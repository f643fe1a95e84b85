#include <algorithm>
#include <optional>
#include <utility>

#include "headjoint/base/error.h"
#include "headjoint/server/internal/body.h"
#include "headjoint/server/internal/kept_document.h"
#include "headjoint/server/internal/replies.h"
#include "headjoint/server/internal/routes.h"

/// What the operations say about a kept job, its papers, and fresh documents.
namespace headjoint::server {
namespace {

using internal::json_reply;
using internal::Refusal;

const char* const kPaperPolicy =
    "default-src 'none'; style-src 'unsafe-inline'; img-src 'self' data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

}  // namespace

void Workbench::Routes::add_finding_routes() {
  router_.add({"GET", "/api/v1/new-job", [this](const RoutedRequest& r) { return new_job(r); }, WorkedBy::kReader, {}});
  router_.add({"GET", "/api/v1/new-engine", [this](const RoutedRequest& r) { return new_engine(r); }, WorkedBy::kReader, {}});
  router_.add({.method = "GET",
               .pattern = "/api/v1/jobs/{id}/assessment",
               .answer = [this](const RoutedRequest& r) { return job_assessment(r); },
               .worked_by = WorkedBy::kSolver,
               .takes = {},
               .at_once = [this](const RoutedRequest& r) { return kept_answer(r, "assess"); }});
  router_.add({.method = "GET",
               .pattern = "/api/v1/jobs/{id}/questions",
               .answer = [this](const RoutedRequest& r) { return job_questions(r); },
               .worked_by = WorkedBy::kSolver,
               .takes = {},
               .at_once = [this](const RoutedRequest& r) { return kept_answer(r, "questions"); }});
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
  const int cylinders = internal::number_in_query(routed, "cylinders", 4, 1, 16);
  const Result<Document> document = parts_.new_job_document(
      {cylinders, routed.query_value("layout", "inline"), routed.query_value("fuel", "petrol"), routed.query_value("title")});
  if (!document) throw Refusal(422, "the request cannot be used as it is", document.problems());
  return json_reply(Table{{"document", *document}});
}

Response Workbench::Routes::new_engine(const RoutedRequest& routed) const {
  if (!parts_.new_engine_document) throw Refusal(501, "this workbench makes no new engines");
  const int cylinders = internal::number_in_query(routed, "cylinders", 4, 1, 16);
  const Result<Document> document = parts_.new_engine_document(
      {cylinders, routed.query_value("layout", "inline"), routed.query_value("fuel", "petrol"), routed.query_value("name")});
  if (!document) throw Refusal(422, "the request cannot be used as it is", document.problems());
  return json_reply(Table{{"document", *document}});
}

Workbench::Routes::Question Workbench::Routes::question_about(const RoutedRequest& routed, std::string_view operation) const {
  const auto found =
      std::find_if(parts_.operations.begin(), parts_.operations.end(), [&](const assess::Operation& one) { return one.name == operation; });
  if (found == parts_.operations.end()) throw Refusal(501, "this workbench has no operation " + std::string(operation));
  const std::string& id = routed.parts.at("id");
  std::optional<jobs::DocumentStore::Stored> stored = parts_.store->get(jobs::DocumentStore::Kind::kJob, id);
  if (!stored) throw Refusal(404, "there is no job " + id);
  const std::string key = std::string(operation) + "/" + id + "/" + std::to_string(stored->revision) + "/" + stored->changed_at +
                          shop_routes_.revisions_for(*found);
  return {&*found, std::move(*stored), key};
}

assess::Reply Workbench::Routes::reply_to(const Question& question) const {
  assess::Request request;
  request.source = "job " + question.job.id;
  request.input = question.job.document();
  shop_routes_.attach_to(*question.operation, request);
  Result<assess::Reply> reply = question.operation->run(request);
  if (!reply) throw Refusal(422, "the job cannot be assessed as it is", reply.problems());
  return std::move(reply).value();
}

Known Workbench::Routes::kept_answer(const RoutedRequest& routed, std::string_view operation) const {
  Known known{std::nullopt, question_about(routed, operation).key};
  if (std::optional<std::string> kept = answers_.find(known.question))
    known.answer = Response{200, "application/json; charset=utf-8", std::move(*kept), {}};
  return known;
}

Response Workbench::Routes::answer_about(const RoutedRequest& routed, std::string_view operation,
                                         const std::function<Document(assess::Reply&)>& document_of) const {
  const Question question = question_about(routed, operation);
  if (std::optional<std::string> kept = answers_.find(question.key)) return {200, "application/json; charset=utf-8", std::move(*kept), {}};
  assess::Reply reply = reply_to(question);
  Response response = json_reply(document_of(reply));
  answers_.keep(question.key, response.body);
  return response;
}

Response Workbench::Routes::job_assessment(const RoutedRequest& routed) const {
  return answer_about(routed, "assess", [this](assess::Reply& reply) {
    const auto* assessment = assess::content_if<assess::Assessment>(reply);
    require(assessment != nullptr, "the operation assess answers an Assessment");
    const auto plan = [&](std::string_view layer) { return parts_.plan_svg ? Document(parts_.plan_svg(*assessment, layer)) : Document(); };
    reply.document.set("plan", Table{{"breach", plan("breach")},
                                     {"face", assessment->faces.empty() ? Document() : plan("face")},
                                     {"seen", assessment->job.seen.empty() ? Document() : plan("seen")}});
    return std::move(reply.document);
  });
}

Response Workbench::Routes::job_questions(const RoutedRequest& routed) const {
  return answer_about(routed, "questions", [](assess::Reply& reply) { return std::move(reply.document); });
}

Response Workbench::Routes::job_paper(const RoutedRequest& routed, const PaperMaker& make) const {
  if (!make) throw Refusal(501, "this workbench prints no papers");
  const assess::Reply reply = reply_to(question_about(routed, "assess"));
  const auto* assessment = assess::content_if<assess::Assessment>(reply);
  require(assessment != nullptr, "the operation assess answers an Assessment");
  return {200, "text/html; charset=utf-8", make(*assessment), {{"Content-Security-Policy", kPaperPolicy}}};
}

}  // namespace headjoint::server
