#include "headjoint/leakage/leak_down.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "headjoint/leakage/internal/arguments.h"
#include "headjoint/leakage/internal/flow_function.h"
#include "headjoint/numerics/root.h"

namespace headjoint::leakage {
namespace {

constexpr double kLargestSupply = 20e5;     // Pa; workshop air ends far below
constexpr double kRoundingOfTyping = 1e-9;  // a limit met exactly in another unit counts as met
constexpr double kLossLimit = 0.25;         // AC 43.13-1B para 8-14
constexpr double kLargeBore = 5.00 * 25.4e-3;
constexpr double kSmallOrifice = 0.040 * 25.4e-3;
constexpr double kLargeOrifice = 0.060 * 25.4e-3;

/// Supply, cylinder and outlet as absolute pressures [Pa].
struct Series {
  double supply;
  double outlet;
  FlowFunction psi;

  Series(GaugePressure supply_pressure, const Ambient& ambient, const Gas& gas)
      : supply(supply_pressure.absolute(ambient.pressure).pascal()), outlet(ambient.pressure.pascal()), psi(gas.heat_ratio) {}

  [[nodiscard]] double area_ratio(double cylinder) const { return supply * psi(cylinder / supply) / (cylinder * psi(outlet / cylinder)); }

  /// What the tester passes minus what the leak passes, over the common factor.
  [[nodiscard]] double surplus(double cylinder, double area_ratio) const {
    return supply * psi(cylinder / supply) - area_ratio * cylinder * psi(outlet / cylinder);
  }
};

void check_supply(GaugePressure supply, const Ambient& ambient, const Gas& gas) {
  if (!(supply.pascal() > 0 && supply.pascal() <= kLargestSupply))
    throw InputError("supply", "must be above 0 and at most 20 bar (290 psi), gauge; got " + pressure_text(supply));
  check_ambient(ambient);
  check_gas(gas);
}

void check_reading(GaugePressure supply, GaugePressure reading) {
  if (std::isnan(reading.pascal())) throw InputError("reading", "is not a number");
  if (reading.pascal() < 0)
    throw InputError("reading", pressure_text(reading) + " is negative: type the gauge pressure on the cylinder side, not the drop");
  if (reading > supply)
    throw InputError("reading", pressure_text(reading) + " is above the supply of " + pressure_text(supply) +
                                    ": supply and reading swapped, or one of them in another unit");
}

void check_test(const LeakDownTest& test) {
  check_supply(test.supply, test.ambient, test.gas);
  check_positive(test.orifice.effective_area.si(), "tester orifice");
  check_argument(test.orifice.low_factor > 0 && test.orifice.low_factor <= 1 && test.orifice.high_factor >= 1 &&
                     std::isfinite(test.orifice.high_factor),
                 "tester orifice", "its limits must lie on both sides of its area");
  check_argument(test.gauge_step.pascal() > 0 && test.gauge_step < test.supply, "gauge step", "must be above 0 and below the supply");
}

/// The leak a reading means, with the band one gauge step up and down.
LeakArea banded_leak(const Series& series, const LeakDownTest& test, double reading) {
  const double outlet = series.outlet, step = test.gauge_step.pascal();
  const auto area_at = [&](double gauge) { return series.area_ratio(gauge + outlet) * test.orifice.effective_area; };
  LeakArea leak;
  const double slack = kRoundingOfTyping * test.supply.pascal();  // "79" and "1 psi" are whole steps from the ends of the scale
  if (reading + step < test.supply.pascal() - slack) leak.low = area_at(reading + step);
  if (reading > step + slack) leak.high = area_at(reading - step);
  if (reading == 0) {
    leak.low = leak.area = area_at(step);
    leak.status = LeakArea::Status::kTooLargeToMeasure;
    return leak;
  }
  leak.area = area_at(reading);
  leak.status = leak.low.si() > 0 ? LeakArea::Status::kMeasured : LeakArea::Status::kBelowLimit;
  return leak;
}

}  // namespace

TesterOrifice TesterOrifice::drilled(Length diameter, double discharge, double spread) {
  check_positive(diameter.si(), "orifice diameter");
  check_argument(discharge > 0 && discharge <= 1, "discharge coefficient", "must be above 0 and at most 1");
  check_argument(spread >= 0 && spread < discharge, "discharge spread", "must be at least 0 and below the coefficient");
  const Area geometric = std::numbers::pi / 4 * diameter * diameter;
  return {discharge * geometric, 1 - spread / discharge, 1 + spread / discharge};
}

TesterOrifice TesterOrifice::calibrated(Area area, double relative_spread) {
  check_positive(area.si(), "orifice area");
  check_argument(relative_spread >= 0 && relative_spread < 1, "orifice spread", "must be at least 0 and below 1");
  return {area, 1 - relative_spread, 1 + relative_spread};
}

double loss_fraction(GaugePressure supply, GaugePressure reading) {
  check_supply(supply, {}, {});
  check_reading(supply, reading);
  return (supply.pascal() - reading.pascal()) / supply.pascal();
}

double leak_area_ratio(GaugePressure supply, GaugePressure reading, const Ambient& ambient, const Gas& gas) {
  check_supply(supply, ambient, gas);
  check_reading(supply, reading);
  check_argument(reading.pascal() > 0, "reading", "0 means a leak too large to measure with this tester");
  return Series(supply, ambient, gas).area_ratio(reading.absolute(ambient.pressure).pascal());
}

GaugePressure leak_down_reading(GaugePressure supply, double area_ratio, const Ambient& ambient, const Gas& gas) {
  check_supply(supply, ambient, gas);
  check_not_negative(area_ratio, "area ratio");
  if (area_ratio == 0) return supply;
  const Series series(supply, ambient, gas);
  const auto root =
      numerics::bracketed_root([&](double cylinder) { return series.surplus(cylinder, area_ratio); }, series.outlet, series.supply);
  return GaugePressure::from_pascal(std::clamp(root.x - series.outlet, 0.0, supply.pascal()));
}

GaugePressure leak_down_reading(const LeakDownTest& test, Area leak) {
  check_test(test);
  check_not_negative(leak.si(), "leak area");
  return leak_down_reading(test.supply, leak / test.orifice.effective_area, test.ambient, test.gas);
}

LeakDown leak_area_from_leak_down(const LeakDownTest& test, GaugePressure reading) {
  check_test(test);
  check_reading(test.supply, reading);
  const Series series(test.supply, test.ambient, test.gas);
  LeakDown result;
  result.loss_fraction = loss_fraction(test.supply, reading);
  result.leak = banded_leak(series, test, reading.pascal());
  result.area_ratio = result.leak.area / test.orifice.effective_area;
  result.orifice_low = test.orifice.low_factor * result.leak.area;
  result.orifice_high = test.orifice.high_factor * result.leak.area;
  const double cylinder = reading.absolute(test.ambient.pressure).pascal();
  const double mass = test.orifice.effective_area.si() * series.supply * series.psi(cylinder / series.supply) /
                      std::sqrt(test.gas.gas_constant * test.ambient.temperature.kelvin());
  result.flow = standard_volume_flow(MassFlow::from_si(mass), test.gas);
  result.above_loss_rule = exceeds_loss_rule(result.loss_fraction);
  return result;
}

Area leak_area_from_outlet_flow(VolumeFlow flow, GaugePressure cylinder, const Ambient& ambient, const Gas& gas) {
  check_not_negative(flow.si(), "flow");
  check_positive(cylinder.pascal(), "cylinder pressure");
  check_ambient(ambient);
  check_gas(gas);
  const MassFlow mass = MassFlow::from_si(flow.si() * density(gas, kStandardPressure, kStandardTemperature));
  return effective_area_of_flow(mass, {cylinder.absolute(ambient.pressure), ambient.temperature}, ambient.pressure, gas);
}

bool exceeds_loss_rule(double loss_fraction) {
  check_argument(loss_fraction >= 0 && loss_fraction <= 1, "loss fraction", "must lie between 0 and 1");
  return loss_fraction > kLossLimit + kRoundingOfTyping;
}

Length standard_tester_orifice(Length bore) {
  check_positive(bore.si(), "bore");
  return Length::from_si(bore.si() < kLargeBore * (1 - kRoundingOfTyping) ? kSmallOrifice : kLargeOrifice);
}

CrankPush crank_push(GaugePressure pressure, Length bore, Length stroke, Length rod, Angle past_tdc) {
  check_not_negative(pressure.pascal(), "pressure");
  check_positive(bore.si(), "bore");
  check_positive(stroke.si(), "stroke");
  check_argument(rod.si() > stroke.si() / 2 && std::isfinite(rod.si()), "rod length", "must be above half the stroke");
  check_argument(std::isfinite(past_tdc.radians()), "crank angle", "is not a number");
  const double crank = stroke.si() / 2, sine = std::sin(past_tdc.radians()), cosine = std::cos(past_tdc.radians());
  const double lever = crank * sine * (1 + crank * cosine / std::sqrt(rod.si() * rod.si() - crank * crank * sine * sine));
  const double force = pressure.pascal() * std::numbers::pi / 4 * bore.si() * bore.si();
  return {Force::from_si(force), Torque::from_si(force * lever)};
}

}  // namespace headjoint::leakage
