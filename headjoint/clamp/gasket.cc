#include "headjoint/clamp/gasket.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "headjoint/base/text.h"
#include "headjoint/clamp/internal/workshop_units.h"

namespace headjoint::clamp {
namespace {

using Table = std::vector<CurvePoint>;

double slope_between(const CurvePoint& a, const CurvePoint& b) { return (b.pressure_MPa - a.pressure_MPa) / (b.closure_mm - a.closure_mm); }

/// The segment that holds `closure`; beyond the last point the last one.
std::size_t segment_of(const Table& table, double closure) {
  const auto above =
      std::upper_bound(table.begin() + 1, table.end() - 1, closure, [](double c, const CurvePoint& p) { return c < p.closure_mm; });
  return static_cast<std::size_t>(above - table.begin()) - 1;
}

PressureCurve::Answer along(const Table& table, double closure) {
  if (!(closure >= table.front().closure_mm)) return {};
  const std::size_t i = segment_of(table, closure);
  const double slope = slope_between(table[i], table[i + 1]);
  return {table[i].pressure_MPa + slope * (closure - table[i].closure_mm), slope};
}

bool rises_strictly(const Table& table) {
  for (std::size_t i = 1; i < table.size(); ++i)
    if (!(table[i].closure_mm > table[i - 1].closure_mm && table[i].pressure_MPa > table[i - 1].pressure_MPa)) return false;
  return true;
}

bool all_finite(const Table& table) {
  return std::all_of(table.begin(), table.end(),
                     [](const CurvePoint& p) { return std::isfinite(p.closure_mm) && std::isfinite(p.pressure_MPa); });
}

void check_table(const Table& table, const std::string& name, Problems& problems) {
  const auto refuse = [&](const std::string& what) {
    problems.push_back({{}, name + " " + what, "closure and pressure both rise from point to point, the first pressure 0", {}});
  };
  if (table.size() < 2)
    refuse("has fewer than two points");
  else if (!all_finite(table))
    refuse("holds something that is not a number");
  else if (!rises_strictly(table))
    refuse("does not rise");
  else if (table.front().pressure_MPa != 0 || table.front().closure_mm < 0)
    refuse("does not start without pressure");
}

/// An unloading table as recovery from its end against the share of pressure left, so that tables of other closures can be mixed.
struct Unloading {
  const Table& table;
  double greatest_mm;
  double scale;  ///< of recovery

  /// Closure at a share of the greatest pressure.
  [[nodiscard]] double recovery_at(double share) const {
    const double pressure = share * table.back().pressure_MPa;
    for (std::size_t i = 1; i < table.size(); ++i) {
      if (pressure > table[i].pressure_MPa) continue;
      return scale *
             (table.back().closure_mm - table[i].closure_mm + (table[i].pressure_MPa - pressure) / slope_between(table[i - 1], table[i]));
    }
    return 0;
  }
};

}  // namespace

PressureCurve PressureCurve::linear(FoundationStiffness stiffness) {
  ask(std::isfinite(stiffness.si()) && stiffness.si() > 0, "stiffness", "a gasket without stiffness carries nothing: larger than 0 N/mm3");
  PressureCurve curve;
  curve.last_slope_ = per_mm3(stiffness);
  curve.loading_ = {{0, 0}, {1, curve.last_slope_}};
  curve.spring_ = true;
  return curve;
}

Result<PressureCurve> PressureCurve::from_tables(Table loading, std::vector<Table> unloading) {
  Problems problems;
  check_table(loading, "the curve", problems);
  for (std::size_t i = 0; i < unloading.size(); ++i) check_table(unloading[i], "the unloading curve", problems);
  if (has_errors(problems)) return problems;
  PressureCurve curve;
  curve.loading_ = std::move(loading);
  curve.last_slope_ = slope_between(*(curve.loading_.end() - 2), curve.loading_.back());
  std::sort(unloading.begin(), unloading.end(), [](const Table& a, const Table& b) { return a.back().closure_mm < b.back().closure_mm; });
  for (Table& table : unloading) {
    constexpr double kPressureSlip = 0.02;
    const double on_loading = along(curve.loading_, table.back().closure_mm).pressure_MPa;
    if (!(std::abs(table.back().pressure_MPa - on_loading) <= kPressureSlip * on_loading))
      problems.push_back(
          {{},
           fmt::format("the unloading curve ends at {} mm and {} MPa, where the curve has {} MPa", number_text(table.back().closure_mm, 4),
                       number_text(table.back().pressure_MPa, 4), number_text(on_loading, 4)),
           "an unloading curve ends on the curve, at the closure it was measured from",
           {}});
    if (along(curve.loading_, table.front().closure_mm).pressure_MPa < 0 || table.size() < 2) continue;
    table.back().pressure_MPa = on_loading;
  }
  if (has_errors(problems)) return problems;
  curve.tables_ = std::move(unloading);
  return curve;
}

PressureCurve::Answer PressureCurve::tabulated(double closure, double greatest) const {
  const bool elastic = tables_.empty() || !(greatest > loading_.front().closure_mm) || closure >= greatest ||
                       (tables_.size() > 1 && greatest <= tables_.front().back().closure_mm);
  if (elastic) return along(loading_, closure);
  const double top = along(loading_, greatest).pressure_MPa;
  const auto above = std::find_if(tables_.begin(), tables_.end(), [&](const Table& t) { return t.back().closure_mm >= greatest; });
  const bool outside = above == tables_.end() || above == tables_.begin();
  const Table& low = outside ? (above == tables_.end() ? tables_.back() : tables_.front()) : *(above - 1);
  const Table& high = outside ? low : *above;
  const double low_end = low.back().closure_mm, high_end = high.back().closure_mm;
  const double weight = outside ? 0 : (greatest - low_end) / (high_end - low_end);
  const bool similar = tables_.size() == 1 && greatest < low_end;
  const Unloading from_low{low, low_end, similar ? greatest / low_end : 1}, from_high{high, high_end, 1};
  const auto closure_at = [&](double share) {
    return greatest - (1 - weight) * from_low.recovery_at(share) - weight * from_high.recovery_at(share);
  };
  if (closure <= closure_at(0)) return {};
  // Corners of the mixed curve lie at the shares where either table has one.
  std::vector<double> shares = {0, 1};
  for (const Table* table : {&low, &high})
    for (const CurvePoint& point : *table) shares.push_back(point.pressure_MPa / table->back().pressure_MPa);
  std::sort(shares.begin(), shares.end());
  for (std::size_t i = 1; i < shares.size(); ++i) {
    const double c0 = closure_at(shares[i - 1]), c1 = closure_at(shares[i]);
    if (closure > c1 || !(c1 > c0)) continue;
    const double slope = (shares[i] - shares[i - 1]) * top / (c1 - c0);
    return {shares[i - 1] * top + slope * (closure - c0), slope};
  }
  return along(loading_, closure);
}

double PressureCurve::typical_stiffness() const {
  return loading_.back().pressure_MPa / (loading_.back().closure_mm - loading_.front().closure_mm);
}

double PressureCurve::last_closure_mm() const { return spring_ ? std::numeric_limits<double>::infinity() : loading_.back().closure_mm; }

SeatingLoads seating_loads(Length sealing_diameter, Length effective_width, double m, Stress y, GaugePressure gas) {
  const double g = mm(sealing_diameter), b = mm(effective_width), p = mega_pascal(gas);
  ask(g > 0, "sealing_diameter", "must be larger than 0");
  ask(b > 0, "effective_width", "must be larger than 0");
  ask(m >= 0, "m", "must not be negative");
  ask(p >= 0, "gas", "must not be negative");
  const double end_force = kPi / 4 * g * g * p, operating = end_force + 2 * b * kPi * g * m * p;
  return {from_newton(operating), from_newton(kPi * b * g * mega_pascal(y)), p > 0 ? operating / end_force : 1 + 8 * b * m / g};
}

Force gas_force(Length sealing_diameter, GaugePressure gas) {
  ask(sealing_diameter.si() > 0, "sealing_diameter", "must be larger than 0");
  ask(gas.pascal() >= 0, "gas", "must not be negative");
  return from_newton(kPi / 4 * mm(sealing_diameter) * mm(sealing_diameter) * mega_pascal(gas));
}

}  // namespace headjoint::clamp
