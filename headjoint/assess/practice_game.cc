#include "headjoint/assess/practice_game.h"

#include <algorithm>

#include "headjoint/assess/evidence.h"
#include "headjoint/base/error.h"

namespace headjoint::assess {

PracticeGame::PracticeGame(const PracticeEngine& engine)
    : engine_(engine), looks_(engine), job_(looks_.complaint()), looked_at_(engine.network.instances.size(), false) {}

std::string PracticeGame::refusal(std::size_t row) const {
  const diagnosis::Finding& finding = engine_.network.pattern.findings[row];
  if (job_.head_off && finding.needs != "head_off") return "the head is off: nothing can be run or pressed any more";
  return {};
}

double PracticeGame::cost_of(std::size_t row, const std::vector<std::string>& places) const {
  const diagnosis::Finding& finding = engine_.network.pattern.findings[row];
  double cost = 0;
  for (const std::string& place : places)
    if (!looked_at_[static_cast<std::size_t>(engine_.network.find(finding.name, place))]) cost += finding.minutes + finding.price_minutes;
  if (cost > 0 && !finding.set_up.empty() && !set_ups_.contains(finding.set_up)) {
    const int set_up = engine_.network.pattern.set_up(finding.set_up);
    if (set_up >= 0) cost += engine_.network.pattern.set_ups[static_cast<std::size_t>(set_up)].minutes;
  }
  return cost;
}

PracticeMove PracticeGame::look(std::size_t row, const std::vector<std::string>& places, std::string as_typed) {
  require(refusal(row).empty(), "this check cannot be done any more");
  const diagnosis::Finding& finding = engine_.network.pattern.findings[row];
  PracticeMove move;
  move.move = std::move(as_typed);
  move.text = finding.question.empty() ? finding.text : finding.question;
  move.minutes = cost_of(row, places);
  minutes_ += move.minutes;
  std::vector<std::string> fresh;
  for (const std::string& place : places)
    if (!looked_at_[static_cast<std::size_t>(engine_.network.find(finding.name, place))]) fresh.push_back(place);
  const bool is_all_new = fresh.size() == places.size();
  jobs::Job aside;
  move.looks = looks_.look(is_all_new ? job_ : aside, row, places);
  if (!is_all_new && !fresh.empty()) (void)looks_.look(job_, row, fresh);
  for (const std::string& place : fresh) looked_at_[static_cast<std::size_t>(engine_.network.find(finding.name, place))] = true;
  if (fresh.empty()) {
    move.note = "done before: it costs nothing and shows the same";
  } else if (!finding.set_up.empty() && !set_ups_.insert(finding.set_up).second) {
    move.note = "the set-up was there already";
  }
  if (finding.needs == "head_off") job_.head_off = true;
  return move;
}

std::vector<diagnosis::Observation> PracticeGame::observations() const {
  const auto evidence = gather_evidence(job_, engine_.network);
  require(evidence.has_value(), "a practice engine shows what cannot be");
  return evidence->observations;
}

std::vector<std::size_t> practice_checks(const diagnosis::InstanceNetwork& network) {
  std::vector<std::size_t> rows;
  for (const bool with_head_off : {false, true})
    for (std::size_t row = 0; row < network.pattern.findings.size(); ++row) {
      const diagnosis::Finding& finding = network.pattern.findings[row];
      if (finding.kind == diagnosis::FindingKind::kHidden || is_told_by_owner(finding)) continue;
      if ((finding.needs == "head_off") != with_head_off || places_of_finding(network, row).empty()) continue;
      rows.push_back(row);
    }
  return rows;
}

}  // namespace headjoint::assess
