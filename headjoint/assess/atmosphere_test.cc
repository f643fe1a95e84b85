// The two modules that need the air by altitude do not use each other; each has its own form of the same standard.
#include "headjoint/coolant/atmosphere.h"

#include <gtest/gtest.h>

#include "headjoint/leakage/ambient.h"

namespace headjoint {
namespace {

constexpr double kRoundedExponent = 1e-4;  // relative: 5.2559 and 44330.8 m are rounded

TEST(Atmosphere, LeakageAndCoolantHaveTheSameAir) {
  for (double altitude = -500; altitude <= 11000; altitude += 50) {
    const Length height = Length::from_si(altitude);
    const double exact = coolant::standard_pressure(height).pascal();
    EXPECT_NEAR(leakage::standard_atmosphere_pressure(height).pascal(), exact, kRoundedExponent * exact) << altitude;
  }
}

}  // namespace
}  // namespace headjoint
