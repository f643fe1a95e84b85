#pragma once

#include <cstddef>
#include <set>
#include <string>
#include <vector>

#include "headjoint/diagnosis/finding.h"

namespace headjoint::diagnosis {

/// One thing to decide: put right, or leave.
struct Decision {
  std::string name;
  double probability = 0;        ///< that any cause with this decision is there
  double before = 0;             ///< the same with nothing observed
  double put_right_minutes = 0;  ///< largest of its causes
  double left_minutes = 0;       ///< expected loss when left: E[largest left_minutes among its causes that are there]
  bool take = false;             ///< left_minutes > put_right_minutes
};

struct CheckOptions {
  std::set<std::string> conditions;    ///< `needs` words that hold now ("head_off")
  std::set<std::string> openings;      ///< `needs` words that could be brought about, at the cost of the finding's set-up
  std::set<std::string> set_ups_done;  ///< their minutes are spent already
  double most_work = 4e10;             ///< gives up (kTooLarge) when the ranking would visit more table cells than this
  bool decisions_only = false;         ///< no check is ranked
  bool roots = true;                   ///< decisions about roots (faces, cracks) count; they can wait until the engine is open
  std::string target;                  ///< cause whose chance after each outcome is wanted ("joint_failed"), or ""
  std::size_t pack_candidates = 4;     ///< checks tried in twos and threes; fewer than two: no packs
  std::size_t places_scored = 2;       ///< per finding; the others are left out by an approximate ranking
};

/// One check worth doing, at its best place.
struct Check {
  std::size_t instance = 0;
  double value_minutes = 0;                               ///< expected saving in workshop minutes; >= 0 up to rounding
  double cost_minutes = 0;                                ///< hands-on + price + set-up not yet done
  double net_minutes = 0;                                 ///< value - cost
  std::vector<double> outcome_probability;                ///< per state of the finding
  std::vector<std::vector<double>> decision_probability;  ///< [outcome][decision]; empty rows for outcomes that cannot come
  std::vector<double> target_probability;                 ///< per outcome, of CheckOptions::target; empty without one
  std::size_t places = 1;                                 ///< how many places it could still be done at
  std::vector<std::size_t> shares_set_up;                 ///< indices into NextChecks::checks that need the same set-up
};

/// Two or three checks done in one go, worth more than the best of them alone.
struct Pack {
  std::vector<std::size_t> checks;  ///< indices into NextChecks::checks
  double value_minutes = 0;
  double cost_minutes = 0;  ///< a set-up they share is paid once
  double net_minutes = 0;
};

struct NextChecks {
  Status status = Status::kNotRun;
  double loss_now_minutes = 0;  ///< expected loss with the best decisions now
  std::vector<Decision> decisions;
  double target_now = 0;      ///< chance of CheckOptions::target
  std::vector<Pack> packs;    ///< best net first
  std::vector<Check> checks;  ///< best net first; ties (within a millionth of a minute) in the order of the network
};

/// Ranks the findings not yet observed by what knowing them is expected to save.
///
/// Decisions are additive: loss = sum over decisions of min(put right, E[left]), where E[left] is the expectation of the largest
/// left_minutes among the causes of that decision that are there (one come-back, not one for each cause). Being an expectation it is
/// linear in the probabilities, so that a check is worth the loss now minus the expected loss after it, and that is never negative
/// because min is concave. It looks one step ahead only; packs see further:
/// checks that share a set-up, or that together are worth more than the sum of each alone, are also scored in twos and threes over all
/// their outcomes.
///
/// With more than `places_scored` places, a finding is scored at those where its causes are least certain; the others are left out.
///
/// @throws ContractError when check_observations has errors
/// @par Source  Raiffa & Schlaifer 1961 (expected value of sample information)
[[nodiscard]] NextChecks rank_checks(const InstanceNetwork& network, const std::vector<Observation>& observations,
                                     const CheckOptions& options = {});

}  // namespace headjoint::diagnosis
