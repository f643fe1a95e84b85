#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "headjoint/base/result.h"
#include "headjoint/diagnosis/instances.h"
#include "headjoint/diagnosis/status.h"

namespace headjoint::diagnosis {

/// One look at one finding.
///
/// `likelihood` is P(what was seen | state) over the finding's own states: 0,1 seen; 1,0 not seen; anything between for a doubtful
/// look. For a finding that reads another node (Finding::measures), the vector may be over that node's states instead, as computed
/// from the reading itself (over_measured). Several observations of one instance multiply: they must be independent looks.
struct Observation {
  std::string finding;
  std::string place;  ///< "" engine-wide
  std::vector<double> likelihood;
  std::string label;  ///< how the report calls it
  bool over_measured = false;
};

/// Likelihood of "state seen, for sure": 1 there, 0 elsewhere. @throws ContractError when state >= states
[[nodiscard]] std::vector<double> seen_state(std::size_t states, std::size_t state);

struct DiagnosisOptions {
  std::string target;       ///< instance whose weights of evidence are wanted first ("joint_failed"), or ""
  std::size_t leading = 5;  ///< how many causes get weights, and whose chance is moved for the bands
  bool bands = true;
  bool weights = true;
  double band_floor = 0.02;     ///< a cause less likely than this gets no band, unless it is the target or leading
  double band_weight = 0.02;    ///< observations that weigh less for every cause weighed are not moved for the bands (log10 of the odds)
  std::size_t most_bands = 24;  ///< so many causes, the likeliest, get a band
  double most_work = 3e9;       ///< bands, and weights, are left out when they would visit more table cells than this (about a second)
  double poor_fit_drop = 1.0;   ///< an observation does not fit when leaving it out lowers the conflict by so many bits, > 0
};

/// One cause at one place.
struct CausePosterior {
  std::size_t instance = 0;  ///< index into InstanceNetwork::instances
  double prior = 0;          ///< with nothing observed
  double posterior = 0;
  double low = 0;  ///< smallest and largest posterior when one number at a time moves by half a decade of odds;
                   ///< both equal to the posterior without a band
  double high = 0;
};

/// What each observation does to one cause: log10 of the factor by which it raises the odds, all others in place.
struct Weights {
  std::size_t instance = 0;
  std::vector<double> weight;  ///< one per observation; capped at +-kLargestWeight
};

inline constexpr double kLargestWeight = 30.0;

/// Posterior of the target when the numbers of one observed node move by half a decade of odds.
struct Moved {
  std::size_t instance = 0;
  bool strengths = false;  ///< all strengths into it; else its chance of showing by itself
  bool up = false;
  double target = 0;
};

/// A few causes that, all there, explain the observations best.
struct Explanation {
  std::vector<std::size_t> instances;
  double posterior = 0;     ///< that all of them are there
  double bayes_factor = 0;  ///< P(observed | all there) / P(observed | not all there); 0 when nothing speaks for any cause
};

struct Diagnosis {
  Status status = Status::kNotRun;
  double log_evidence = 0;                  ///< natural logarithm
  double relative_error = 0;                ///< running bound on the rounding error of P(evidence)
  std::vector<CausePosterior> causes;       ///< every cause instance, in the order of the network
  std::vector<std::vector<double>> states;  ///< [instance] posterior over states: causes and hidden nodes in use; empty for the others
  bool bands_done = false;
  std::vector<Moved> moved;              ///< with the bands, when there is a target
  Explanation explanation;               ///< empty unless weights were asked for
  bool weights_done = false;             ///< also of conflict, conflict_drop and poor_fit
  std::vector<Weights> weights;          ///< target first, then the leading causes
  double conflict = 0;                   ///< log2( prod P(e_i) / P(e) ); above 0 the observations agree less than chance
  std::vector<double> conflict_drop;     ///< per observation: conflict now - conflict without it
  std::vector<std::size_t> poor_fit;     ///< observations to take again, worst first
  std::vector<std::size_t> conflicting;  ///< when impossible: observations that cannot stand together
};

/// Checks that observations fit the network.
/// @returns problems: unknown finding or place (with the nearest name), vector of the wrong length, negative, NaN, all zero
[[nodiscard]] Problems check_observations(const InstanceNetwork& network, const std::vector<Observation>& observations);

/// Posterior of every cause given the observations; exact.
///
/// Leading causes: largest posterior among causes with a decision or of layer root or path, ties in network order.
///
/// @throws ContractError when check_observations has errors
/// @par Source  noisy-OR and noisy-MAX factorised as in Takikawa & D'Ambrosio 1999, Diez & Galan 2003; conflict measure of Jensen,
/// Chamond, Nordby & Nielsen 1991
[[nodiscard]] Diagnosis diagnose(const InstanceNetwork& network, const std::vector<Observation>& observations,
                                 const DiagnosisOptions& options = {});

}  // namespace headjoint::diagnosis
