#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "headjoint/base/result.h"

namespace headjoint::faces {

/// Probed points of one face, kept as one array per coordinate so that long sets are walked quickly.
///
/// z is the height over the measuring plane, positive out of the metal. A point that was not measured is not in these arrays.
struct FacePoints {
  std::vector<double> x_mm;
  std::vector<double> y_mm;
  std::vector<double> z_mm;
  std::vector<std::string> names;  ///< text of the column "point" or "number", one per point; empty when there is no such column
  std::vector<int> lines;          ///< line of the file on which each point stands; empty for points that come from no file

  /// A place of the pattern that has no height.
  struct Unmeasured {
    enum class Reason { kNotMeasured, kInaccessible };
    double x_mm = 0;
    double y_mm = 0;
    Reason reason = Reason::kNotMeasured;
    int line = 0;
  };
  std::vector<Unmeasured> unmeasured;
  bool is_over_second_face = false;  ///< z is the thickness over another machined face: z = 0 is that face

  [[nodiscard]] std::size_t size() const { return z_mm.size(); }

  /// How people call point `index`: its name, or its number from 1 in the order of the file when it has none.
  /// @param index  < size()
  [[nodiscard]] std::string name_of(std::size_t index) const;
};

/// Fewest points that can show anything but a perfect plane.
inline constexpr std::size_t kFewestPoints = 4;
/// Longest file read; a longer one is refused before it is taken apart.
inline constexpr std::size_t kMostPoints = 5'000'000;

/// What a table of points is read for.
enum class PointUse {
  kFace,   ///< at least 4 points spread over a face
  kDatum,  ///< a face or a line that a cut is held parallel to: 2 points will do
};

/// Reads points from a table with the columns x, y and z, each with its unit in the header: x_mm, z_um, y_in, z_thou, "z (mm)".
///
/// In place of z the column may be depth (of a depth gauge under its bar: deeper is lower) or thickness (over a second face, z = 0 there).
///
/// The columns point, number, remark and note may stand beside them; any other column is a problem. A decimal comma is read where the
/// cells are separated by `;` or tabs (or quoted). An empty z or "-" means not measured, "inaccessible" that nothing could be measured
/// there: both are kept apart and never count as 0.
///
/// Warnings (the points are read all the same): one place measured twice with heights more than 0.02 mm apart (common practice for a
/// dial gauge that repeats, no source); a height 20 to 30 times its neighbours', the mark of a slip between micrometres and thousandths of
/// an inch or millimetres and inches (factor 25.4), looked for in sets of up to 2000 points, which may have been typed.
///
/// @param source  file name for the messages
/// @returns the points in millimetres, or all problems at once with line and column: no unit, column missing or unknown, not a number,
///          beyond 10 m, fewer than 4 measured points at different places, all on one line, more than 5 million rows
[[nodiscard]] Result<FacePoints> read_face_points(std::string_view text, const std::string& source, PointUse use = PointUse::kFace);

}  // namespace headjoint::faces
