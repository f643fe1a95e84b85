#include "headjoint/assess/after_skim.h"
#include "headjoint/assess/closing.h"
#include "headjoint/assess/engine_layout.h"
#include "headjoint/assess/evidence.h"
#include "headjoint/assess/finding.h"
#include "headjoint/assess/learnt_option.h"
#include "headjoint/assess/operation_table.h"
#include "headjoint/assess/options_answer.h"
#include "headjoint/assess/repair_in_hand.h"
#include "headjoint/assess/repair_reply.h"
#include "headjoint/assess/repair_terms.h"
#include "headjoint/assess/results_document.h"
#include "headjoint/jobs/job_file.h"

namespace headjoint::assess {
namespace {

Result<Assessment> assessment_of(const Request& request) {
  const auto job = jobs::read_job(request.input, request.read_beside);
  const auto learnt = learnt_of(request);
  const auto terms = repair_terms(request);
  Problems problems = job.problems();
  for (const Problems* more : {&learnt.problems(), &terms.problems()}) problems.insert(problems.end(), more->begin(), more->end());
  if (!job || !learnt || !terms) return problems;
  return assess(*job, problems, *learnt ? &**learnt : nullptr, *terms);
}

template <class Content>
Reply reply_with(Document document, Assessment assessment, Content content) {
  Reply reply;
  reply.document = answer();
  merge_members(reply.document, document);
  reply.warnings = std::move(assessment.warnings);
  reply.content = std::move(content);
  return reply;
}

}  // namespace

Problems problems_of_prices(const OptionFile& prices) { return shop_prices({prices, {}, {}}, {}).problems(); }

namespace {

/// What to check next and what to do, weighed with the shop's figures.
void add_choice(const diagnosis::InstanceNetwork& plain, const std::vector<diagnosis::Observation>& observations,
                const repair::ShopPrices& prices, const RepairTerms& terms, Assessment& assessment) {
  RepairInHand in_hand = repair_in_hand(plain, observations, assessment, terms, prices);
  diagnosis::InstanceNetwork network = plain;
  set_costs(network, in_hand);
  NextSteps steps = next_steps(network, observations, assessment.job.head_off);
  assessment.next_checks = std::move(steps.checks);
  assessment.options = std::move(steps.options);
  assessment.packs = std::move(steps.packs);
  assessment.stop = std::move(steps.stop);
  assessment.finding.flips = flips_of(assessment.finding, steps.joint_turns_at);
  if (in_hand.status == "done") take_rivals(in_hand, network, steps.ranked);
  assessment.choice = options_answer(in_hand, network, observations, steps.ranked, assessment, terms);
}

}  // namespace

Result<Assessment> assess(const jobs::Job& job, Problems warnings, const diagnosis::Learnt* learnt, const RepairTerms& terms) {
  const diagnosis::InstanceNetwork network = network_of(job.engine, job.history, learnt);
  auto gathered = gather_evidence(job, network);
  const auto prices = shop_prices(terms, job.workshop);
  Problems unknown = closure_problems(job, network);
  if (!gathered || !prices || has_errors(unknown)) {
    unknown.insert(unknown.begin(), gathered.problems().begin(), gathered.problems().end());
    unknown.insert(unknown.end(), prices.problems().begin(), prices.problems().end());
    return unknown;
  }
  Evidence evidence = std::move(gathered).value();
  Assessment assessment;
  assessment.job = job;
  assessment.version = program_version();
  if (learnt != nullptr) assessment.learnt = learnt_words(*learnt);
  assessment.finding = finding_of(network, evidence.observations, std::move(evidence.not_counted));
  assessment.faces = std::move(evidence.faces);
  assessment.choice.status = assessment.finding.status;
  if (assessment.finding.status == "done") add_choice(network, evidence.observations, *prices, terms, assessment);
  assessment.leak_down = std::move(evidence.leak_down);
  assessment.compression = std::move(evidence.compression);
  assessment.warnings = std::move(warnings);
  if (const auto cut = ordered_cut(job)) {
    const auto judged = judge_cut(job.engine, *cut);
    if (judged) assessment.after_skim = *judged;
  }
  assessment.warnings.insert(assessment.warnings.end(), evidence.warnings.begin(), evidence.warnings.end());
  return assessment;
}

namespace {

void add_line(Assessment& assessment, const Request& request) {
  const auto learnt = learnt_of(request);
  const bool has_own = learnt && *learnt;
  const diagnosis::InstanceNetwork network = network_of(assessment.job.engine, assessment.job.history, has_own ? &**learnt : nullptr);
  if (const auto evidence = gather_evidence(assessment.job, network))
    assessment.finding.line = verdict_line(network, evidence->observations);
}

Result<Reply> run_assess(const Request& request) {
  auto assessment = assessment_of(request);
  if (!assessment) return assessment.problems();
  assessment = with_repair(std::move(assessment).value());
  if (!assessment) return assessment.problems();
  Document document = to_document(*assessment);
  if (!assessment->learnt.empty()) document.set("learnt", assessment->learnt);
  return reply_with(std::move(document), *assessment, *assessment);
}

Result<Reply> run_finding(const Request& request) {
  auto read = assessment_of(request);
  if (!read) return read.problems();
  Assessment assessment = std::move(read).value();
  add_line(assessment, request);
  Document document = to_document(assessment.finding);
  if (!assessment.learnt.empty()) document.set("learnt", assessment.learnt);
  return reply_with(std::move(document), assessment, FindingReply{assessment});
}

Result<Reply> run_next_check(const Request& request) {
  const auto assessment = assessment_of(request);
  if (!assessment) return assessment.problems();
  Document document;
  document.set("next_checks", list_document(assessment->next_checks)).set("packs", list_document(assessment->packs));
  document.set("stop", assessment->stop).set("basis", kBasis);
  if (!assessment->learnt.empty()) document.set("learnt", assessment->learnt);
  return reply_with(std::move(document), *assessment, NextCheckReply{*assessment});
}

}  // namespace

Operation assess_operation() {
  return {
      .name = "assess",
      .summary = "everything a job's data allow: finding, next checks, options, readings, faces",
      .argument = "JOB",
      .input = InputKind::kDocument,
      .options = {learnt_option_spec(), prices_option()},
      .keys =
          "finding, next_checks[], options[]{option, expected_cost, low, high, second_failure}, repairs[], leak_down, compression, "
          "faces[], papers[]",
      .run = run_assess,
  };
}

Operation finding_operation() {
  return {
      .name = "finding",
      .summary = "which seal has probably failed, where and how sure, beside every rival cause",
      .argument = "JOB",
      .input = InputKind::kDocument,
      .options = {learnt_option_spec()},
      .keys =
          "log_evidence, joint_failed, paths[]{path, where, probability}, causes[], rivals[]{cause, probability}, for_and_against[]{sign, "
          "weight}, conflicts[], explanation[], flips[], line[]{entry, joint_failed}",
      .run = run_finding,
  };
}

Operation next_check_operation() {
  return {
      .name = "next-check",
      .summary = "what to check next, ranked by what it is expected to save",
      .argument = "JOB",
      .input = InputKind::kDocument,
      .options = {learnt_option_spec(), prices_option()},
      .keys = "next_checks[]{check, where, net_value, cost, minutes, why, outcomes[], cautions[]}, packs[], stop",
      .run = run_next_check,
  };
}

}  // namespace headjoint::assess
