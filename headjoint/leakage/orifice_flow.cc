#include "headjoint/leakage/orifice_flow.h"

#include <algorithm>
#include <cmath>

#include "headjoint/leakage/internal/arguments.h"
#include "headjoint/leakage/internal/flow_function.h"

namespace headjoint::leakage {
namespace {

FlowFunction checked_function(double heat_ratio) {
  check_argument(heat_ratio > 1 && heat_ratio < 2, "heat ratio", "must lie between 1 and 2");
  return FlowFunction(heat_ratio);
}

void check_ratio(double ratio) { check_argument(ratio >= 0 && ratio <= 1, "pressure ratio", "must lie between 0 and 1"); }

void check_state(const GasState& state, const char* pressure, const char* temperature) {
  check_positive(state.pressure.pascal(), pressure);
  check_positive(state.temperature.kelvin(), temperature);
}

}  // namespace

double critical_pressure_ratio(double heat_ratio) { return checked_function(heat_ratio).critical_ratio(); }

double choked_flow_function(double heat_ratio) { return checked_function(heat_ratio).choked(); }

double flow_function(double pressure_ratio, double heat_ratio) {
  check_ratio(pressure_ratio);
  return checked_function(heat_ratio)(pressure_ratio);
}

double eased_flow_function(double pressure_ratio, double heat_ratio) {
  check_ratio(pressure_ratio);
  return checked_function(heat_ratio).eased(pressure_ratio);
}

MassFlow mass_flow(Area effective_area, const GasState& first, const GasState& second, const Gas& gas) {
  check_not_negative(effective_area.si(), "effective area");
  check_state(first, "first pressure", "first temperature");
  check_state(second, "second pressure", "second temperature");
  check_gas(gas);
  const bool forward = first.pressure >= second.pressure;
  const GasState& up = forward ? first : second;
  const GasState& down = forward ? second : first;
  const double psi = FlowFunction(gas.heat_ratio).eased(down.pressure.pascal() / up.pressure.pascal());
  const double flow = effective_area.si() * up.pressure.pascal() / std::sqrt(gas.gas_constant * up.temperature.kelvin()) * psi;
  return MassFlow::from_si(forward ? flow : -flow);
}

Area effective_area_of_flow(MassFlow flow, const GasState& upstream, AbsolutePressure downstream, const Gas& gas) {
  check_not_negative(flow.si(), "flow");
  check_state(upstream, "upstream pressure", "upstream temperature");
  check_positive(downstream.pascal(), "downstream pressure");
  check_argument(downstream < upstream.pressure, "downstream pressure", "must be below the upstream pressure");
  check_gas(gas);
  const double psi = FlowFunction(gas.heat_ratio)(downstream.pascal() / upstream.pressure.pascal());
  return Area::from_si(flow.si() * std::sqrt(gas.gas_constant * upstream.temperature.kelvin()) / (upstream.pressure.pascal() * psi));
}

double sharp_edge_discharge(double pressure_ratio) {
  check_ratio(pressure_ratio);
  const double r = pressure_ratio;
  return 0.8414 + r * (-0.1002 + r * (0.8415 + r * (-3.9000 + r * (4.6001 - 1.6827 * r))));
}

MassFlow sharp_edge_flow(Area hole, const GasState& first, const GasState& second, const Gas& gas) {
  check_state(first, "first pressure", "first temperature");
  check_state(second, "second pressure", "second temperature");
  const double ratio = std::min(first.pressure, second.pressure).pascal() / std::max(first.pressure, second.pressure).pascal();
  return mass_flow(sharp_edge_discharge(ratio) * hole, first, second, gas);
}

namespace {

/// Conductance of one square metre.
double conductance_per_area(const Gas& gas) {
  check_gas(gas);
  return FlowFunction(gas.heat_ratio).choked() / (kIsoReferenceDensity * std::sqrt(gas.gas_constant * kIsoReferenceTemperature.kelvin()));
}

}  // namespace

SonicConductance sonic_conductance(Area area, const Gas& gas) {
  check_not_negative(area.si(), "effective area");
  return SonicConductance::from_si(area.si() * conductance_per_area(gas));
}

Area effective_area(SonicConductance conductance, const Gas& gas) {
  check_not_negative(conductance.si(), "conductance");
  return Area::from_si(conductance.si() / conductance_per_area(gas));
}

double iso_flow_share(double pressure_ratio, double critical_ratio, double subsonic_index) {
  check_ratio(pressure_ratio);
  check_argument(critical_ratio >= 0 && critical_ratio < 1, "critical ratio", "must be at least 0 and below 1");
  check_positive(subsonic_index, "subsonic index");
  if (pressure_ratio <= critical_ratio) return 1;
  const double past = (pressure_ratio - critical_ratio) / (1 - critical_ratio);
  return std::pow((1 - past) * (1 + past), subsonic_index);
}

MassFlow iso_mass_flow(const IsoConductance& part, const GasState& first, const GasState& second) {
  check_not_negative(part.conductance.si(), "conductance");
  check_state(first, "first pressure", "first temperature");
  check_state(second, "second pressure", "second temperature");
  constexpr double kLineFrom = 0.999;
  const bool is_forward = first.pressure >= second.pressure;
  const GasState& up = is_forward ? first : second;
  const GasState& down = is_forward ? second : first;
  const double ratio = down.pressure.pascal() / up.pressure.pascal();
  const double at = iso_flow_share(std::min(ratio, kLineFrom), part.critical_ratio, part.subsonic_index);
  const double share = ratio <= kLineFrom ? at : at * (1 - ratio) / (1 - kLineFrom);
  const double flow = part.conductance.si() * kIsoReferenceDensity * up.pressure.pascal() *
                      std::sqrt(kIsoReferenceTemperature.kelvin() / up.temperature.kelvin()) * share;
  return MassFlow::from_si(is_forward ? flow : -flow);
}

}  // namespace headjoint::leakage
