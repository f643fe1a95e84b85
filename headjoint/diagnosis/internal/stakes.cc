#include "headjoint/diagnosis/internal/stakes.h"

#include <algorithm>
#include <map>

#include "headjoint/diagnosis/internal/evidence.h"

namespace headjoint::diagnosis::internal {

/// Per decision: the causes ordered by what leaving them in costs; each new cost makes a wider event.
Stakes::Stakes(const InstanceNetwork& network, CompiledNetwork& compiled, const CheckOptions& options) : compiled_(compiled) {
  std::map<std::string, std::vector<std::size_t>> causes;
  std::vector<std::string> order;
  for (std::size_t i = 0; i < network.instances.size(); ++i) {
    if (!network.instances[i].is_cause || network.cause(i).decision.empty()) continue;
    if (!options.roots && network.cause(i).layer == Layer::kRoot) continue;
    auto& list = causes[network.cause(i).decision];
    if (list.empty()) order.push_back(network.cause(i).decision);
    list.push_back(i);
  }
  for (const std::string& name : order) {
    auto& list = causes[name];
    std::stable_sort(list.begin(), list.end(),
                     [&](std::size_t a, std::size_t b) { return network.cause(a).left_minutes > network.cause(b).left_minutes; });
    Decision decision;
    decision.name = name;
    for (std::size_t i : list) decision.put_right_minutes = std::max(decision.put_right_minutes, network.cause(i).put_right_minutes);
    for (std::size_t n = 0; n < list.size(); ++n) {
      const double left = network.cause(list[n]).left_minutes;
      const double next = n + 1 < list.size() ? network.cause(list[n + 1]).left_minutes : 0.0;
      if (left == next && n + 1 < list.size()) continue;
      add_event(decisions_.size(), left - next, {list.begin(), list.begin() + static_cast<std::ptrdiff_t>(n) + 1});
    }
    decisions_.push_back(decision);
  }
  if (const int target = network.find(options.target); target >= 0) add_event(kNoDecision, 0, {static_cast<std::size_t>(target)});
}

void Stakes::add_event(std::size_t decision, double step, std::vector<std::size_t> instances) {
  Event event{decision, step, std::move(instances), false};
  const int variable = compiled_.variable_of_any(event.instances);
  event.single = variable >= 0;
  if (event.single) {
    single_variables_.push_back(static_cast<Variable>(variable));
  } else {
    absent_.emplace_back();
    compiled_.hold_all_absent(absent_.back(), event.instances);
  }
  events_.push_back(std::move(event));
}

Joint Stakes::joint(const Trial& trial, const LogValue& evidence) {
  const Marginals marginals = compiled_.tree().evaluate(trial, {single_variables_, absent_});
  Joint result;
  result.all = marginals.total.over(evidence);
  std::size_t single = 0;
  std::size_t several = 0;
  for (const Event& event : events_) {
    if (!event.single)
      result.event.push_back(result.all - marginals.on_top[several++].over(evidence));
    else
      result.event.push_back(marginals.total.sign == 0 ? 0.0 : result.all * clamped(1 - marginals.values[single++][0]));
  }
  return result;
}

/// Sum over decisions of the smaller of putting right and leaving, for a joint of weight `all`.
double Stakes::loss(const Joint& joint) const {
  std::vector<double> left(decisions_.size(), 0.0);
  for (std::size_t e = 0; e < events_.size(); ++e)
    if (events_[e].decision != kNoDecision) left[events_[e].decision] += events_[e].step_minutes * joint.event[e];
  double sum = 0;
  for (std::size_t d = 0; d < left.size(); ++d) sum += std::min(decisions_[d].put_right_minutes * joint.all, left[d]);
  return sum;
}

/// P of each decision's widest event, given the joint.
std::vector<double> Stakes::probabilities(const Joint& joint) const {
  std::vector<double> result(decisions_.size(), 0.0);
  for (std::size_t e = 0; e < events_.size(); ++e)
    if (events_[e].decision != kNoDecision) result[events_[e].decision] = std::clamp(joint.event[e] / joint.all, 0.0, 1.0);
  return result;
}

}  // namespace headjoint::diagnosis::internal
