#pragma once

#include <vector>

#include "headjoint/diagnosis/finding.h"
#include "headjoint/diagnosis/internal/evidence.h"

namespace headjoint::diagnosis::internal {

/// One diagnosis at work: the engine with and without its observations, and what was worked out so far.
struct Case {
  Case(const InstanceNetwork& engine, const std::vector<Observation>& observations, const DiagnosisOptions& wanted);

  [[nodiscard]] const std::string& name(std::size_t cause) const { return network.instances[result.causes[cause].instance].name; }

  /// Trial with other numbers at one observed instance, its observation unchanged.
  [[nodiscard]] Trial with_numbers(std::size_t instance, const Numbers& numbers) const;

  const InstanceNetwork& network;
  const DiagnosisOptions& options;
  std::vector<Look> looks;
  Likelihoods likelihoods;
  CompiledNetwork compiled;  ///< with the observations
  CompiledNetwork prior;     ///< without them
  CauseChances chances;      ///< of `compiled`; to be used only where the tree is not too large
  LogValue evidence;
  std::vector<std::size_t> leading;  ///< positions in result.causes, likeliest first
  Diagnosis result;
};

/// Weight of every observation for the target and the leading causes, conflict, and what does not fit.
void find_weights(Case& at_hand);

/// The best explanation of few causes, grown one at a time from those the evidence raised, while the factor grows by half.
void find_explanation(Case& at_hand);

/// Smallest and largest chance of the causes when one number at a time moves by half a decade of odds. After the weights: observations
/// that weigh little are not moved.
void find_bands(Case& at_hand);

}  // namespace headjoint::diagnosis::internal
