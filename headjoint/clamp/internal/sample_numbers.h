#pragma once

#include <cmath>
#include <cstdint>

#include "headjoint/clamp/internal/workshop_units.h"

namespace headjoint::clamp {

/// Random numbers of one sample: the same for a seed and a sample number, whoever asks, on every machine.
/// @par Source  splitmix64, S. Vigna (public domain, from memory)
class SampleNumbers {
 public:
  SampleNumbers(std::uint64_t seed, std::uint64_t sample) : state_(mixed(seed) ^ mixed(sample + 0x632be59bd9b4e019ULL)) {}

  /// Between 0 and 1, never either.
  double uniform() {
    state_ += 0x9e3779b97f4a7c15ULL;
    return (static_cast<double>(mixed(state_) >> 11) + 0.5) * 0x1.0p-53;
  }
  /// Mean 0, standard deviation 1.
  double normal() {
    const double radius = std::sqrt(-2 * std::log(uniform()));
    return radius * std::cos(2 * kPi * uniform());
  }

 private:
  static std::uint64_t mixed(std::uint64_t z) {
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9ULL;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebULL;
    return z ^ (z >> 31);
  }
  std::uint64_t state_;
};

}  // namespace headjoint::clamp
