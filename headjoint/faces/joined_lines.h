#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "headjoint/faces/face_points.h"
#include "headjoint/faces/line_straightness.h"
#include "headjoint/faces/straightedge.h"
#include "headjoint/units/quantity.h"

/// Lines over a face joined where they cross: what they say of its flatness together, and what they cannot have seen.
///
/// Every line has two free figures, the height and the tilt of the edge that lay on it (a walk of tilts has one, the tilt of its zero).
/// Where lines have a spot in common they must agree there. What is left free is a shape that no reading could have shown.
namespace headjoint::faces {

/// A shape that leaves every reading of these lines as it is.
enum class Shape { kTwist, kLengthwiseBow, kCrosswiseBow };
[[nodiscard]] std::string shape_text(Shape shape);

struct UnseenShape {
  Shape shape = Shape::kTwist;
  double share = 0;  ///< 0 the lines see it whole, 1 they cannot have seen it at all
};

/// A reading whose interval widens the band: a finer one would narrow it.
struct WideReading {
  std::string line;
  std::size_t spot = 0;  ///< in its line
  double low_mm = 0;     ///< as read
  double high_mm = 0;
  double widens_mm = 0;  ///< by so much the flatness band is the wider for it
};

enum class JoinStatus {
  kNotRun,
  kDone,
  kNoPlaces,      ///< the spots have no place on the face: lines cannot be joined
  kTooFewPlaces,  ///< fewer than 4 places, or all on one line
};

enum class BandStatus {
  kNotRun,
  kExact,     ///< both ends proved by duality and reached
  kOuter,     ///< the true band lies inside: the search for its ends was cut short
  kUnbounded  ///< shapes that the lines cannot have seen may be of any height
};

struct JoinedLines {
  JoinStatus status = JoinStatus::kNotRun;
  FacePoints places;                ///< every different place with its height by least squares, from the middle of each interval
  std::size_t closures = 0;         ///< conditions that the readings must meet where lines cross
  double closure_rms_mm = 0;        ///< root mean square of what the readings had to be moved by
  double largest_closure_mm = 0;    ///< the most that one of them had to be moved by
  std::string largest_closure_at;   ///< "line D1 at 210 mm"
  double contradiction_mm = 0;      ///< by so much every interval had to be widened before any face could give all readings; 0 when one can
  std::size_t free_shapes = 0;      ///< independent shapes no reading can have shown; 0 when the lines fix the face at their spots
  std::vector<UnseenShape> unseen;  ///< the plain ones among them, largest share first
  std::vector<std::string> loose;   ///< lines tied to the others at fewer than two places
  BandStatus band_status = BandStatus::kNotRun;
  Band flatness;                    ///< flatness deviation of the places, over all heights that the readings allow
  std::vector<WideReading> widest;  ///< readings that widen the band most, at most three
};

/// Joins lines and bounds the flatness deviation of their spots.
///
/// Least flatness: a linear programme over readings in their intervals, the closures and the plane. Greatest: the flatness deviation is the
/// largest of one linear form for every four spots (three against one, two against two), so its greatest value is the greatest of as many
/// linear programmes over readings and closures; those that cannot reach the best so far are not run. Both ends are taken from dual
/// multipliers, which bound them whatever the solver did.
///
/// @par Source  heights from crossing lines by least squares instead of Moody's step-by-step procedure: Metrology 2026, 6(2), 27 (abstract)
[[nodiscard]] JoinedLines join_lines(const MeasuredLines& measured);

}  // namespace headjoint::faces
