#include "headjoint/report/internal/terminal_practice.h"

#include "headjoint/report/internal/finding_words.h"
#include "headjoint/report/internal/markup.h"

namespace headjoint::report {
namespace {

std::string joined(const std::vector<std::string>& items, const char* between) {
  std::string text;
  for (const std::string& item : items) text += (text.empty() ? "" : between) + item;
  return text;
}

std::string minutes_text(double minutes) { return fixed(minutes, 0); }

std::string run_of(const std::vector<std::string>& places) {
  if (places.size() <= 3) return joined(places, ", ");
  return places.front() + " to " + places.back();
}

/// "1 to 4"; cylinders and bridges apart.
std::string places_text(const std::vector<std::string>& places) {
  std::vector<std::string> single, bridges;
  for (const std::string& place : places) (place.find('-') == std::string::npos ? single : bridges).push_back(place);
  const bool is_both = !single.empty() && !bridges.empty();
  return run_of(single) + (is_both ? ", " : "") + run_of(bridges);
}

std::string status_word(const assess::PracticeCheck& check) { return check.status == "open" ? "" : check.status; }

void show_offers(TerminalPage& page, const assess::PracticeAnswer& answer, bool with_head_off) {
  std::vector<std::vector<std::string>> rows;
  for (const assess::PracticeCheck& check : answer.checks) {
    if (check.with_head_off != with_head_off) continue;
    rows.push_back({std::to_string(check.number), check.status == "done" ? "" : minutes_text(check.cost), check.check,
                    places_text(check.places), status_word(check), check.question});
  }
  if (rows.empty()) return;
  page.heading(with_head_off ? "Checks with the head off" : "Checks you can buy");
  page.table({{"no", true}, {"min", true}, {"check"}, {"at"}, {""}, {""}}, rows);
}

void show_looks(TerminalPage& page, const assess::PracticeMove& move) {
  if (move.looks.size() == 1) {
    const assess::PracticeLook& look = move.looks.front();
    page.strong(capitalised(look.text) + ": " + look.answer, 2);
    return;
  }
  page.strong(capitalised(move.text), 2);
  std::vector<std::vector<std::string>> rows;
  for (const assess::PracticeLook& look : move.looks) rows.push_back({look.where, look.answer, look.is_found ? "<" : ""});
  page.table({{"at", true}, {"", true}, {""}}, rows);
}

void show_costs(TerminalPage& page, const assess::PracticeScore& score) {
  page.heading("What it cost, in workshop minutes");
  const auto row = [](const char* name, const assess::PracticeWalk& walk) {
    return std::vector<std::string>{name, minutes_text(walk.check_minutes), minutes_text(walk.repair_minutes),
                                    minutes_text(walk.left_minutes), minutes_text(walk.total())};
  };
  page.table({{""}, {"checks", true}, {"repairs", true}, {"left in", true}, {"all told", true}},
             {row("you", score.learner), row("the best policy", score.policy)});
  page.paragraph("Deciding on the story alone: " + minutes_text(score.expected_at_once) +
                     " min on average. By your own evidence: your decision " + minutes_text(score.expected_decision) +
                     " min on average, the best decision " + minutes_text(score.best_decision) + ".",
                 2);
}

void show_judged(TerminalPage& page, const assess::PracticeWalk& walk) {
  std::vector<std::vector<std::string>> rows;
  for (const assess::PracticeJudgement& judged : walk.judged) {
    const double minutes = judged.words == "missed" ? judged.left_minutes : judged.put_right_minutes;
    rows.push_back({judged.words, minutes > 0 ? minutes_text(minutes) : "", judged.text});
  }
  if (rows.empty())
    page.paragraph("You named nothing.", 2);
  else
    page.table({{""}, {"min", true}, {""}}, rows);
}

void show_policy(TerminalPage& page, const assess::PracticeWalk& policy) {
  page.heading("The best policy on the same engine");
  page.paragraph("Always the check expected to save most over its cost; it looks one check ahead.", 2);
  for (const assess::PracticeMove& move : policy.moves) {
    std::vector<std::string> answers;
    for (const assess::PracticeLook& look : move.looks)
      answers.push_back((look.where.empty() || move.looks.size() == 1 ? "" : look.where + ": ") + look.answer);
    page.paragraph(move.move + " (" + minutes_text(move.minutes) + " min): " + joined(answers, ", "), 2, 6);
  }
  if (policy.moves.empty()) page.paragraph("It bought nothing.", 2);
  std::vector<std::string> repairs;
  for (const assess::PracticeJudgement& judged : policy.judged)
    repairs.push_back(judged.text + (judged.words == "right" ? "" : " (" + judged.words + ")"));
  page.paragraph("Then: " + (repairs.empty() ? "nothing to put right." : joined(repairs, "; ") + "."), 2, 6);
}

}  // namespace

void show_story(TerminalPage& page, const assess::PracticeAnswer& answer) {
  page.strong("Practice " + std::to_string(answer.seed) + ", " + answer.level + ": " + answer.level_text);
  page.paragraph(plain_text(answer.engine.name) + ", " + std::to_string(answer.engine.general.cylinders) +
                 " cylinders; an invented engine, the same for everybody with this number.");
  if (!answer.facts.empty()) page.paragraph("Known of its past: " + joined(answer.facts, ", ") + ".");
  page.paragraph("The owner tells: " + (answer.told.empty() ? std::string("nothing in particular") : joined(answer.told, "; ")) + ".", 0,
                 2);
  page.paragraph("Asked, and not so: " + joined(answer.denied, "; ") + ".", 0, 2);
}

void show_offers(TerminalPage& page, const assess::PracticeAnswer& answer) {
  show_offers(page, answer, false);
  show_offers(page, answer, true);
  page.paragraph("min: workshop minutes at all places, with what must be set up first. Name one place to pay for that place alone.", 2);
}

void show_names(TerminalPage& page, const assess::PracticeAnswer& answer) {
  page.heading("Faults that can be named");
  std::vector<std::vector<std::string>> rows;
  for (const assess::PracticeName& name : answer.names) rows.push_back({name.name, places_text(name.places), name.text});
  page.table({{"name"}, {"at"}, {""}}, rows);
}

void show_move(TerminalPage& page, const assess::PracticeMove& move) {
  show_looks(page, move);
  page.paragraph(minutes_text(move.minutes) + " min" + (move.note.empty() ? "" : "; " + move.note) + ".", 2);
}

void show_score(TerminalPage& page, const assess::PracticeAnswer& answer) {
  if (!answer.score) return;
  const assess::PracticeScore& score = *answer.score;
  page.strong(score.sentence);
  page.heading("What you named");
  show_judged(page, score.learner);
  if (!score.causes.empty()) {
    std::vector<std::string> causes;
    for (const assess::Suspect& cause : score.causes) causes.push_back(cause.text);
    page.paragraph("Behind it: " + joined(causes, "; ") + ".", 2);
  }
  show_costs(page, score);
  page.heading("Where the reasoning could be better");
  for (const assess::PracticeLesson& lesson : score.lessons) page.paragraph("- " + lesson.text, 2, 4);
  show_policy(page, score.policy);
  page.paragraph(std::string("By your evidence: ") + score.finding.sentence);
  page.paragraph(assess::kBasis);
}

void show(TerminalPage& page, const assess::PracticeAnswer& answer) {
  show_story(page, answer);
  if (!answer.moves.empty()) page.heading("Bought so far: " + minutes_text(answer.minutes) + " min");
  for (const assess::PracticeMove& move : answer.moves) show_move(page, move);
  page.blank();
  if (answer.score) return show_score(page, answer);
  show_offers(page, answer);
  page.paragraph("Name the fault at the end: --moves \"...; name joint 2-3\", \"name thermostat\", \"name nothing\".");
}

}  // namespace headjoint::report
