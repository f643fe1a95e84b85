#pragma once

#include <cstddef>
#include <limits>
#include <string>
#include <string_view>
#include <vector>

#include "headjoint/base/result.h"

/// Lines measured over a face: gaps under a straightedge, or the tilt of a foot stepped along.
namespace headjoint::faces {

/// How a line was measured.
enum class LineMethod {
  kFeelers,  ///< straightedge and feeler blades
  kTilt,     ///< autocollimator or level: the angle of a foot over each step
};

/// One spot of a line.
struct LineSpot {
  enum class State { kMeasured, kNotMeasured, kInaccessible };
  double x_mm = std::numeric_limits<double>::quiet_NaN();  ///< place on the face; not a number when only distances were written
  double y_mm = std::numeric_limits<double>::quiet_NaN();
  double along_mm = 0;  ///< from the first spot of the line
  State state = State::kMeasured;
  double low_mm = 0;   ///< feelers: thickest blade that enters (0 = none); tilt: least rise from the spot before
  double high_mm = 0;  ///< feelers: thinnest blade that does not (infinite when every blade entered); tilt: greatest rise
  int line = 0;        ///< of the file
};

/// A line with the straightedge in one position, or one walk of the foot.
struct MeasuredLine {
  std::string name;
  std::vector<LineSpot> spots;  ///< in order along the line
  bool has_places = false;      ///< the spots have x and y

  [[nodiscard]] double length_mm() const { return spots.empty() ? 0 : spots.back().along_mm - spots.front().along_mm; }
};

struct MeasuredLines {
  LineMethod method = LineMethod::kFeelers;
  std::vector<MeasuredLine> lines;
};

/// Reads lines from a table, one row a spot, rows of one line carrying the same name in the column `line`.
///
/// Where: x and y with units, or `at` with its unit (distance along the line) when the places on the face do not matter.
/// What: `enters` and `stops` with units, the thickest blade that enters and the thinnest that does not; 0 in `enters` when none does. Or
/// `tilt_arcsec` (also deg, rad), up positive, over the step from the row before; the first row of a line is where the foot starts and has
/// none; a column `step` with its unit gives the length of the foot where it differs from the distance of the spots.
/// A blank or "-" is not measured, "inaccessible" that nothing could be measured there; neither is ever 0. A blank `stops` beside a
/// blade that enters means that no thicker blade was tried: the gap has no upper limit, and a warning says so.
///
/// A gap lies between the two blades. Both ends of the edge are spots like the middle: on a crowned face the edge rocks, and only the
/// gaps under its ends, taken with the edge held level, show the crown.
///
/// Warnings: an edge that touches at none of its spots; a gap 20 to 30 times its neighbours'; spots of a line that do not line up.
///
/// @returns all problems at once with line and column: columns missing or unknown, no unit, both kinds mixed, a blade that stops thinner
///          than the one that enters, fewer than 3 measured spots on every line, a line that comes back
[[nodiscard]] Result<MeasuredLines> read_measured_lines(std::string_view text, const std::string& source);

/// True when the header of a table has a column `line` beside gaps or tilts: a file of lines, not of points.
[[nodiscard]] bool looks_like_lines(std::string_view text);

}  // namespace headjoint::faces
