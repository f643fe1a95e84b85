#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "headjoint/faces/face_points.h"
#include "headjoint/faces/flatness.h"

/// Flatness within a window that may lie anywhere on the face: a limit such as 0.05 mm over any 150 x 150 mm.
namespace headjoint::faces {

enum class WindowStatus {
  kNotRun,
  kEvery,      ///< every position of the window was looked at
  kSampled,    ///< too many points: positions at the windows' quarters; read the figure as a lower limit
  kTooSparse,  ///< no window holds 4 points that span a plane: the pattern is too wide for this limit
};

struct LocalFlatness {
  WindowStatus status = WindowStatus::kNotRun;
  Length flatness = kNoLength;  ///< FLTt (MZPL) of the worst window
  double low_x_mm = 0;          ///< its corner
  double low_y_mm = 0;
  std::size_t points = 0;   ///< in the worst window
  std::size_t windows = 0;  ///< different windows that could be judged
  double judged_share = 0;  ///< of the windows that hold any point: those with enough points to judge
};

/// Positions up to which each is looked at: the different x of the points times the different y.
inline constexpr std::size_t kMostWindows = 40'000;

/// Worst minimum zone flatness of any square window with sides along x and y.
///
/// A window only changes when a point enters or leaves, so positions at which a side stands on a point are all that matter. A window's own
/// heights over the plane of the whole face bound its flatness from above; windows that cannot exceed the worst so far are passed over.
///
/// @param points  as for minimum_zone_flatness
/// @param window  side, > 0
/// @throws InputError "points" or "window"
/// @par Source  local form requirement of ISO 1101, any position (from memory)
[[nodiscard]] LocalFlatness local_flatness(const FacePoints& points, Length window);

/// A point that does not fit in with its neighbours.
struct Outlier {
  std::size_t point = 0;
  double off_mm = 0;  ///< height over the plane through its neighbours
  double times = 0;   ///< the usual distance of points from theirs
};

/// Points farther from the plane of their eight nearest neighbours than 5 times the median such distance (and 0.01 mm): dirt, a burr, a
/// slip of the pen, or a true local dent. Common practice, no source. Largest first; none for fewer than 12 points or more than 5000.
[[nodiscard]] std::vector<Outlier> outliers(const FacePoints& points);

}  // namespace headjoint::faces
