#include "headjoint/report/practice_text.h"

#include "headjoint/report/internal/markup.h"
#include "headjoint/report/internal/terminal_practice.h"

namespace headjoint::report {
namespace {

std::string spent(const assess::PracticeAnswer& answer) { return "Spent so far: " + fixed(answer.minutes, 0) + " workshop minutes."; }

}  // namespace

std::string practice_story(const assess::PracticeAnswer& answer, std::size_t width) {
  TerminalPage page(width, false);
  show_story(page, answer);
  return page.text();
}

std::string practice_offers(const assess::PracticeAnswer& answer, std::size_t width) {
  TerminalPage page(width, false);
  show_offers(page, answer);
  return page.text();
}

std::string practice_names(const assess::PracticeAnswer& answer, std::size_t width) {
  TerminalPage page(width, false);
  show_names(page, answer);
  return page.text();
}

std::string practice_last_move(const assess::PracticeAnswer& answer, std::size_t width) {
  TerminalPage page(width, false);
  if (!answer.moves.empty()) show_move(page, answer.moves.back());
  page.paragraph(spent(answer), 2);
  return page.text();
}

std::string practice_bought(const assess::PracticeAnswer& answer, std::size_t width) {
  TerminalPage page(width, false);
  for (const assess::PracticeMove& move : answer.moves) show_move(page, move);
  page.paragraph(spent(answer), 2);
  return page.text();
}

std::string practice_reckoning(const assess::PracticeAnswer& answer, std::size_t width) {
  TerminalPage page(width, false);
  show_score(page, answer);
  return page.text();
}

}  // namespace headjoint::report
