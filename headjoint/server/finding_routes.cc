#include <algorithm>
#include <optional>

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

assess::Reply Workbench::Routes::reply_about(const RoutedRequest& routed, std::string_view operation) const {
  const auto found =
      std::find_if(parts_.operations.begin(), parts_.operations.end(), [&](const assess::Operation& one) { return one.name == operation; });
  if (found == parts_.operations.end()) throw Refusal(501, "this workbench has no operation " + std::string(operation));
  const std::string& id = routed.parts.at("id");
  const std::optional<jobs::DocumentStore::Stored> stored = parts_.store->get(jobs::DocumentStore::Kind::kJob, id);
  if (!stored) throw Refusal(404, "there is no job " + id);
  assess::Request request;
  request.source = "job " + stored->id;
  request.input = stored->document();
  shop_routes_.attach_to(*found, request);
  Result<assess::Reply> reply = found->run(request);
  if (!reply) throw Refusal(422, "the job cannot be assessed as it is", reply.problems());
  return std::move(reply).value();
}

Response Workbench::Routes::job_assessment(const RoutedRequest& routed) const {
  assess::Reply reply = reply_about(routed, "assess");
  const auto* assessment = assess::content_if<assess::Assessment>(reply);
  require(assessment != nullptr, "the operation assess answers an Assessment");
  const auto plan = [&](std::string_view layer) { return parts_.plan_svg ? Document(parts_.plan_svg(*assessment, layer)) : Document(); };
  reply.document.set("plan", Table{{"breach", plan("breach")}, {"face", assessment->faces.empty() ? Document() : plan("face")}});
  return json_reply(reply.document);
}

Response Workbench::Routes::job_questions(const RoutedRequest& routed) const {
  return json_reply(reply_about(routed, "questions").document);
}

Response Workbench::Routes::job_paper(const RoutedRequest& routed, const PaperMaker& make) const {
  if (!make) throw Refusal(501, "this workbench prints no papers");
  const assess::Reply reply = reply_about(routed, "assess");
  const auto* assessment = assess::content_if<assess::Assessment>(reply);
  require(assessment != nullptr, "the operation assess answers an Assessment");
  return {200, "text/html; charset=utf-8", make(*assessment), {{"Content-Security-Policy", kPaperPolicy}}};
}

}  // namespace headjoint::server
