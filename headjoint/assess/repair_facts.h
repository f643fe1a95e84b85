#pragma once

#include "headjoint/assess/results.h"
#include "headjoint/assess/results_repair.h"
#include "headjoint/repair/plan.h"

/// An engine and its job in the words that plan and second failure ask for (data/repair).
namespace headjoint::assess {

/// Head bolts by measurement, class and the maker's word.
struct BoltDecision {
  std::string answer;  ///< "new" | "undecided" | "again"
  std::string why;
  std::string source;
  std::vector<MeasuredBolt> measured;
  [[nodiscard]] bool has_condemned() const;
};
[[nodiscard]] BoltDecision bolt_decision(const jobs::Job& job);

/// What holds before the repair: what is fitted, what was found, what is ordered.
[[nodiscard]] repair::Facts repair_facts(const Assessment& all);

/// The same with what was done, from [repair] and the faces that were measured.
[[nodiscard]] repair::Facts proof_facts(const Assessment& all);

/// Figures of this engine and job by the names that the plan's lines use.
[[nodiscard]] repair::Figures repair_figures(const Assessment& all);

/// Whether a cause of that name makes an engine run hot, and so cooks a new joint.
[[nodiscard]] bool makes_hot(const std::string& cause);

/// Every word that repair_facts and proof_facts can give: conditions of data/repair may use these alone.
[[nodiscard]] const std::vector<std::string>& fact_words();

/// Time from a start at `outside` until the thermostat opens, of a usual engine at idle: soonest and latest, minutes.
struct WarmUpTime {
  double low_min = 0, value_min = 0, high_min = 0;
};
[[nodiscard]] WarmUpTime warm_up_time(const joint::Engine& engine, Temperature started_at);
[[nodiscard]] WarmUp warm_up_curve(const joint::Engine& engine, Temperature started_at);
/// Where the coolant settles at idle with the thermostat at work.
[[nodiscard]] Temperature settles_at(const joint::Engine& engine, Temperature air);

}  // namespace headjoint::assess
