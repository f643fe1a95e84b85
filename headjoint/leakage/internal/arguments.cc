#include "headjoint/leakage/internal/arguments.h"

#include "headjoint/base/text.h"

namespace headjoint::leakage {

std::string pressure_text(GaugePressure pressure) {
  constexpr double kPascalPerPsi = 6894.757293168;
  return number_text(pressure.bar(), 4) + " bar (" + number_text(pressure.pascal() / kPascalPerPsi, 4) + " psi)";
}

}  // namespace headjoint::leakage
