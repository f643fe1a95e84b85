#include "headjoint/report/internal/terminal_record.h"

#include <algorithm>
#include <cmath>

#include "headjoint/assess/results.h"
#include "headjoint/report/chance_words.h"
#include "headjoint/report/internal/finding_words.h"
#include "headjoint/report/internal/markup.h"

namespace headjoint::report {
namespace {

constexpr std::size_t kMostStrengths = 15;

std::string range_of(const assess::Estimate& estimate, int decimals) {
  if (!std::isfinite(estimate.value)) return "not known";
  const std::string range = std::isfinite(estimate.low)
                                ? " (" + fixed(estimate.low, decimals) + " to " + fixed(estimate.high, decimals) + ")"
                                : " (one job: no range can be given)";
  return fixed(estimate.value, decimals) + range;
}

std::string share_text(const assess::Frequency& frequency) {
  if (frequency.cases == 0) return "no such job";
  return std::to_string(frequency.hits) + " of " + std::to_string(frequency.cases) + " (" + fixed(100 * frequency.interval.low, 0) +
         " to " + fixed(100 * frequency.interval.high, 0) + " %)";
}

std::string found_text(const assess::RecordedJob& job) {
  if (job.verified.empty()) return "open";
  std::string text;
  for (const std::string& found : job.found) text += (text.empty() ? "" : "; ") + found;
  if (text.empty()) text = "nothing wrong";
  return plain_text(job.counts ? text : text + " (does not count: " + job.why_not + ")");
}

void show_jobs(TerminalPage& page, const assess::ShopRecord& record) {
  if (record.jobs.empty()) return;
  page.heading("Jobs: the verdict before the strip-down, and what was found");
  std::vector<std::vector<std::string>> rows;
  for (const assess::RecordedJob& job : record.jobs) {
    const std::string name = job.number.empty() ? job.source : job.number;
    rows.push_back({shortened(plain_text(name), 16), chance_text(job.joint_failed), job.counts ? (job.is_joint ? "failed" : "sound") : "-",
                    job.counts && std::isfinite(job.saved_minutes) ? signed_fixed(job.saved_minutes, 0) : "", found_text(job)});
  }
  page.table({{"job"}, {"joint", true}, {"was"}, {"saved min", true}, {"found"}}, rows);
}

void show_scores(TerminalPage& page, const assess::ShopRecord& record) {
  page.heading("How far the verdicts can be trusted");
  std::vector<std::vector<std::string>> rows = {
      {"Brier score", range_of(record.scores.brier, 3), "without any check " + range_of(record.scores.brier_before, 3)},
      {"log score", range_of(record.scores.log_score, 3), "without any check " + range_of(record.scores.log_before, 3)}};
  if (record.has_log_learnt)
    rows.push_back({"log score, learnt", range_of(record.log_learnt, 3), "each job judged by what the other jobs taught"});
  page.table({{""}, {""}, {""}}, rows);
  page.paragraph("Both are 0 at best; saying one half to everything gives 0.25 and 0.693. Ranges hold 95 %.", 2);
  page.table({{""}, {""}}, {{"failed joints called failed", share_text(record.joint_called)},
                            {"false alarms cleared", share_text(record.sound_called)},
                            {"what was found stood first", share_text(record.first)},
                            {"or among the first three", share_text(record.among_three)}});
  std::vector<std::vector<std::string>> bins;
  for (const diagnosis::ReliabilityBin& bin : record.reliability)
    bins.push_back({fixed(bin.mean_chance, 2), std::to_string(bin.cases), fixed(100 * bin.frequency, 0) + " %",
                    fixed(100 * bin.interval.low, 0) + " to " + fixed(100 * bin.interval.high, 0) + " %"});
  page.table({{"chance given", true}, {"jobs", true}, {"failed", true}, {"95 % range"}}, bins);
}

void show_savings(TerminalPage& page, const assess::ShopRecord& record) {
  page.heading("What the checks saved");
  page.paragraph(range_of(record.saved_minutes, 0) + " workshop minutes a job, " + signed_fixed(record.saved_total_minutes, 0) +
                     " in all: deciding by the owner's story alone against deciding by the checks, the checks paid for.",
                 2);
  if (record.saved_money)
    page.paragraph(range_of(*record.saved_money, 0) + (record.currency.empty() ? "" : " " + plain_text(record.currency)) +
                       " a job at the hour prices of the jobs.",
                   2);
  page.paragraph("Had the tool's advice been followed; a range that holds 0 proves nothing either way.", 2);
}

std::string number_name(const diagnosis::LearntNumber& number) {
  std::string grade = number.grade > 1 ? " (grade " + std::to_string(number.grade) + ")" : "";
  switch (number.kind) {
    case diagnosis::LearntKind::kChance:
      return number.cause + ": how often there";
    case diagnosis::LearntKind::kStrength:
      return number.sign + grade + " with " + number.cause + " alone";
    case diagnosis::LearntKind::kFalsePositive:
      return number.sign + grade + " with nothing behind it";
  }
  return {};
}

void show_strengths(TerminalPage& page, const assess::ShopRecord& record) {
  if (record.learnt.numbers.empty()) return;
  std::vector<diagnosis::LearntNumber> numbers = record.learnt.numbers;
  std::stable_sort(numbers.begin(), numbers.end(), [](const auto& a, const auto& b) {
    return std::abs(a.learnt - a.shipped) * static_cast<double>(a.cases) > std::abs(b.learnt - b.shipped) * static_cast<double>(b.cases);
  });
  page.heading("Strengths, shipped and learnt");
  std::vector<std::vector<std::string>> rows;
  for (std::size_t i = 0; i < std::min(numbers.size(), kMostStrengths); ++i) {
    const diagnosis::LearntNumber& n = numbers[i];
    rows.push_back({fixed(n.shipped, 3), fixed(n.learnt, 3), std::to_string(n.hits) + "/" + std::to_string(n.cases),
                    fixed(n.seen.low, 2) + " to " + fixed(n.seen.high, 2), number_name(n)});
  }
  page.table({{"shipped", true}, {"learnt", true}, {"seen", true}, {"95 % range"}, {""}}, rows);
  if (numbers.size() > kMostStrengths)
    page.paragraph(std::to_string(numbers.size() - kMostStrengths) + " more in --json and in the file of learnt strengths.", 2);
  page.paragraph("The shipped figure weighs like " + fixed(record.learnt.equivalent_cases, 0) +
                     " jobs. Keep the text of `learnt` (--json) as a file and give it to assess, finding and next-check as --learnt FILE; "
                     "without the file the shipped figures hold again.",
                 2);
}

}  // namespace

void show(TerminalPage& page, const assess::ShopRecord& record) {
  page.strong(counted(static_cast<std::ptrdiff_t>(record.jobs.size()), "job") + ": " + std::to_string(record.counted) + " verified, " +
              std::to_string(record.not_verified) + " closed but not verified, " + std::to_string(record.open) + " open");
  for (const std::string& note : record.notes) page.paragraph(note);
  show_jobs(page, record);
  if (record.counted > 0) {
    show_scores(page, record);
    show_savings(page, record);
    show_strengths(page, record);
  }
  page.blank();
  page.paragraph(std::string(assess::kBasis) + " headjoint " + record.version + ".");
}

}  // namespace headjoint::report
