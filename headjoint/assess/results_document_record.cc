#include "headjoint/assess/results_document_record.h"

namespace headjoint::assess {
namespace {

Document range(const Estimate& estimate) { return Table{{"value", estimate.value}, {"low", estimate.low}, {"high", estimate.high}}; }

Document share(const Frequency& frequency) {
  const double value = frequency.cases > 0 ? static_cast<double>(frequency.hits) / static_cast<double>(frequency.cases) : 0;
  return Table{{"hits", frequency.hits},
               {"cases", frequency.cases},
               {"share", frequency.cases > 0 ? Document(value) : Document()},
               {"low", frequency.interval.low},
               {"high", frequency.interval.high}};
}

Document row(const RecordedJob& job) {
  return Table{{"source", job.source},
               {"number", job.number},
               {"title", job.title},
               {"verified", job.verified},
               {"counts", job.counts},
               {"why_not", job.why_not},
               {"joint_failed", job.joint_failed},
               {"leading", job.leading},
               {"leading_chance", job.leading_chance},
               {"joint_found", job.is_joint},
               {"found", Array(job.found.begin(), job.found.end())},
               {"rank", job.rank},
               {"check_minutes", job.check_minutes},
               {"saved_minutes", job.saved_minutes}};
}

Document bin(const diagnosis::ReliabilityBin& one) {
  return Table{{"mean_chance", one.mean_chance},
               {"frequency", one.frequency},
               {"cases", one.cases},
               {"low", one.interval.low},
               {"high", one.interval.high}};
}

Document number(const diagnosis::LearntNumber& one) {
  return Table{{"kind", std::string(diagnosis::to_text(one.kind))},
               {"cause", one.cause},
               {"sign", one.sign},
               {"grade", one.grade},
               {"shipped", one.shipped},
               {"hits", one.hits},
               {"cases", one.cases},
               {"learnt", one.learnt},
               {"low", one.seen.low},
               {"high", one.seen.high}};
}

template <class T, class Make>
Array list(const std::vector<T>& items, Make make) {
  Array out;
  for (const T& item : items) out.push_back(make(item));
  return out;
}

}  // namespace

Document to_document(const ShopRecord& record) {
  Document document = Table{{"jobs", list(record.jobs, row)},
                            {"counted", record.counted},
                            {"open", record.open},
                            {"not_verified", record.not_verified},
                            {"brier", range(record.scores.brier)},
                            {"log_score", range(record.scores.log_score)},
                            {"brier_before", range(record.scores.brier_before)},
                            {"log_score_before", range(record.scores.log_before)},
                            {"reliability", list(record.reliability, bin)},
                            {"found_first", share(record.first)},
                            {"found_among_three", share(record.among_three)},
                            {"failures_called", share(record.joint_called)},
                            {"false_alarms_cleared", share(record.sound_called)},
                            {"saved_minutes", range(record.saved_minutes)},
                            {"saved_total_minutes", record.saved_total_minutes}};
  if (record.saved_money) document.set("saved_money", range(*record.saved_money)).set("currency", record.currency);
  if (record.has_log_learnt) document.set("log_score_learnt", range(record.log_learnt));
  document.set("equivalent_cases", record.learnt.equivalent_cases)
      .set("strengths", list(record.learnt.numbers, number))
      .set("learnt", record.learnt_toml)
      .set("notes", Array(record.notes.begin(), record.notes.end()));
  return document;
}

}  // namespace headjoint::assess
