#pragma once

#include <cmath>
#include <string>

#include "headjoint/base/error.h"
#include "headjoint/leakage/ambient.h"

namespace headjoint::leakage {

/// @throws InputError for `argument` unless `holds`
inline void check_argument(bool holds, const char* argument, const char* allowed) {
  if (!holds) throw InputError(argument, allowed);
}

inline void check_positive(double value, const char* argument) {
  check_argument(value > 0 && std::isfinite(value), argument, "must be above zero");
}

inline void check_not_negative(double value, const char* argument) {
  check_argument(value >= 0 && std::isfinite(value), argument, "must not be negative");
}

inline void check_gas(const Gas& gas) {
  check_positive(gas.gas_constant, "gas constant");
  check_argument(gas.heat_ratio > 1 && gas.heat_ratio < 2, "heat ratio", "must lie between 1 and 2");
  check_positive(gas.viscosity, "viscosity");
}

inline void check_ambient(const Ambient& ambient) {
  check_positive(ambient.pressure.pascal(), "ambient pressure");
  check_positive(ambient.temperature.kelvin(), "ambient temperature");
}

/// "5.516 bar (80 psi)"
[[nodiscard]] std::string pressure_text(GaugePressure pressure);

}  // namespace headjoint::leakage
