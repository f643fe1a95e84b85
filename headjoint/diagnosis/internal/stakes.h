#pragma once

#include <string>
#include <vector>

#include "headjoint/diagnosis/internal/compiled_network.h"
#include "headjoint/diagnosis/next_check.h"

namespace headjoint::diagnosis::internal {

/// An event "at least one of these causes is there", worth so many minutes of expected loss on top of the events before it.
struct Event {
  std::size_t decision = 0;
  double step_minutes = 0;
  std::vector<std::size_t> instances;
  bool single = false;  ///< one cause, or all that a flag gathers, so a variable of the tree; else held absent by a trial
};

/// Joint with what was observed, relative to P(observed): of everything, and of each event.
struct Joint {
  double all = 0;
  std::vector<double> event;
};

inline constexpr std::size_t kNoDecision = static_cast<std::size_t>(-1);  // of the event that is only looked at

/// The decisions of a job, and what each would cost under any trial.
class Stakes {
 public:
  Stakes(const InstanceNetwork& network, CompiledNetwork& compiled, const CheckOptions& options);

  /// In the order of the network; names and minutes, no chances yet.
  [[nodiscard]] const std::vector<Decision>& decisions() const { return decisions_; }
  [[nodiscard]] const std::vector<Event>& events() const { return events_; }
  [[nodiscard]] bool has_target() const { return !events_.empty() && events_.back().decision == kNoDecision; }

  /// How many runs of the tree one joint takes.
  [[nodiscard]] std::size_t runs() const { return 1 + absent_.size(); }

  /// @param evidence  P(observed) with no trial
  [[nodiscard]] Joint joint(const Trial& trial, const LogValue& evidence);

  /// Sum over decisions of the smaller of putting right and leaving, for a joint of weight `all`.
  [[nodiscard]] double loss(const Joint& joint) const;

  /// P of each decision's widest event, given the joint.
  [[nodiscard]] std::vector<double> probabilities(const Joint& joint) const;

 private:
  void add_event(std::size_t decision, double step, std::vector<std::size_t> instances);

  CompiledNetwork& compiled_;
  std::vector<Decision> decisions_;
  std::vector<Event> events_;
  std::vector<Variable> single_variables_;  ///< of the events of one cause
  std::vector<Trial> absent_;               ///< of the events of several
};

}  // namespace headjoint::diagnosis::internal
