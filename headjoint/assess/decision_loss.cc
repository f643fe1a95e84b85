#include "headjoint/assess/decision_loss.h"

#include <algorithm>
#include <map>

#include "headjoint/diagnosis/next_check.h"

namespace headjoint::assess {

std::optional<std::set<std::string>> decisions_taken(const diagnosis::InstanceNetwork& network,
                                                     const std::vector<diagnosis::Observation>& observations) {
  diagnosis::CheckOptions options;
  options.roots = false;
  options.decisions_only = true;
  const diagnosis::NextChecks ranked = diagnosis::rank_checks(network, observations, options);
  if (ranked.status != diagnosis::Status::kDone) return std::nullopt;
  std::set<std::string> taken;
  for (const diagnosis::Decision& decision : ranked.decisions)
    if (decision.take) taken.insert(decision.name);
  return taken;
}

DecisionLoss loss_of(const diagnosis::InstanceNetwork& network, const std::set<std::string>& taken, const std::vector<std::string>& there) {
  std::map<std::string, double> put_right;
  for (std::size_t i = 0; i < network.instances.size(); ++i) {
    if (!network.instances[i].is_cause || !taken.contains(network.cause(i).decision)) continue;
    double& minutes = put_right[network.cause(i).decision];
    minutes = std::max(minutes, network.cause(i).put_right_minutes);
  }
  std::map<std::string, double> left;
  for (const std::string& name : there) {
    const int instance = network.find(name);
    if (instance < 0) continue;
    const diagnosis::Cause& cause = network.cause(static_cast<std::size_t>(instance));
    if (cause.decision.empty() || taken.contains(cause.decision)) continue;
    left[cause.decision] = std::max(left[cause.decision], cause.left_minutes);
  }
  DecisionLoss loss;
  for (const auto& [name, minutes] : put_right) loss.put_right_minutes += minutes;
  for (const auto& [name, minutes] : left) loss.left_minutes += minutes;
  return loss;
}

double checking_minutes(const diagnosis::InstanceNetwork& network, const std::vector<diagnosis::Observation>& observations) {
  std::set<std::string> set_ups;
  double minutes = 0;
  for (const diagnosis::Observation& observation : observations) {
    const int row = network.pattern.finding(observation.finding);
    if (row < 0) continue;
    const diagnosis::Finding& finding = network.pattern.findings[static_cast<std::size_t>(row)];
    minutes += finding.minutes + finding.price_minutes;
    if (!finding.set_up.empty()) set_ups.insert(finding.set_up);
  }
  for (const std::string& name : set_ups)
    if (const int row = network.pattern.set_up(name); row >= 0) minutes += network.pattern.set_ups[static_cast<std::size_t>(row)].minutes;
  return minutes;
}

}  // namespace headjoint::assess
