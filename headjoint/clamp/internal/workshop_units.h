#pragma once

#include <string>

#include "headjoint/base/error.h"
#include "headjoint/units/points.h"
#include "headjoint/units/quantity.h"

/// Millimetre, newton, megapascal: the system inside this module's kernels (consistent: MPa = N/mm2).
namespace headjoint::clamp {

constexpr double kPi = 3.14159265358979323846;

constexpr double mm(Length value) { return value.si() * 1e3; }
constexpr double mm2(Area value) { return value.si() * 1e6; }
constexpr double newton(Force value) { return value.si(); }
constexpr double newton_mm(Torque value) { return value.si() * 1e3; }
constexpr double mega_pascal(Stress value) { return value.si() * 1e-6; }
constexpr double mega_pascal(GaugePressure value) { return value.pascal() * 1e-6; }
constexpr double newton_per_mm(LineLoad value) { return value.si() * 1e-3; }
constexpr double per_mm3(FoundationStiffness value) { return value.si() * 1e-9; }  ///< N/mm3

constexpr Length from_mm(double value) { return Length::from_si(value * 1e-3); }
constexpr Area from_mm2(double value) { return Area::from_si(value * 1e-6); }
constexpr Force from_newton(double value) { return Force::from_si(value); }
constexpr Torque from_newton_mm(double value) { return Torque::from_si(value * 1e-3); }
constexpr Stress from_mega_pascal(double value) { return Stress::from_si(value * 1e6); }
constexpr LineLoad from_newton_per_mm(double value) { return LineLoad::from_si(value * 1e3); }

/// @throws InputError naming the argument when `right` is false (comparisons with not-a-number are false)
inline void ask(bool right, const char* argument, const char* what) {
  if (!right) throw InputError(argument, what);
}

}  // namespace headjoint::clamp
