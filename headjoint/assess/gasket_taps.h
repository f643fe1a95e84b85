#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "headjoint/base/document.h"
#include "headjoint/base/result.h"
#include "headjoint/photo/plan_map.h"

/// What a person tapped on the photograph of a gasket: its file.
namespace headjoint::assess {

struct CircleTap {
  std::optional<int> number;  ///< among its kind; else in the order of the file
  std::string kind = "bore";  ///< a word of circle_kinds()
  photo::PicturePoint tap;
  std::optional<Length> about;  ///< diameter to look for, within a quarter either way
  bool snap = true;             ///< false: the tap is the centre, `diameter` its size
  std::optional<Length> diameter;
};

struct GasketTaps {
  std::string name;
  bool is_seen_from_below = false;
  double tap_px = photo::kTapUncertainty_px;  ///< how far taps miss, two standard deviations
  std::vector<photo::KnownDistance> distances;
  std::vector<photo::KnownPoint> points;
  std::optional<std::pair<photo::PicturePoint, photo::PicturePoint>> axes;  ///< origin, and a place further along the crank
  std::vector<CircleTap> circles;
  std::vector<photo::PicturePoint> outline;
};

/// "bore", "bolt" and the kinds of passages.
[[nodiscard]] std::span<const std::string> circle_kinds();

/// Strict: unknown keys, wrong kinds, more than 500 circles, a number twice are all listed with their places.
[[nodiscard]] Result<GasketTaps> read_gasket_taps(const Document& document);

/// A commented file to be filled in.
[[nodiscard]] std::string gasket_taps_template(const std::string& name);

}  // namespace headjoint::assess
