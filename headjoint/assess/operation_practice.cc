#include <fmt/format.h>

#include <algorithm>
#include <charconv>

#include "headjoint/assess/knowledge.h"
#include "headjoint/assess/operation_table.h"
#include "headjoint/assess/practice_score.h"
#include "headjoint/assess/results_document.h"
#include "headjoint/assess/results_document_practice.h"
#include "headjoint/base/table_reader.h"
#include "headjoint/base/text.h"

namespace headjoint::assess {
namespace {

constexpr std::uint64_t kMostSeed = 999999999;  // a number that a class can copy from the blackboard

Problem option_problem(const std::string& name, std::string what, std::string allowed, std::string mend) {
  return {{{}, 0, 0, "--" + name}, std::move(what), std::move(allowed), std::move(mend)};
}

std::uint64_t read_seed(const Request& request, Problems& problems) {
  const std::string text = request.option("seed", "1");
  std::uint64_t seed = 0;
  const auto [end, failure] = std::from_chars(text.data(), text.data() + text.size(), seed);
  if (failure == std::errc() && end == text.data() + text.size() && seed <= kMostSeed) return seed;
  problems.push_back(option_problem("seed", "is \"" + text.substr(0, 40) + "\"", "a whole number from 0 to 999999999", {}));
  return 0;
}

PracticeLevel read_level(const Request& request, Problems& problems) {
  const std::string text = request.option("level", "one");
  if (const auto level = practice_level(lower_case(trimmed(text)))) return *level;
  std::vector<std::string> names;
  for (const PracticeLevel level : kPracticeLevels) names.emplace_back(name_of(level));
  const auto nearest = nearest_name(text, names);
  problems.push_back(
      option_problem("level", "is \"" + text.substr(0, 40) + "\"", word_list(names), nearest ? "did you mean \"" + *nearest + "\"?" : ""));
  return PracticeLevel::kOne;
}

std::string spoken(std::string fact) {
  std::replace(fact.begin(), fact.end(), '_', ' ');
  return fact;
}

PracticeCheck check_on_offer(const PracticeGame& game, std::size_t row, int number) {
  const diagnosis::InstanceNetwork& network = game.engine().network;
  const diagnosis::Finding& finding = network.pattern.findings[row];
  const std::vector<std::string> places = places_of_finding(network, row);
  PracticeCheck check;
  check.number = number;
  check.check = finding.name;
  check.text = diagnosis::text_at(finding.text, finding.scope == "bridge" ? "next to each other" : "each");
  check.question = finding.question;
  check.kind = diagnosis::to_text(finding.kind);
  if (!places.front().empty()) check.places = places;
  check.minutes = finding.minutes;
  check.price = finding.price_minutes;
  check.cost = game.cost_of(row, places);
  check.with_head_off = finding.needs == "head_off";
  std::vector<std::string> cautions = finding.cautions;
  if (const int at = network.pattern.set_up(finding.set_up); at >= 0) {
    const diagnosis::SetUp& set_up = network.pattern.set_ups[static_cast<std::size_t>(at)];
    check.set_up = set_up.text;
    check.set_up_done = game.is_set_up(finding.set_up);
    check.set_up_minutes = check.set_up_done ? 0 : set_up.minutes;
    for (const std::string& id : set_up.cautions)
      if (std::find(cautions.begin(), cautions.end(), id) == cautions.end()) cautions.push_back(id);
  }
  check.cannot_see = finding.cannot_see;
  check.cautions = cautions_of(cautions);
  const auto looked = static_cast<std::size_t>(std::count_if(places.begin(), places.end(), [&](const std::string& place) {
    return game.is_looked_at(static_cast<std::size_t>(network.find(finding.name, place)));
  }));
  check.status = looked == places.size() ? "done" : !game.refusal(row).empty() ? "too late" : looked > 0 ? "partly done" : "open";
  return check;
}

void tell_story(const PracticeGame& game, PracticeAnswer& answer) {
  for (const std::string& fact : game.engine().history.facts) answer.facts.push_back(spoken(fact));
  const PracticeLooks looks(game.engine());
  for (const jobs::Sign& sign : looks.complaint().signs) {
    const int instance = game.engine().network.find(sign.name, sign.where);
    (sign.state == "absent" ? answer.denied : answer.told).push_back(game.engine().network.text(static_cast<std::size_t>(instance)));
  }
}

/// Plays the moves; a check that cannot be done any more is a problem of its move.
Problems play(PracticeGame& game, const PracticeMoves& moves, PracticeAnswer& answer) {
  Problems problems;
  for (std::size_t i = 0; i < moves.checks.size(); ++i) {
    const PracticeMoves::Check& check = moves.checks[i];
    const std::string refusal = game.refusal(check.row);
    if (refusal.empty())
      answer.moves.push_back(game.look(check.row, check.places, check.typed));
    else
      problems.push_back({{{}, 0, 0, fmt::format("--moves, move {}", i + 1)},
                          "\"" + check.typed + "\": " + refusal,
                          {},
                          "name the fault, or look at the open joint"});
  }
  return problems;
}

Result<Reply> run_practice(const Request& request) {
  Problems problems;
  const std::uint64_t seed = read_seed(request, problems);
  const PracticeLevel level = read_level(request, problems);
  if (!problems.empty()) return problems;
  const PracticeEngine engine = practice_engine(seed, level);
  const auto moves = read_practice_moves(request.option("moves"), engine.network);
  if (!moves) return moves.problems();
  PracticeGame game(engine);
  PracticeAnswer content;
  problems = play(game, *moves, content);
  if (!problems.empty()) return problems;
  content.seed = seed;
  content.level = name_of(level);
  content.level_text = text_of(level);
  content.engine = engine.engine;
  content.version = program_version();
  tell_story(game, content);
  int number = 0;
  for (const std::size_t row : practice_checks(engine.network)) content.checks.push_back(check_on_offer(game, row, ++number));
  content.names = practice_names(engine.network);
  content.minutes = game.minutes();
  content.head_off = game.head_off();
  if (moves->is_over) content.score = practice_score(game, *moves, content.moves);
  Reply reply;
  reply.document = answer();
  merge_members(reply.document, to_document(content));
  reply.content = std::move(content);
  return reply;
}

}  // namespace

Operation practice_operation() {
  return {
      .name = "practice",
      .summary = "an invented engine with a hidden fault: buy checks, name the fault, see what it was and what the best policy had spent",
      .argument = "",
      .input = InputKind::kNone,
      .options = {{"seed", "NUMBER", "which engine: the same for everybody; 1 when not given"},
                  {"level", "LEVEL", "one, misleading, two or false-alarm; one when not given"},
                  {"moves", "MOVES", "\"compression; leak-down 2; name joint 2-3\"; without it the terminal asks, move by move"}},
      .keys =
          "seed, level, engine, facts[], told[], denied[], minutes, moves[]{move, looks[]{where, answer}, minutes}, "
          "checks[]{number, check, places[], cost, status}, names[]{name, places[]}, score{sentence, truth[], causes[], learner{}, "
          "policy{}, "
          "lessons[]}",
      .run = run_practice,
  };
}

}  // namespace headjoint::assess
