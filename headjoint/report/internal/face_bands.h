#pragma once

#include <string>
#include <vector>

#include "headjoint/assess/results.h"
#include "headjoint/report/internal/svg.h"

namespace headjoint::report {

/// Heights are shown in this many equal bands; band 0 is the lowest.
inline constexpr int kBands = 5;

/// Divides the heights of a face into bands about zero, the middle of the minimum zone.
class HeightScale {
 public:
  explicit HeightScale(const std::vector<assess::FacePoint>& points);

  /// @param deviation_mm  from the middle of the zone. @returns 0 to kBands - 1
  [[nodiscard]] int band(double deviation_mm) const;

  /// "+1.4 to +2.4"
  [[nodiscard]] std::string band_text(int band) const;

  /// In hundredths of a millimetre, signed: "+2.4".
  [[nodiscard]] std::string number(double deviation_mm) const;

  [[nodiscard]] double lowest() const { return lowest_; }    ///< mm
  [[nodiscard]] double highest() const { return highest_; }  ///< mm

 private:
  double lowest_ = 0;
  double highest_ = 0;
  double half_ = 0;  ///< the bands reach from -half_ to half_
  int decimals_ = 1;
};

/// How the area of a band is filled: pale, so that numbers stay readable; with or without lines between its parts.
[[nodiscard]] const Paint& band_fill(int band, bool has_lines);

/// The mark of a band: filled triangle up (high), open triangle up, small circle, open triangle down, filled triangle down (low).
void draw_marker(Svg& svg, Spot at, double radius, int band);

}  // namespace headjoint::report
