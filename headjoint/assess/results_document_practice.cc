#include "headjoint/assess/results_document_practice.h"

#include "headjoint/assess/results_document.h"

namespace headjoint::assess {
namespace {

template <class T, class Make>
Array list(const std::vector<T>& items, Make make) {
  Array out;
  for (const T& item : items) out.push_back(make(item));
  return out;
}

Array texts(const std::vector<std::string>& items) { return Array(items.begin(), items.end()); }

Document check(const PracticeCheck& one) {
  return Table{{"number", one.number},
               {"check", one.check},
               {"text", one.text},
               {"question", one.question},
               {"kind", one.kind},
               {"places", texts(one.places)},
               {"set_up", one.set_up},
               {"set_up_done", one.set_up_done},
               {"minutes", one.minutes},
               {"price", one.price},
               {"set_up_minutes", one.set_up_minutes},
               {"cost", one.cost},
               {"with_head_off", one.with_head_off},
               {"status", one.status},
               {"cannot_see", one.cannot_see},
               {"cautions", list_document(one.cautions)}};
}

Document name(const PracticeName& one) {
  return Table{{"name", one.name}, {"text", one.text}, {"group", one.group}, {"places", texts(one.places)}};
}

Document look(const PracticeLook& one) {
  return Table{{"check", one.check}, {"where", one.where}, {"text", one.text}, {"answer", one.answer}, {"found", one.is_found}};
}

Document move(const PracticeMove& one) {
  return Table{{"move", one.move}, {"text", one.text}, {"looks", list(one.looks, look)}, {"minutes", one.minutes}, {"note", one.note}};
}

Document judgement(const PracticeJudgement& one) {
  return Table{{"name", one.name},
               {"where", one.where},
               {"text", one.text},
               {"words", one.words},
               {"put_right_minutes", one.put_right_minutes},
               {"left_minutes", one.left_minutes}};
}

Document walk(const PracticeWalk& one) {
  return Table{{"moves", list(one.moves, move)},       {"judged", list(one.judged, judgement)}, {"check_minutes", one.check_minutes},
               {"repair_minutes", one.repair_minutes}, {"left_minutes", one.left_minutes},      {"total_minutes", one.total()}};
}

Document suspect(const Suspect& one) { return Table{{"name", one.name}, {"where", one.where}, {"text", one.text}}; }

Document lesson(const PracticeLesson& one) { return Table{{"kind", one.kind}, {"text", one.text}, {"minutes", one.minutes}}; }

Document score(const PracticeScore& one) {
  return Table{{"sentence", one.sentence},
               {"truth", list(one.truth, suspect)},
               {"causes", list(one.causes, suspect)},
               {"learner", walk(one.learner)},
               {"policy", walk(one.policy)},
               {"expected_at_once_minutes", one.expected_at_once},
               {"expected_decision_minutes", one.expected_decision},
               {"best_decision_minutes", one.best_decision},
               {"finding", to_document(one.finding)},
               {"lessons", list(one.lessons, lesson)}};
}

}  // namespace

Document to_document(const PracticeAnswer& answer) {
  return Table{{"seed", static_cast<std::int64_t>(answer.seed)},
               {"level", answer.level},
               {"level_text", answer.level_text},
               {"engine", answer.engine.name},
               {"cylinders", answer.engine.general.cylinders},
               {"facts", texts(answer.facts)},
               {"told", texts(answer.told)},
               {"denied", texts(answer.denied)},
               {"minutes", answer.minutes},
               {"head_off", answer.head_off},
               {"moves", list(answer.moves, move)},
               {"checks", list(answer.checks, check)},
               {"names", list(answer.names, name)},
               {"score", answer.score ? score(*answer.score) : Document()}};
}

}  // namespace headjoint::assess
