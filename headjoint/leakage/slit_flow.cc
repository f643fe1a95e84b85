#include "headjoint/leakage/slit_flow.h"

#include <cmath>

#include "headjoint/leakage/internal/arguments.h"
#include "headjoint/leakage/internal/flow_function.h"

namespace headjoint::leakage {
namespace {

void check_slit(const Slit& slit, const GasState& first, const GasState& second, const Gas& gas) {
  check_positive(slit.width.si(), "slit width");
  check_positive(slit.gap.si(), "slit gap");
  check_positive(slit.length.si(), "slit length");
  check_positive(first.pressure.pascal(), "first pressure");
  check_positive(first.temperature.kelvin(), "first temperature");
  check_positive(second.pressure.pascal(), "second pressure");
  check_positive(second.temperature.kelvin(), "second temperature");
  check_gas(gas);
}

}  // namespace

MassFlow laminar_slit_flow(const Slit& slit, const GasState& first, const GasState& second, const Gas& gas) {
  check_slit(slit, first, second, gas);
  const double p1 = first.pressure.pascal(), p2 = second.pressure.pascal(), h = slit.gap.si();
  const double upstream_temperature = (p1 >= p2 ? first : second).temperature.kelvin();
  const double squares = (p1 - p2) * (p1 + p2);
  return MassFlow::from_si(slit.width.si() * h * h * h * squares /
                           (24 * gas.viscosity * gas.gas_constant * upstream_temperature * slit.length.si()));
}

MassFlow slit_flow(const Slit& slit, const GasState& first, const GasState& second, const Gas& gas, double discharge) {
  check_argument(discharge > 0 && discharge <= 1, "discharge coefficient", "must be above 0 and at most 1");
  const double laminar = laminar_slit_flow(slit, first, second, gas).si();
  const GasState& up = laminar >= 0 ? first : second;
  const GasState& down = laminar >= 0 ? second : first;
  const double psi = FlowFunction(gas.heat_ratio)(down.pressure.pascal() / up.pressure.pascal());
  const double orifice =
      discharge * slit.width.si() * slit.gap.si() * up.pressure.pascal() * psi / std::sqrt(gas.gas_constant * up.temperature.kelvin());
  if (orifice == 0) return MassFlow::from_si(0);
  return MassFlow::from_si(laminar / std::hypot(1, laminar / orifice));
}

Area slit_effective_area(const Slit& slit, const GasState& upstream, AbsolutePressure downstream, const Gas& gas, double discharge) {
  const GasState behind{downstream, upstream.temperature};
  check_argument(downstream < upstream.pressure, "downstream pressure", "must be below the upstream pressure");
  return effective_area_of_flow(slit_flow(slit, upstream, behind, gas, discharge), upstream, downstream, gas);
}

}  // namespace headjoint::leakage
