#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "headjoint/base/document.h"
#include "headjoint/base/result.h"
#include "headjoint/diagnosis/calibration.h"
#include "headjoint/diagnosis/finding.h"

/// Strengths counted from closed jobs. The shipped figure weighs like so many cases; what was not verified counts for nothing.
namespace headjoint::diagnosis {

/// One job after its end: what had been looked at, and what was found to be the matter.
struct ClosedCase {
  const InstanceNetwork* network = nullptr;  ///< shipped figures, laid out over that engine
  std::vector<Observation> observations;     ///< before the engine was opened
  std::vector<std::string> found;            ///< "gas_to_neighbour@2-3", "thermostat"; empty: nothing was wrong
  bool is_verified = false;                  ///< seen or proved; else the case is left out
  std::vector<double> before = {};           ///< [instance] chances_before(*network); empty: worked out
};

enum class LearntKind {
  kChance,        ///< how often a cause is there in an engine that comes in
  kStrength,      ///< how often a sign shows when, of all that brings it, this cause alone is there; as asked: holds false alarms
  kFalsePositive  ///< how often a sign shows when nothing that brings it is there
};

/// "chance", "strength", "false_positive".
[[nodiscard]] std::string_view to_text(LearntKind kind);

/// One figure of the pattern as shipped and as counted.
struct LearntNumber {
  LearntKind kind = LearntKind::kChance;
  std::string cause;      ///< empty for a false positive
  std::string sign;       ///< empty for a chance
  std::size_t grade = 1;  ///< at least so strong a state of the sign, from 1
  double shipped = 0;     ///< mean over the cases counted
  std::size_t hits = 0;
  std::size_t cases = 0;
  double learnt = 0;
  Interval seen;  ///< Wilson's interval of hits / cases, 95 %
};

struct Learnt {
  double equivalent_cases = 10;
  std::size_t closures = 0;   ///< that counted
  std::size_t left_out = 0;   ///< not verified
  std::string based_on = {};  ///< program version, for the file
  std::vector<LearntNumber> numbers;
};

/// Chance of every cause with nothing observed; 0 for findings.
[[nodiscard]] std::vector<double> chances_before(const InstanceNetwork& network);

inline constexpr double kEquivalentCases = 10;
inline constexpr double kLeastEquivalentCases = 1;
inline constexpr double kMostEquivalentCases = 1000;

/// Counts of all verified cases, added to the shipped figures as Beta distributions; the order of the cases does not matter.
///
/// What a closure tells: paths and rivals not named were not there. Roots and weaknesses are not known, unless named.
/// - Chance: one case for each engine on which the cause could be at any place; a hit when it was at one.
/// - Strength and false positive: looks with a sure answer, of which every possible cause is known. One cause there: a case of its
///   strength. None there: a case of the false positives. Several: left out, for nobody can tell which of them brought it.
/// Figures that are so by definition (0 or 1) are never learnt.
///
/// @param equivalent_cases  kLeastEquivalentCases to kMostEquivalentCases
/// @throws ContractError for a case without a network, a name that is not in it, or equivalent cases out of range
/// @par Source  Beta-binomial counting; Spiegelhalter & Lauritzen 1990
[[nodiscard]] Learnt learn(std::span<const ClosedCase> cases, double equivalent_cases = kEquivalentCases);

/// The pattern with the learnt figures in place. A chance moves the cause's own chance and what brings it by the same factor on the odds;
/// a strength loses its share of false alarms again (net_strength). Nothing leaves kLearntFloor to kLearntCeiling. Without any number the
/// pattern comes back unchanged.
/// @throws ContractError for a name or grade that is not in the pattern (read_learnt checks)
[[nodiscard]] Pattern with_learnt(Pattern pattern, const Learnt& learnt);

/// The file of learnt figures: format, closures, equivalent_cases, [[chance]], [[strength]], [[false_positive]].
[[nodiscard]] Document write_learnt(const Learnt& learnt);

/// @returns the figures, or every problem with its place: names the pattern does not have (with the nearest), values out of range, more
/// hits than cases
[[nodiscard]] Result<Learnt> read_learnt(const Document& document, const Pattern& pattern);

}  // namespace headjoint::diagnosis
