#include <algorithm>

#include "headjoint/assess/closing.h"
#include "headjoint/assess/engine_layout.h"
#include "headjoint/assess/operation_table.h"
#include "headjoint/assess/results_document.h"
#include "headjoint/assess/results_document_record.h"
#include "headjoint/assess/shop_record.h"
#include "headjoint/base/text.h"
#include "headjoint/jobs/job_file.h"

namespace headjoint::assess {
namespace {

constexpr std::size_t kMostJobs = 5000;

/// A job with its name, or the job itself.
std::pair<std::string, const Document*> entry_of(const Document& item, std::size_t number) {
  const Document* document = item.find("document");
  const Document* source = item.find("source");
  const std::string name = source != nullptr && source->is_text() ? source->text() : "job " + std::to_string(number);
  return {name, document != nullptr ? document : &item};
}

Problem left_out(const std::string& source, const Problems& problems) {
  const auto error =
      std::find_if(problems.begin(), problems.end(), [](const Problem& p) { return p.severity == Problem::Severity::kError; });
  Problem problem = *error;
  if (problem.place.source.empty()) problem.place.source = source;
  problem.what = "this job is left out: " + problem.what;
  problem.severity = Problem::Severity::kWarning;
  return problem;
}

/// The job, or a warning when it does not read: one bad file does not cost the record.
void read_one(const std::string& source, const Document& document, const joint::ReadBeside& beside, std::vector<ReadJob>& jobs,
              Problems& warnings) {
  auto job = jobs::read_job(document, beside);
  if (!job) {
    warnings.push_back(left_out(source, job.problems()));
    return;
  }
  const Problems unknown = closure_problems(*job, network_of(job->engine, job->history));
  if (has_errors(unknown))
    warnings.push_back(left_out(source, unknown));
  else
    jobs.push_back({source, std::move(job).value()});
}

Result<double> equivalent_cases(const Request& request) {
  const std::string text = request.option("equivalent-cases");
  if (text.empty()) return diagnosis::kEquivalentCases;
  const auto value = parse_number(text);
  if (value && *value >= diagnosis::kLeastEquivalentCases && *value <= diagnosis::kMostEquivalentCases) return *value;
  return Problem{{{}, 0, 0, "--equivalent-cases"}, "is \"" + text + "\"", "a number from 1 to 1000", "10 is usual"};
}

Result<Reply> run_shop_record(const Request& request) {
  const Document* list = request.input.is_array() ? &request.input : request.input.find("jobs");
  const auto weight = equivalent_cases(request);
  if (!weight) return weight.problems();
  if (list == nullptr || !list->is_array())
    return Problem{request.input.place(), "there is no list of jobs", "{\"jobs\": [...]}", "name job files or a folder that holds some"};
  if (list->array().size() > kMostJobs)
    return Problem{request.input.place(), std::to_string(list->array().size()) + " jobs are too many", "up to 5000", "leave old ones out"};
  std::vector<ReadJob> jobs;
  Reply reply;
  for (std::size_t i = 0; i < list->array().size(); ++i) {
    const auto [source, document] = entry_of(list->array()[i], i + 1);
    read_one(source, *document, request.read_beside, jobs, reply.warnings);
  }
  ShopRecord record = shop_record(jobs, *weight);
  reply.document = answer();
  merge_members(reply.document, to_document(record));
  reply.document.set("left_out", list_document(reply.warnings));
  reply.content = std::move(record);
  return reply;
}

}  // namespace

Operation shop_record_operation() {
  return {
      .name = "shop-record",
      .summary = "closed jobs: verdicts beside what was found, how far they can be trusted, what the checks saved, strengths learnt",
      .argument = "JOBS",
      .input = InputKind::kDocuments,
      .options = {{"equivalent-cases", "NUMBER", "so many cases the shipped strengths weigh; 10 when not given"}},
      .keys =
          "jobs[]{source, joint_failed, leading, joint_found, found[], rank, saved_minutes}, counted, brier, log_score, "
          "reliability[]{mean_chance, frequency, cases, low, high}, found_first, found_among_three, failures_called, "
          "false_alarms_cleared, saved_minutes, strengths[]{kind, cause, sign, grade, shipped, hits, cases, learnt, low, high}, learnt, "
          "notes[]",
      .run = run_shop_record,
  };
}

}  // namespace headjoint::assess
