#include "headjoint/faces/line_straightness.h"

#include <algorithm>
#include <cmath>

#include "headjoint/base/error.h"
#include "headjoint/faces/internal/line_width.h"

namespace headjoint::faces {
namespace {

constexpr double kInfinity = std::numeric_limits<double>::infinity();
constexpr double kSureBend_mm = 1e-9;  // a bend below this is rounding

/// What three spots show: height of the middle one over the chord of the others, as an interval. Gaps are free of each other; of a walk of
/// tilts the rises are, and the heights add them up.
Band over_chord(const ProfileSpot& a, const ProfileSpot& b, const ProfileSpot& c, LineMethod method) {
  const double share = (b.along_mm - a.along_mm) / (c.along_mm - a.along_mm);
  if (method == LineMethod::kTilt)
    return {(1 - share) * (b.low_mm - a.low_mm) - share * (c.high_mm - b.high_mm),
            (1 - share) * (b.high_mm - a.high_mm) - share * (c.low_mm - b.low_mm)};
  return {b.low_mm - ((1 - share) * a.high_mm + share * c.high_mm), b.high_mm - ((1 - share) * a.low_mm + share * c.low_mm)};
}

/// Largest deviation of three spots within `reach`.
struct Worst {
  Band band;
  Band up;    ///< of the middle over the chord
  Band down;  ///< under it
  double from_mm = 0;
  double to_mm = 0;
};

Worst worst_of(const std::vector<ProfileSpot>& profile, LineMethod method, double reach) {
  Worst worst;
  double sure = -1;
  double possible = -1;
  const std::size_t n = profile.size();
  for (std::size_t i = 0; i < n; ++i) {
    for (std::size_t k = i + 2; k < n && profile[k].along_mm - profile[i].along_mm <= reach; ++k) {
      for (std::size_t j = i + 1; j < k; ++j) {
        const Band over = over_chord(profile[i], profile[j], profile[k], method);
        worst.up.low_mm = std::max(worst.up.low_mm, over.low_mm);
        worst.down.low_mm = std::max(worst.down.low_mm, -over.high_mm);
        worst.up.high_mm = std::max(worst.up.high_mm, over.high_mm);
        worst.down.high_mm = std::max(worst.down.high_mm, -over.low_mm);
        const double least = std::max({0.0, over.low_mm, -over.high_mm});
        const double most = std::max(over.high_mm, -over.low_mm);
        if (least > sure || (least == sure && most > possible)) {
          sure = least;
          possible = most;
          worst.from_mm = profile[i].along_mm;
          worst.to_mm = profile[k].along_mm;
        }
      }
    }
  }
  worst.band = {std::max(worst.up.low_mm, worst.down.low_mm), std::max(worst.up.high_mm, worst.down.high_mm)};
  return worst;
}

Bend bend_of(const Worst& worst) {
  const bool up = worst.up.low_mm > kSureBend_mm;
  const bool down = worst.down.low_mm > kSureBend_mm;
  if (up && down) return Bend::kWavy;
  if (up) return Bend::kCrown;
  return down ? Bend::kHollow : Bend::kNotShown;
}

}  // namespace

std::string bend_text(Bend bend) {
  switch (bend) {
    case Bend::kHollow:
      return "hollow";
    case Bend::kCrown:
      return "crown";
    case Bend::kWavy:
      return "wavy";
    case Bend::kNotShown:
      break;
  }
  return "straight as far as the readings tell";
}

std::vector<ProfileSpot> profile_of(const MeasuredLine& line, LineMethod method) {
  std::vector<ProfileSpot> profile;
  for (std::size_t i = 0; i < line.spots.size(); ++i) {
    const LineSpot& spot = line.spots[i];
    const bool is_measured = spot.state == LineSpot::State::kMeasured;
    if (method == LineMethod::kFeelers) {
      if (is_measured) profile.push_back({spot.along_mm, -spot.high_mm, -spot.low_mm, i});
      continue;
    }
    if (!is_measured) break;
    const double low = profile.empty() ? 0 : profile.back().low_mm + spot.low_mm;
    const double high = profile.empty() ? 0 : profile.back().high_mm + spot.high_mm;
    profile.push_back({spot.along_mm, low, high, i});
  }
  return profile;
}

LineStraightness straightness_of(const MeasuredLine& line, LineMethod method, std::optional<Length> window) {
  if (window && !(window->si() > 0)) throw InputError("window", "must be more than 0");
  const std::vector<ProfileSpot> profile = profile_of(line, method);
  const Worst whole = worst_of(profile, method, kInfinity);
  LineStraightness found;
  found.straightness = whole.band;
  found.bend = bend_of(whole);
  if (window) {
    const Worst local = worst_of(profile, method, window->si() * 1e3 * (1 + 1e-12));
    found.local = local.band;
    found.local_from_mm = local.from_mm;
    found.local_to_mm = local.to_mm;
  }
  if (method == LineMethod::kFeelers) {
    for (const ProfileSpot& spot : profile) {
      found.largest_gap.low_mm = std::max(found.largest_gap.low_mm, -spot.high_mm);
      found.largest_gap.high_mm = std::max(found.largest_gap.high_mm, -spot.low_mm);
    }
  }
  return found;
}

double straightness_mm(const std::vector<std::pair<double, double>>& profile) {
  std::vector<internal::Vector2> points;
  double length = 0;
  for (const auto& [along, height] : profile) {
    if (!std::isfinite(along) || !std::isfinite(height)) throw InputError("profile", "a spot is not a number");
    points.push_back({along, height});
    length = std::max(length, std::abs(along - profile.front().first));
  }
  if (!(length > 0)) throw InputError("profile", "needs spots at two different places");
  const internal::LineZone zone = internal::least_line_zone(std::move(points), -kInfinity, kInfinity);
  return zone.height() / std::hypot(1.0, zone.slope);
}

Length sag_in_window(Length sag, Length length, Length window) {
  if (!(length.si() > 0)) throw InputError("length", "must be more than 0");
  if (!(window.si() > 0) || window > length) throw InputError("window", "must be more than 0 and no longer than the face");
  const double share = window / length;
  return share * share * sag;
}

}  // namespace headjoint::faces
