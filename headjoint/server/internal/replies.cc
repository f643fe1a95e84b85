#include "headjoint/server/internal/replies.h"

#include <algorithm>
#include <span>

#include "headjoint/assess/results_document.h"

namespace headjoint::server::internal {
namespace {

constexpr std::size_t kMostProblems = 200;  // nobody reads on

Document problem_document(int status, const std::string& detail, const Problems& problems) {
  return Table{{"type", "about:blank"},
               {"title", status_text(status)},
               {"status", status},
               {"detail", detail},
               {"problems", problems_document(problems)}};
}

Response reply(int status, const char* content_type, const Document& document) {
  return {status, content_type, write_json(document, -1), {}};
}

}  // namespace

Response json_reply(const Document& document, int status) { return reply(status, "application/json; charset=utf-8", document); }

Response problem_reply(int status, const std::string& detail, const Problems& problems) {
  return reply(status, "application/problem+json", problem_document(status, detail, problems));
}

Response problem_reply_with(int status, const std::string& detail, const std::string& key, Document value) {
  Document document = problem_document(status, detail, {});
  document.set(key, std::move(value));
  return reply(status, "application/problem+json", document);
}

Document problems_document(const Problems& problems) {
  Array list;
  for (const Problem& problem : std::span(problems).first(std::min(problems.size(), kMostProblems))) {
    list.push_back(assess::to_document(problem));
  }
  return list;
}

}  // namespace headjoint::server::internal
