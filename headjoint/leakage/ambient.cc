#include "headjoint/leakage/ambient.h"

#include <cmath>

#include "headjoint/base/error.h"

namespace headjoint::leakage {

double density(const Gas& gas, AbsolutePressure pressure, Temperature temperature) {
  return pressure.pascal() / (gas.gas_constant * temperature.kelvin());
}

VolumeFlow standard_volume_flow(MassFlow flow, const Gas& gas) {
  return VolumeFlow::from_si(flow.si() / density(gas, kStandardPressure, kStandardTemperature));
}

AbsolutePressure standard_atmosphere_pressure(Length altitude) {
  const double h = altitude.si();
  if (!(h >= -500 && h <= 11000)) throw InputError("altitude", "must lie between -500 m and 11000 m above sea level");
  return AbsolutePressure::from_pascal(101325 * std::pow(1 - h / 44330.8, 5.2559));
}

}  // namespace headjoint::leakage
