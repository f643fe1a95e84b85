#include "headjoint/report/internal/terminal_finding.h"

#include <algorithm>

#include "headjoint/base/table_reader.h"
#include "headjoint/base/text.h"
#include "headjoint/report/chance_words.h"
#include "headjoint/report/internal/finding_words.h"
#include "headjoint/report/internal/markup.h"

namespace headjoint::report {
namespace {

constexpr std::size_t kFewestPaths = 3;
constexpr std::size_t kMostWeights = 14;
constexpr int kBarCells = 20;

void show_suspects(TerminalPage& page, std::string_view heading, const std::vector<assess::Suspect>& suspects, std::size_t least) {
  const auto shown = worth_showing(suspects, least);
  if (shown.empty()) return;
  page.heading(heading);
  std::vector<std::vector<std::string>> rows;
  for (const assess::Suspect& suspect : shown) {
    const assess::Chance& c = suspect.chance;
    rows.push_back({chance_text(c.value), range_text(c), chance_bar(c.low, c.value, c.high, kBarCells), suspect.text});
  }
  page.table({{"chance", true}, {"range"}, {""}, {""}}, rows);
  const std::size_t left = suspects.size() - shown.size();
  if (left > 0) page.paragraph(std::to_string(left) + " more below " + fixed(kLeastListedChance, 2), 2);
}

std::string job_line(const assess::Assessment& all) {
  std::string line;
  const auto add = [&](const std::string& part) {
    if (!part.empty()) line += (line.empty() ? "" : " · ") + plain_text(part);
  };
  add(all.job.number.empty() ? "" : "Job " + all.job.number);
  add(all.job.title);
  add(all.job.engine.name);
  return line;
}

void show_check(TerminalPage& page, const assess::NextCheck& check, std::size_t number) {
  page.blank();
  for (const assess::Caution& caution : check.cautions)
    page.paragraph(plain_text(caution.level) + " before check " + std::to_string(number) + ": " + caution_message(caution), 2, 6);
  page.strong(std::to_string(number) + ". " + check_title(check), 2);
  page.paragraph("takes " + duration_text(check.minutes) + ", costs " + duration_text(check.cost) + ", expected to save " +
                     duration_text(check.value) + ": net " + signed_fixed(check.net_value, 0) + " workshop minutes",
                 5);
  if (!check.question.empty()) page.paragraph("Look for: " + check.question, 5);
  if (!check.why.empty()) page.paragraph("Why: " + check.why, 5);
  if (check.behind_opening) page.paragraph("Only with the head off; taking it off is in the cost.", 5);
  if (!check.cannot_see.empty()) page.paragraph("Cannot show: " + check.cannot_see, 5);
}

/// The few causes that explain most, and what would turn the action.
void show_explanation(TerminalPage& page, const assess::Finding& finding) {
  if (!finding.explanation.empty()) {
    std::string text = "Best explanation of few causes: ";
    for (std::size_t i = 0; i < finding.explanation.size(); ++i) text += (i == 0 ? "" : " with ") + plain_text(finding.explanation[i].text);
    page.paragraph(text + ".", 2);
  }
  constexpr std::size_t kMostFlips = 3;
  for (std::size_t i = 0; i < std::min(kMostFlips, finding.flips.size()); ++i)
    page.paragraph(
        "Would turn the action: " + plain_text(finding.flips[i].text) + " (then " + chance_text(finding.flips[i].joint_failed) + ").", 2,
        4);
}

}  // namespace

void show_line(TerminalPage& page, const assess::Finding& finding) {
  if (finding.line.size() < 2) return;
  page.heading("How the verdict moved");
  std::vector<std::vector<std::string>> rows;
  for (const assess::VerdictStep& step : finding.line)
    rows.push_back({chance_text(step.joint_failed), plain_text(step.entry), plain_text(step.leading)});
  page.table({{"joint", true}, {"after"}, {"likeliest then"}}, rows);
}

void show_finding(TerminalPage& page, const assess::Finding& finding, const assess::Assessment& all) {
  const std::string status = status_text(finding.status);
  if (!finding.sentence.empty()) page.strong(finding.sentence);
  if (!status.empty()) page.strong(status);
  if (const std::string line = job_line(all); !line.empty()) page.paragraph(line);
  if (finding.status == "done") {
    page.blank();
    page.paragraph("Chance that the joint leaks anywhere: " + chance_text(finding.joint_failed.value) + " (" +
                   range_text(finding.joint_failed) + "), " + std::string(chance_words(finding.joint_failed.value)) + ".");
    show_suspects(page, "Seal paths", finding.paths, kFewestPaths);
    show_suspects(page, "Why the joint may have failed", finding.causes, 0);
    show_suspects(page, "Other causes", finding.rivals, 1);
    page.paragraph(
        "Bar: # to the low end of the range, + to the chance, - to the high end. The range is what one step in any one strength would "
        "change.",
        2);
  }
  if (!finding.conflicts.empty()) page.heading("Sits badly with the rest");
  for (const assess::Conflict& conflict : finding.conflicts) page.paragraph("- " + plain_text(conflict.text), 2, 4);
  if (!finding.not_counted.empty()) page.heading("Not counted");
  for (const std::string& text : finding.not_counted) page.paragraph("- " + plain_text(text), 2, 4);
}

void show_next_checks(TerminalPage& page, const assess::Assessment& all, std::size_t most) {
  const std::vector<assess::NextCheck>& checks = all.next_checks;
  page.heading("Next checks");
  if (checks.empty()) page.paragraph(all.stop.empty() ? "No further check is expected to save more than it costs." : all.stop, 2);
  for (std::size_t i = 0; i < std::min(most, checks.size()); ++i) show_check(page, checks[i], i + 1);
  if (checks.size() > most) {
    page.blank();
    page.paragraph(counted(static_cast<std::ptrdiff_t>(checks.size() - most), "further check") + " in the list of next-check.", 2);
  }
  if (!all.packs.empty()) {
    const assess::CheckPack& pack = all.packs.front();
    page.blank();
    page.paragraph("In one go: " + plain_text(pack.text) + ". Together they cost " + duration_text(pack.cost) +
                       " and are expected to save " + duration_text(pack.value) + ": net " + signed_fixed(pack.net_value, 0) +
                       " workshop minutes.",
                   2);
  }
}

void show_weights(TerminalPage& page, const assess::Finding& finding) {
  if (finding.for_and_against.empty()) return;
  page.heading("What speaks for and against");
  for (const WeightGroup& group : grouped(finding.for_and_against, kMostWeights)) {
    page.paragraph(capitalised(plain_text(group.about)) + ":", 2);
    std::vector<std::vector<std::string>> rows;
    for (const assess::Weight& weight : group.weights) rows.push_back({signed_fixed(weight.weight, 1), weight.words, weight.text});
    page.table({{"", true}, {""}, {""}}, rows);
  }
  page.paragraph("Numbers: powers of ten by which the odds change.", 2);
  show_explanation(page, finding);
}

void show_options(TerminalPage& page, const std::vector<assess::RepairOption>& options) {
  const auto shown = worth_showing(options);
  if (shown.empty()) return;
  page.heading("Repairs");
  std::vector<std::vector<std::string>> rows;
  for (const assess::RepairOption& option : shown) {
    rows.push_back({chance_text(option.chance), duration_text(option.put_right), duration_text(option.left),
                    option.advice.empty() ? (option.is_advised ? "advised" : "not yet") : option.advice, option.text});
  }
  page.table({{"needed", true}, {"to do", true}, {"if left", true}, {""}, {""}}, rows);
  page.paragraph(
      "To do: with parts and the risk of a second failure counted as workshop time. If left: workshop time expected to be lost. Stop-leak "
      "is a way home, not a repair.",
      2);
}

void show_question(TerminalPage& page, const assess::Question& question) {
  page.blank();
  for (const assess::Caution& caution : question.cautions) page.paragraph(caution_text(caution), 2, 6);
  page.strong(question.question.empty() ? question.text : question.question);
  std::string line = question.name + " = " + word_list(question.states);
  if (!question.places.empty()) line += "; " + question.scope + " " + word_list(question.places);
  if (question.minutes > 0) line += "; " + duration_text(question.minutes);
  page.paragraph(line, 2, 4);
  if (!question.needs.empty()) page.paragraph("Needs: " + question.needs, 2, 4);
  if (!question.cannot_see.empty()) page.paragraph("Cannot show: " + question.cannot_see, 2, 4);
}

}  // namespace headjoint::report
