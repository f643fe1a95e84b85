#pragma once

#include <optional>
#include <string>

#include "headjoint/clamp/bolt.h"

/// Torque, then angle, perhaps past yield; and whether the bolt may serve again.
namespace headjoint::clamp {

/// A bolt turned to a snug torque and then by an angle, parts and bolt elastic, bolt perfectly plastic at its yield preload.
struct TorqueAngle {
  Force snug_preload{};
  double preload_per_degree_N = 0;
  Force yield_preload{};
  Angle angle_to_yield{};  ///< from snug
  bool yields = false;
  Force preload{};         ///< at the end
  Length permanent_set{};  ///< plastic stretch, stays after removal
  Length bolt_stretch{};   ///< elastic
  Length parts_shorten{};
};

/// dF/dtheta = P / 360 deg / (dS + dP); beyond yield only the set grows.
///
/// @param snug           preload at snug, >= 0, at most the yield preload
/// @param angle          >= 0
/// @param bolt, members  > 0; `members` with the gasket in series
/// @par Checked T16
[[nodiscard]] TorqueAngle torque_angle(const Thread& thread, Force snug, Angle angle, LineLoad bolt, LineLoad members, Force yield_preload);

/// May a bolt serve again?
enum class ReuseVerdict {
  kReusable,   ///< within the limit, by measurement
  kUndecided,  ///< the reading does not settle it: fit new ones
  kScrap,      ///< stretched, necked or meant for one use
};
struct ReuseDecision {
  ReuseVerdict verdict = ReuseVerdict::kUndecided;
  Length stretch_low{};   ///< permanent stretch, least the reading allows
  Length stretch_high{};  ///< most
  Length limit{};
  std::string why{};  ///< one sentence
};

/// Decides from a measured length. A stretched bolt is never used again; without a maker's limit 0.2 % of the stretched length counts as
/// stretched (the definition of the yield point), and a bolt that may have yielded is undecided even below it.
///
/// @param measured     under head to tip
/// @param as_new       of a new bolt, same ends
/// @param uncertainty  of the difference, coverage 2, >= 0
/// @param stretched    length that carries the strain (grip)
/// @param maker_limit  greatest length the maker allows
/// @param single_use   the maker says: one use
/// @param necked       a straightedge along the thread shows a gap, or the thread does not run freely by hand
[[nodiscard]] ReuseDecision reuse_decision(Length measured, Length as_new, Length uncertainty, Length stretched,
                                           std::optional<Length> maker_limit, bool single_use, bool necked = false);

}  // namespace headjoint::clamp
