#include "headjoint/machining/lift_curve.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "headjoint/base/error.h"
#include "headjoint/joint/lift_table.h"

namespace headjoint::machining {

double rise(joint::LiftLaw law, double share) {
  const double u = std::clamp(share, 0.0, 1.0);
  switch (law) {
    case joint::LiftLaw::kHarmonic:
      return (1 - std::cos(std::numbers::pi * u)) / 2;
    case joint::LiftLaw::kCycloidal:
      return u - std::sin(2 * std::numbers::pi * u) / (2 * std::numbers::pi);
    case joint::LiftLaw::kPolynomial345:
      return u * u * u * (10 + u * (-15 + 6 * u));
    case joint::LiftLaw::kPolynomial4567:
      return u * u * u * u * (35 + u * (-84 + u * (70 - 20 * u)));
  }
  return 0;
}

LiftCurve::LiftCurve(joint::LiftLaw law, Length max_lift, Angle duration)
    : law_(law), max_lift_m_(max_lift.si()), duration_deg_(duration.degrees()), full_lift_deg_(duration.degrees() / 2) {
  if (!(max_lift_m_ > 0)) throw InputError("max_lift", "must be greater than zero");
  if (!(duration_deg_ > 0)) throw InputError("duration", "must be greater than zero");
}

Result<LiftCurve> LiftCurve::measured(std::span<const joint::LiftPoint> table) {
  if (const auto fault = joint::lift_table_fault(table)) return *fault;
  return LiftCurve(table);
}

LiftCurve::LiftCurve(std::span<const joint::LiftPoint> table)
    : duration_deg_(table.back().crank_deg - table.front().crank_deg), first_deg_(table.front().crank_deg) {
  std::vector<numerics::MonotoneCurve::Point> points;
  for (const joint::LiftPoint& point : table) points.push_back({point.crank_deg - first_deg_, point.lift_mm});
  const auto by_lift = [](const auto& a, const auto& b) { return a.y < b.y; };
  const double highest = std::max_element(points.begin(), points.end(), by_lift)->y;
  const auto is_highest = [&](const auto& point) { return point.y == highest; };
  const auto first = std::find_if(points.begin(), points.end(), is_highest);
  const auto last = std::find_if(points.rbegin(), points.rend(), is_highest);
  max_lift_m_ = highest * 1e-3;
  full_lift_deg_ = 0.5 * (first->x + last->x);
  table_mm_.emplace(std::move(points));
}

Length LiftCurve::lift(Angle since_opening) const {
  const double at = since_opening.degrees();
  if (!(at > 0 && at < duration_deg_)) return {};
  if (table_mm_) return Length::from_si((*table_mm_)(at)*1e-3);
  const double share = at / (0.5 * duration_deg_);
  return Length::from_si(max_lift_m_ * rise(law_, share <= 1 ? share : 2 - share));
}

Length LiftCurve::max_lift() const { return Length::from_si(max_lift_m_); }
Angle LiftCurve::duration() const { return Angle::from_degrees(duration_deg_); }
Angle LiftCurve::full_lift_at() const { return Angle::from_degrees(full_lift_deg_); }

}  // namespace headjoint::machining
