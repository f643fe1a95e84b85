#pragma once

#include <optional>
#include <span>

#include "headjoint/base/result.h"
#include "headjoint/joint/engine.h"
#include "headjoint/numerics/monotone_curve.h"
#include "headjoint/units/points.h"
#include "headjoint/units/quantity.h"

namespace headjoint::machining {

/// Share of the full lift after a share of the rise: 0 at 0, 1 at 1.
///
/// harmonic (1 - cos pi u)/2; cycloidal u - sin(2 pi u)/(2 pi); 3-4-5 polynomial 10u^3 - 15u^4 + 6u^5;
/// 4-5-6-7 polynomial 35u^4 - 84u^5 + 70u^6 - 20u^7.
/// @param share  clamped to 0 ... 1
/// @par Source  standard cam laws, any handbook of mechanisms; peak factors in lift_curve_test.cc
[[nodiscard]] double rise(joint::LiftLaw law, double share);

/// Lift at the valve over the crank angle from where the valve leaves its seat; lash is out of it already.
class LiftCurve {
 public:
  /// Rise and fall of the same law, half the duration each.
  /// @param max_lift  at the valve; > 0
  /// @param duration  crank angle from seat to seat; > 0
  /// @throws InputError naming max_lift or duration
  LiftCurve(joint::LiftLaw law, Length max_lift, Angle duration);

  /// Measured points, joined by a curve that turns only where the table does.
  /// @returns the curve, or why the table is refused: it must begin and end with the valve shut
  [[nodiscard]] static Result<LiftCurve> measured(std::span<const joint::LiftPoint> table);

  /// @returns zero before opening and after closing
  [[nodiscard]] Length lift(Angle since_opening) const;
  [[nodiscard]] Length max_lift() const;
  [[nodiscard]] Angle duration() const;
  [[nodiscard]] Angle full_lift_at() const;  ///< since opening; the middle of a flat top

 private:
  explicit LiftCurve(std::span<const joint::LiftPoint> table);

  joint::LiftLaw law_ = joint::LiftLaw::kPolynomial345;
  double max_lift_m_ = 0;
  double duration_deg_ = 0;
  double full_lift_deg_ = 0;
  double first_deg_ = 0;
  std::optional<numerics::MonotoneCurve> table_mm_;
};

}  // namespace headjoint::machining
