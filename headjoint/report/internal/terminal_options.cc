#include "headjoint/report/internal/terminal_options.h"

#include <algorithm>

#include "headjoint/report/chance_words.h"
#include "headjoint/report/internal/finding_words.h"
#include "headjoint/report/internal/markup.h"
#include "headjoint/report/internal/option_words.h"

namespace headjoint::report {
namespace {

/// Those that can be done, the cheapest first; a way home after the repairs.
std::vector<const assess::OptionLine*> possible(const assess::OptionsAnswer& answer) {
  std::vector<const assess::OptionLine*> lines;
  for (const assess::OptionLine& option : answer.options)
    if (option.state != "forbidden") lines.push_back(&option);
  std::stable_sort(lines.begin(), lines.end(), [](const assess::OptionLine* a, const assess::OptionLine* b) {
    const bool a_is_home = a->state == "way home";
    const bool b_is_home = b->state == "way home";
    return a_is_home != b_is_home ? b_is_home : a->expected_cost < b->expected_cost;
  });
  return lines;
}

void show_table(TerminalPage& page, const assess::OptionsAnswer& answer) {
  std::vector<std::vector<std::string>> rows;
  for (const assess::OptionLine* option : possible(answer))
    rows.push_back({cost_figure(option->expected_cost), cost_figure(option->low), cost_figure(option->high),
                    chance_text(option->second_failure), chance_text(option->engine_lost),
                    (option->state == "chosen" ? "> " : "  ") + option->text + (option->state == "way home" ? " (no repair)" : "")});
  page.table({{"expected", true}, {"low", true}, {"high", true}, {"again", true}, {"lost", true}, {"  option"}}, rows);
  page.paragraph("Costs in " + plain_text(answer.unit) + ". " + assess::kSpread +
                     " Again: chance that the joint leaks within a year. Lost: chance of losing the engine.",
                 2);
}

void show_forbidden(TerminalPage& page, const assess::OptionsAnswer& answer) {
  bool is_first = true;
  for (const assess::OptionLine& option : answer.options) {
    if (option.state != "forbidden") continue;
    if (is_first) page.heading("Not possible here");
    is_first = false;
    page.paragraph("- " + capitalised(plain_text(option.text)) + ": " + plain_text(option.forbidden) + ".", 2, 4);
  }
}

void show_parts(TerminalPage& page, const assess::OptionsAnswer& answer) {
  const assess::OptionLine* option = answer.line(answer.after_check);
  if (option == nullptr) return;
  page.heading("What it is made up of: " + plain_text(option->text));
  std::vector<std::vector<std::string>> rows;
  for (const assess::CostPart& item : option->items) rows.push_back({cost_figure(item.cost), item.what});
  page.table({{"expected", true}, {""}}, rows);
  if (!option->drivers.empty()) page.paragraph("A second failure would come from:", 2);
  for (const assess::FailureDriver& driver : option->drivers)
    page.paragraph("- " + plain_text(driver.what) + ", " + figure_words(driver.share, {}) + " of all such engines", 2, 4);
  page.paragraph(plain_text(option->note), 2);
}

void show_check_first(TerminalPage& page, const assess::OptionsAnswer& answer) {
  if (answer.check.check.empty()) return;
  page.heading("The best next check");
  page.paragraph(capitalised(plain_text(answer.check.text)) + ": costs " + cost_words(answer.check.cost, answer.unit) + ", saves " +
                     cost_words(answer.check.value, answer.unit) + " on average; net " + signed_fixed(answer.check.net_value, 1) + ".",
                 2);
  for (const std::string& outcome : answer.check.outcomes) page.paragraph("- " + plain_text(outcome), 4, 6);
}

void show_hinges(TerminalPage& page, const assess::OptionsAnswer& answer) {
  if (!answer.weights.empty()) {
    page.heading("What it hangs on");
    page.paragraph("Matters most: " + weight_words(answer.weights.front(), answer.unit) + ".", 2);
  }
  if (answer.turns.empty() && !answer.chosen.empty()) page.paragraph("No single figure, moved tenfold, would change the choice.", 2);
  if (!answer.turns.empty()) page.paragraph("Another choice would be cheaper if:", 2);
  for (const assess::ChoiceTurn& turn : answer.turns) page.paragraph("- " + turn_words(turn), 2, 4);
}

void show_origin(TerminalPage& page, const assess::OptionsAnswer& answer) {
  page.heading("Hours and prices");
  page.paragraph(answer.prices == "the shop's table"
                     ? "From the shop's table" + (answer.examples.empty()
                                                      ? std::string(".")
                                                      : "; " + counted(static_cast<std::ptrdiff_t>(answer.examples.size()), "figure") +
                                                            " it does not give are those of the shipped example.")
                     : "From the shipped example, not from your shop: give your own with --prices FILE (a copy of data/shop/prices.toml).",
                 2);
  page.paragraph("Orders of magnitude, not a quotation.", 2);
  for (const std::string& note : answer.notes) page.paragraph("- " + plain_text(note), 2, 4);
}

}  // namespace

void show_choice(TerminalPage& page, const assess::OptionsAnswer& answer) {
  if (answer.status != "done") return;
  page.heading("What to do");
  page.paragraph(answer.sentence, 2);
  show_table(page, answer);
  page.paragraph("More with `options`: what it is made up of, what would change it, what is not possible here.", 2);
}

void show(TerminalPage& page, const assess::OptionsReply& reply) {
  const assess::OptionsAnswer& answer = reply.assessment.choice;
  if (answer.status != "done") {
    page.strong(reply.assessment.finding.sentence.empty() ? "There is nothing to choose from yet." : reply.assessment.finding.sentence);
    page.paragraph("Without chances there are no costs: " + plain_text(answer.status) + ".");
    return;
  }
  page.strong(answer.sentence);
  page.paragraph(reply.assessment.finding.sentence);
  page.blank();
  show_table(page, answer);
  show_forbidden(page, answer);
  show_check_first(page, answer);
  show_parts(page, answer);
  show_hinges(page, answer);
  show_origin(page, answer);
  page.blank();
  page.paragraph(assess::kBasis);
  page.paragraph("The engine maker's procedure, local law and licensed practice come first. headjoint " + reply.assessment.version + ".");
}

}  // namespace headjoint::report
