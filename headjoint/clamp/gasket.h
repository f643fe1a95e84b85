#pragma once

#include <span>
#include <vector>

#include "headjoint/base/result.h"
#include "headjoint/joint/engine.h"
#include "headjoint/units/points.h"
#include "headjoint/units/quantity.h"

/// How a gasket answers: pressure against closure, with memory.
namespace headjoint::clamp {

/// A point of a curve: closure from just touching, pressure.
using joint::CurvePoint;

/// Pressure of a gasket region as its faces close, loading and unloading.
///
/// Loading is piecewise linear from the first point on and straight on with the last slope. No closure, no pressure: there is no tension.
/// Unloading: each table ends on the loading curve at the greatest closure it was measured from. From another greatest closure the gasket
/// unloads along a curve between the two tables, interpolated at equal shares of the greatest pressure. With two or more tables the gasket
/// is elastic below the first one's greatest closure; one table alone is taken as similar at every closure. Without tables the gasket is
/// elastic.
class PressureCurve {
 public:
  /// A spring: p = stiffness x closure.
  /// @param stiffness  > 0; InputError
  [[nodiscard]] static PressureCurve linear(FoundationStiffness stiffness);

  /// @param loading    two or more points, closure and pressure rising strictly, from (0, 0) or from a first closure with no pressure
  /// @param unloading  tables, each rising strictly, from pressure 0 to its end on the loading curve (within 2 % of pressure)
  /// @returns the curve, or every problem in words (no place; the caller knows it)
  [[nodiscard]] static Result<PressureCurve> from_tables(std::vector<CurvePoint> loading,
                                                         std::vector<std::vector<CurvePoint>> unloading = {});

  /// Pressure and slope, MPa and MPa per mm, at a closure, when the greatest closure before was `greatest_mm`.
  struct Answer {
    double pressure_MPa = 0;
    double slope_MPa_per_mm = 0;
  };
  [[nodiscard]] Answer at(double closure_mm, double greatest_mm = 0) const {
    if (tables_.empty() && loading_.size() == 2) {
      const double depth = closure_mm - loading_[0].closure_mm;
      return depth >= 0 ? Answer{last_slope_ * depth, last_slope_} : Answer{};
    }
    return tabulated(closure_mm, greatest_mm);
  }
  [[nodiscard]] bool remembers() const { return !tables_.empty(); }
  [[nodiscard]] bool is_linear() const { return tables_.empty() && loading_.size() == 2; }
  /// Slope where it first carries, MPa per mm; of a curve: the chord to its last point.
  [[nodiscard]] double typical_stiffness() const;
  /// Last closure of the table, mm; beyond it the answer is a guess. Infinite for a spring.
  [[nodiscard]] double last_closure_mm() const;
  [[nodiscard]] const std::vector<CurvePoint>& loading() const { return loading_; }

 private:
  [[nodiscard]] Answer tabulated(double closure_mm, double greatest_mm) const;
  std::vector<CurvePoint> loading_;
  std::vector<std::vector<CurvePoint>> tables_;
  double last_slope_ = 0;
  bool spring_ = false;
};

/// Flange-code loads of a ring: what the gas needs, and what seats the ring.
struct SeatingLoads {
  Force operating;  ///< W_m1 = pi/4 G^2 p + 2 b pi G m p
  Force seating;    ///< W_m2 = pi b G y
  double ratio_to_gas = 0;
};
/// @par Source  ASME VIII-1 appendix 2 (form; factors are suggestions, not mandatory)
/// @par Checked T24
[[nodiscard]] SeatingLoads seating_loads(Length sealing_diameter, Length effective_width, double m, Stress y, GaugePressure gas);

/// Force of the gas on the sealed diameter.
/// @par Checked T25
[[nodiscard]] Force gas_force(Length sealing_diameter, GaugePressure gas);

}  // namespace headjoint::clamp
