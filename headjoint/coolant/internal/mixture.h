#pragma once

#include "headjoint/coolant/glycol.h"

/// Ideal mixture of water and glycol in SI doubles.
namespace headjoint::coolant {

/// @throws InputError unless the share lies between 0 and 0.7
void check_coolant(const Coolant& coolant);

struct Mixture {
  double water_moles;  ///< mole fraction of water
  Glycol glycol;

  [[nodiscard]] double vapour_pascal(double kelvin) const;
  [[nodiscard]] double boiling_kelvin(double pascal) const;
};

[[nodiscard]] Mixture mixture_of(const Coolant& coolant);

}  // namespace headjoint::coolant
