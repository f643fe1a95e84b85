#include "headjoint/assess/results_document_options.h"

#include "headjoint/assess/internal/document_parts.h"
#include "headjoint/assess/knowledge.h"
#include "headjoint/assess/options_answer.h"
#include "headjoint/assess/results.h"
#include "headjoint/assess/results_document.h"

namespace headjoint::assess {
namespace {

Document parts(const std::vector<CostPart>& items, const char* what) {
  Array list;
  for (const CostPart& item : items) list.push_back(Document().set(what, item.what).set("cost", item.cost));
  return list;
}

Document line(const OptionLine& option) {
  Document document;
  document.set("option", option.option).set("text", option.text).set("state", option.state);
  if (!option.forbidden.empty()) document.set("forbidden", option.forbidden);
  document.set("expected_cost", option.expected_cost).set("low", option.low).set("high", option.high);
  document.set("second_failure", option.second_failure).set("engine_lost", option.engine_lost);
  document.set("items", parts(option.items, "item"));
  Array drivers;
  for (const FailureDriver& driver : option.drivers) drivers.push_back(Document().set("driver", driver.what).set("share", driver.share));
  document.set("drivers", std::move(drivers)).set("note", option.note);
  return document;
}

Document check(const CheckFirst& first) {
  Document document;
  document.set("check", first.check).set("where", first.where).set("text", first.text).set("cost", first.cost);
  document.set("value", first.value).set("net_value", first.net_value).set("outcomes", Array(first.outcomes.begin(), first.outcomes.end()));
  return document;
}

using internal::texts;

}  // namespace

Document options_list(const OptionsAnswer& answer) {
  Array list;
  for (const OptionLine& option : answer.options) list.push_back(line(option));
  return list;
}

Document choice_document(const OptionsAnswer& answer) {
  Document document;
  document.set("status", answer.status).set("sentence", answer.sentence);
  document.set("chosen", answer.chosen).set("after_check", answer.after_check).set("second", answer.second).set("lead", answer.lead);
  document.set("check", check(answer.check));
  Array turns;
  for (const ChoiceTurn& turn : answer.turns) {
    Document one;
    one.set("figure", turn.figure).set("unit", turn.unit).set("now", turn.now).set("at", turn.at);
    turns.push_back(one.set("then", turn.then).set("then_text", turn.then_text));
  }
  Array weights;
  for (const ChoiceWeight& weight : answer.weights) {
    Document one;
    one.set("figure", weight.figure).set("unit", weight.unit).set("now", weight.now).set("low", weight.low);
    weights.push_back(one.set("high", weight.high).set("swing", weight.swing));
  }
  document.set("turns", std::move(turns)).set("weights", std::move(weights));
  document.set("unit", answer.unit).set("hour_price", answer.hour_price).set("prices", answer.prices);
  document.set("distance_km", answer.distance_km).set("joint_failed", answer.joint_failed).set("spread", kSpread);
  document.set("examples", texts(answer.examples)).set("notes", texts(answer.notes));
  document.set("cautions", list_document(option_cautions(answer)));
  return document.set("basis", kBasis).set("defer", defer_line());
}

Document to_document(const OptionsAnswer& answer) {
  Document document;
  document.set("options", options_list(answer));
  merge_members(document, choice_document(answer));
  return document;
}

}  // namespace headjoint::assess
