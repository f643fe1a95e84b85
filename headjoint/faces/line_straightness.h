#pragma once

#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "headjoint/faces/straightedge.h"
#include "headjoint/units/quantity.h"

/// How straight a measured line is, as far as its readings can tell.
namespace headjoint::faces {

/// All values a figure can have with every reading inside its interval: the ends are reached.
struct Band {
  double low_mm = 0;
  double high_mm = 0;  ///< infinite when a reading has no upper limit

  [[nodiscard]] bool is_bounded() const { return high_mm < std::numeric_limits<double>::infinity(); }
};

/// How a line bends.
enum class Bend {
  kNotShown,  ///< straight as far as the readings tell
  kHollow,    ///< the middle is surely low
  kCrown,     ///< the middle is surely high
  kWavy,      ///< surely both
};
[[nodiscard]] std::string bend_text(Bend bend);

/// Height of a spot under or over the line's own reference, as an interval: where the profile can be.
struct ProfileSpot {
  double along_mm = 0;
  double low_mm = 0;
  double high_mm = 0;
  std::size_t spot = 0;  ///< in the line
};

/// The measured spots of a line as heights: minus the gap under a straightedge, the sum of the rises for tilts.
/// A tilt that was not measured ends the profile there.
[[nodiscard]] std::vector<ProfileSpot> profile_of(const MeasuredLine& line, LineMethod method);

struct LineStraightness {
  Band straightness;  ///< distance of the two closest parallel lines that hold the profile
  Bend bend = Bend::kNotShown;
  std::optional<Band> local;  ///< the same over the worst stretch no longer than the window; empty without a window
  double local_from_mm = 0;   ///< where that stretch begins
  double local_to_mm = 0;     ///< and ends
  Band largest_gap;           ///< largest gap under the edge; feelers only
};

/// Straightness of one line, exact for readings that are intervals.
///
/// Three spots i < j < k deviate by the height of j over the chord from i to k; the straightness is the largest such deviation, up or down
/// (alternation of the two closest lines). With heights free inside their intervals its least value is the largest deviation that no choice
/// avoids, its greatest the largest that some choice reaches; both are attained for gaps (duality of the linear programme for the least).
/// For tilts, whose rises add up, the least is a lower limit.
///
/// @param window  longest stretch of a local limit, > 0; only spots no farther apart are compared
/// @throws InputError "window"
[[nodiscard]] LineStraightness straightness_of(const MeasuredLine& line, LineMethod method, std::optional<Length> window = {});

/// Straightness of a profile whose heights are known: spots (along, height), mm, in any order. Square to the line.
///
/// @param profile  at least 2 spots at different places
/// @throws InputError "profile"
[[nodiscard]] double straightness_mm(const std::vector<std::pair<double, double>>& profile);

/// Deviation of the straightest parabola of height `sag` over `length` within a window: sag (window / length)^2.
/// @param window  > 0, at most `length`
/// @throws InputError naming the argument
[[nodiscard]] Length sag_in_window(Length sag, Length length, Length window);

}  // namespace headjoint::faces
