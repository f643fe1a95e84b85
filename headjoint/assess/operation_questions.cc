#include "headjoint/assess/engine_layout.h"
#include "headjoint/assess/knowledge.h"
#include "headjoint/assess/operation_table.h"
#include "headjoint/assess/results_document.h"
#include "headjoint/jobs/job_file.h"

namespace headjoint::assess {
namespace {

std::vector<Question> questions_of(const diagnosis::InstanceNetwork& network) {
  std::vector<Question> questions;
  for (const diagnosis::Finding& row : network.pattern.findings) {
    if (row.kind == diagnosis::FindingKind::kHidden) continue;
    Question question{row.name,
                      row.text,
                      row.question,
                      std::string(diagnosis::to_text(row.kind)),
                      row.scope,
                      {},
                      row.states,
                      row.minutes,
                      row.needs,
                      row.cannot_see,
                      cautions_of(row.cautions)};
    bool applies = row.scope == network.layout.whole && network.find(row.name) >= 0;
    for (const diagnosis::Location& location : network.layout.locations) {
      if (location.scope != row.scope || network.find(row.name, location.name) < 0) continue;
      question.places.push_back(location.name);
      applies = true;
    }
    if (applies) questions.push_back(std::move(question));
  }
  return questions;
}

}  // namespace

std::vector<Question> questions(const joint::Engine& engine) { return questions_of(network_of(engine, {})); }

namespace {

Result<Reply> run_questions(const Request& request) {
  const auto job = jobs::read_job(request.input, request.read_beside);
  if (!job) return job.problems();
  Reply reply;
  QuestionsReply content{questions_of(network_of(job->engine, job->history))};
  reply.document = answer();
  reply.document.set("questions", list_document(content.questions));
  reply.warnings = job.problems();
  reply.content = std::move(content);
  return reply;
}

}  // namespace

Operation questions_operation() {
  return {
      .name = "questions",
      .summary = "what can be looked at, asked and tried on this engine, with cautions",
      .argument = "JOB",
      .input = InputKind::kDocument,
      .keys = "questions[]{name, question, kind, scope, places[], states[], cautions[]}",
      .run = run_questions,
  };
}

}  // namespace headjoint::assess
