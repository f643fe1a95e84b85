#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "headjoint/units/quantity.h"

/// Whether a measured figure keeps a limit, given how well it is known.
namespace headjoint::faces {

enum class Verdict {
  kPass,       ///< proved within the limit
  kUndecided,  ///< the uncertainty covers the limit: measure better, do not machine
  kFail,       ///< proved beyond the limit
};

/// A decision with what it rests on.
struct Decision {
  Verdict verdict = Verdict::kUndecided;
  Length low;   ///< least value the reading allows: value - U, not below 0
  Length high;  ///< greatest value the reading allows: value + U
  Length limit;
  /// Largest expanded uncertainty that would have decided the same reading; empty unless undecided, and when no uncertainty could.
  std::optional<Length> uncertainty_needed;
  std::string to_settle;  ///< what would settle an undecided one, in words; empty otherwise
};

/// Decision at an upper limit: pass when value + U <= limit, fail when value - U > limit, undecided between.
///
/// @param value                 measured, >= 0
/// @param expanded_uncertainty  U with coverage factor 2, >= 0
/// @param limit                 > 0, from the engine's maker
/// @throws InputError naming the argument
/// @par Source  ISO 14253-1 (from memory): guard bands on both sides of the limit
[[nodiscard]] Decision decide(Length value, Length expanded_uncertainty, Length limit);

/// Decision for a reading that is an interval: the largest blade that enters <= gap < the smallest that does not.
///
/// The expanded uncertainty of everything but the step widens the interval on both sides.
///
/// @param enters                largest blade that enters, >= 0
/// @param does_not_enter        smallest blade that does not, > enters
/// @param expanded_uncertainty  of blade, straightedge and dirt, without the step; >= 0
/// @param limit                 > 0
/// @throws InputError naming the argument
[[nodiscard]] Decision decide_feeler(Length enters, Length does_not_enter, Length expanded_uncertainty, Length limit);

/// One cause of doubt: the true value lies anywhere within +- half_width with equal chance (standard uncertainty half_width / sqrt 3).
struct Contribution {
  std::string name;
  Length half_width;
  std::string source;

  [[nodiscard]] Length standard_uncertainty() const;
};

/// Contributions with their sum.
struct UncertaintyBudget {
  std::vector<Contribution> contributions;
  Length standard;  ///< root of the sum of squares
  Length expanded;  ///< U = 2 x standard, about 95 %

  /// The contribution with the largest share; null when there is none.
  [[nodiscard]] const Contribution* largest() const;
};

/// Sums independent contributions.
/// @throws InputError when a half width is negative or not a number
/// @par Source  root-sum-of-squares for independent uniform contributions, GUM (JCGM 100:2008) 4.3.7 and 5.1.2, from memory
[[nodiscard]] UncertaintyBudget uncertainty_budget(std::vector<Contribution> contributions);

/// Half of one step of the gauge or of the feeler set; the gap lies within +- half a step of the middle of the reading.
/// @param step  > 0
/// @throws InputError
[[nodiscard]] Contribution gauge_step(Length step);
/// Thickness of a feeler blade: +- 5 um. Common practice for blades below 0.1 mm, no source.
[[nodiscard]] Contribution feeler_blade();
/// A band of flatness `band` of a straightedge or plate: +- half of it.
/// @param band  > 0
/// @throws InputError
[[nodiscard]] Contribution reference_flatness(Length band, std::string source);
/// Dirt and burrs on a wiped face: +- 5 um. Common practice, no source.
[[nodiscard]] Contribution dirt();

/// Flatness band of a knife-edge straightedge: 2 um + L / 250 um, L in mm.
/// @param length  > 0, up to 500 mm
/// @throws InputError
/// @par Source  DIN 874-2:2003-11
[[nodiscard]] Length knife_edge_flatness(Length length);

/// Flatness of a surface plate by grade: 0: 4 + L/250, 1: 10 + L/100, 2: 20 + L/50, 3: 40 + L/25 um, L the longer side in mm.
/// @param grade  0 to 3
/// @param longer_side  > 0
/// @throws InputError
/// @par Source  DIN 876 tables
[[nodiscard]] Length plate_flatness(int grade, Length longer_side);

}  // namespace headjoint::faces
