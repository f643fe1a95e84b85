#include <algorithm>
#include <optional>
#include <utility>

#include "headjoint/server/internal/body.h"
#include "headjoint/server/internal/replies.h"
#include "headjoint/server/internal/routes.h"

/// The shop's record over every job in the store.
namespace headjoint::server {

using internal::Refusal;

namespace {

constexpr std::size_t kPage = 200;  // jobs fetched at a time

}  // namespace

void Workbench::Routes::add_record_routes() {
  router_.add({"GET", "/api/v1/shop-record", [this](const RoutedRequest& r) { return shop_record(r); }, WorkedBy::kLongSolver, {}});
}

Array Workbench::Routes::all_jobs() const {
  using jobs::DocumentStore;
  Array jobs;
  DocumentStore::Search search{.limit = kPage};
  for (;;) {
    const DocumentStore::Page page = parts_.store->list(DocumentStore::Kind::kJob, search);
    for (const DocumentStore::Row& row : page.rows)
      if (const std::optional<DocumentStore::Stored> stored = parts_.store->get(DocumentStore::Kind::kJob, row.id))
        jobs.emplace_back(Table{{"source", stored->id}, {"document", stored->document()}});
    if (page.next.empty() || page.next == search.after) return jobs;
    search.after = page.next;
  }
}

Response Workbench::Routes::shop_record(const RoutedRequest& routed) const {
  const auto found = std::find_if(parts_.operations.begin(), parts_.operations.end(),
                                  [](const assess::Operation& one) { return one.name == "shop-record"; });
  if (found == parts_.operations.end()) throw Refusal(501, "this workbench keeps no record");
  Array jobs = all_jobs();
  assess::Request request;
  request.source = "the jobs of this workbench";
  request.input = Table{{"jobs", std::move(jobs)}};
  if (const std::string weight = routed.query_value("equivalent-cases"); !weight.empty())
    request.options.emplace("equivalent-cases", weight);
  Result<assess::Reply> answer = found->run(request);
  if (!answer) throw Refusal(422, "the record cannot be made", answer.problems());
  assess::Reply reply = std::move(answer).value();
  if (parts_.pictures) reply.document.set("pictures", parts_.pictures(reply));
  return internal::json_reply(reply.document);
}

}  // namespace headjoint::server
