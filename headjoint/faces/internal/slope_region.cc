#include "headjoint/faces/internal/slope_region.h"

#include <algorithm>
#include <cmath>

namespace headjoint::faces::internal {

SlopeRegion::SlopeRegion(double steepest)
    : corners_{{-steepest, -steepest}, {steepest, -steepest}, {steepest, steepest}, {-steepest, steepest}} {}

void SlopeRegion::cut(const Vector3& difference, double height) {
  const auto excess = [&](const Vector2& s) { return difference[2] - s[0] * difference[0] - s[1] * difference[1] - height; };
  std::vector<Vector2> kept;
  for (std::size_t i = 0; i < corners_.size(); ++i) {
    const Vector2& here = corners_[i];
    const Vector2& next = corners_[(i + 1) % corners_.size()];
    const double over_here = excess(here);
    const double over_next = excess(next);
    if (over_here <= 0) kept.push_back(here);
    if ((over_here < 0 && over_next > 0) || (over_here > 0 && over_next < 0)) {
      const double share = over_here / (over_here - over_next);
      kept.push_back({here[0] + share * (next[0] - here[0]), here[1] + share * (next[1] - here[1])});
    }
  }
  if (!kept.empty()) corners_ = std::move(kept);
}

Vector2 SlopeRegion::steepest() const {
  return *std::max_element(corners_.begin(), corners_.end(),
                           [](const Vector2& a, const Vector2& b) { return std::hypot(a[0], a[1]) < std::hypot(b[0], b[1]); });
}

}  // namespace headjoint::faces::internal
