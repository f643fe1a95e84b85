#pragma once

#include <cmath>
#include <numbers>

namespace headjoint::leakage {

/// Piston and crank in SI units, angles in radians after top dead centre. No checks.
struct CrankGeometry {
  double crank = 0;  ///< half the stroke
  double rod = 0;
  double piston_area = 0;
  double bore = 0;
  double dead_volume = 0;     ///< all that is left above the piston at top dead centre, hose of a gauge included
  double chamber_height = 0;  ///< of the chamber's wall as a cylinder of the bore

  struct At {
    double volume = 0;
    double slope = 0;  ///< dV/da
    double wall = 0;   ///< area that takes heat
  };

  [[nodiscard]] At at(double angle) const {
    const double sine = std::sin(angle), cosine = std::cos(angle);
    const double upright = std::sqrt(rod * rod - crank * crank * sine * sine);
    const double travel = crank * (1 - cosine) + rod - upright;
    return {dead_volume + piston_area * travel, piston_area * crank * sine * (1 + crank * cosine / upright),
            2 * piston_area + std::numbers::pi * bore * (chamber_height + travel)};
  }
};

}  // namespace headjoint::leakage
