#include "headjoint/leakage/orifice_flow.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <limits>

#include "headjoint/base/error.h"
#include "headjoint/leakage/gases.h"
#include "headjoint/leakage/slit_flow.h"

namespace headjoint::leakage {
namespace {

constexpr double kSame = 1e-12;
constexpr double kNotANumber = std::numeric_limits<double>::quiet_NaN();
constexpr double kAtmosphere = 101325;

GasState gas_at(double pascal, double kelvin = 293.15) { return {AbsolutePressure::from_pascal(pascal), Temperature::from_kelvin(kelvin)}; }
const Area kHole = Area::from_si(1e-6);

TEST(FlowFunction, IsContinuousAcrossTheCriticalRatio) {
  for (double g : {1.1, 1.3, 1.4, 1.667}) {
    const double r = critical_pressure_ratio(g), step = 1e-6;
    EXPECT_NEAR(flow_function(r + step, g), choked_flow_function(g), 1e-10) << g;
    EXPECT_EQ(flow_function(r, g), flow_function(0, g)) << g;
  }
}

TEST(FlowFunction, FallsSteadilyFromChokedToZero) {
  double before = flow_function(0, 1.4);
  for (double r = 0; r <= 1; r += 1e-3) {
    EXPECT_LE(flow_function(r, 1.4), before) << r;
    before = flow_function(r, 1.4);
  }
  EXPECT_EQ(flow_function(1, 1.4), 0);
}

TEST(FlowFunction, ApproachesTheIncompressibleLawNearEqualPressures) {
  for (double drop : {1e-3, 1e-6, 1e-9}) EXPECT_NEAR(flow_function(1 - drop, 1.4) / std::sqrt(2 * drop), 1, drop + 1e-7) << drop;
}

TEST(EasedFlowFunction, JoinsTheExactOneAndEndsWithAFiniteSlope) {
  EXPECT_EQ(eased_flow_function(0.9, 1.4), flow_function(0.9, 1.4));
  EXPECT_NEAR(eased_flow_function(0.999 - 1e-12, 1.4), eased_flow_function(0.999 + 1e-12, 1.4), 1e-9);
  EXPECT_NEAR(eased_flow_function(1 - 1e-9, 1.4), flow_function(0.999, 1.4) * 1e-6, kSame);
  EXPECT_EQ(eased_flow_function(1, 1.4), 0);
}

TEST(MassFlow, ChangesSignWhenTheSidesAreSwapped) {
  for (double p : {1.0e5, 1.01e5, 2e5, 60e5})
    EXPECT_EQ(mass_flow(kHole, gas_at(p, 300), gas_at(kAtmosphere, 600)).si(),
              -mass_flow(kHole, gas_at(kAtmosphere, 600), gas_at(p, 300)).si());
}

TEST(MassFlow, GrowsWithAreaAndWithAllPressuresTogether) {
  const double one = mass_flow(kHole, gas_at(2e5), gas_at(kAtmosphere)).si();
  EXPECT_NEAR(mass_flow(3 * kHole, gas_at(2e5), gas_at(kAtmosphere)).si(), 3 * one, kSame * one);
  EXPECT_NEAR(mass_flow(kHole, gas_at(4e5), gas_at(2 * kAtmosphere)).si(), 2 * one, kSame * one);
  EXPECT_NEAR(mass_flow(kHole, gas_at(2e5, 4 * 293.15), gas_at(kAtmosphere)).si(), one / 2, kSame * one);
}

TEST(MassFlow, UsesTheTemperatureOfTheSideItComesFrom) {
  const double hot_behind = mass_flow(kHole, gas_at(5e5, 300), gas_at(kAtmosphere, 900)).si();
  EXPECT_EQ(hot_behind, mass_flow(kHole, gas_at(5e5, 300), gas_at(kAtmosphere, 300)).si());
}

TEST(MassFlow, TurnsBackIntoItsArea) {
  for (double p : {1.1e5, 3e5, 50e5}) {
    const MassFlow flow = mass_flow(kHole, gas_at(p), gas_at(kAtmosphere));
    EXPECT_NEAR(effective_area_of_flow(flow, gas_at(p), AbsolutePressure::from_pascal(kAtmosphere)).si(), 1e-6, kSame * 1e-6);
  }
}

TEST(MassFlow, NamesTheArgumentThatIsWrong) {
  for (double bad : {0.0, -1.0, kNotANumber, std::numeric_limits<double>::infinity()}) {
    EXPECT_THROW((void)mass_flow(kHole, gas_at(bad), gas_at(1e5)), InputError) << bad;
    EXPECT_THROW((void)mass_flow(kHole, gas_at(1e5), gas_at(1e5, bad)), InputError) << bad;
  }
  EXPECT_THROW((void)mass_flow(Area::from_si(-1), gas_at(2e5), gas_at(1e5)), InputError);
  EXPECT_THROW((void)mass_flow(kHole, gas_at(2e5), gas_at(1e5), Gas{.heat_ratio = 1}), InputError);
  EXPECT_THROW((void)flow_function(1.1, 1.4), InputError);
  EXPECT_THROW((void)flow_function(kNotANumber, 1.4), InputError);
  EXPECT_THROW((void)effective_area_of_flow(MassFlow::from_si(1), gas_at(1e5), AbsolutePressure::from_pascal(1e5)), InputError);
  try {
    (void)mass_flow(kHole, gas_at(1e5), gas_at(kNotANumber));
    FAIL();
  } catch (const InputError& error) {
    EXPECT_EQ(error.argument(), "second pressure");
  }
}

TEST(Conductance, TurnsBackIntoItsArea) { EXPECT_NEAR(effective_area(sonic_conductance(kHole)).si(), 1e-6, kSame * 1e-6); }

TEST(IsoFlowShare, RunsFromOneToZero) {
  EXPECT_EQ(iso_flow_share(0.2, 0.5), 1);
  EXPECT_EQ(iso_flow_share(0.5, 0.5), 1);
  EXPECT_EQ(iso_flow_share(1, 0.5), 0);
  EXPECT_THROW((void)iso_flow_share(0.5, 1), InputError);
}

Slit slit(double gap_um) { return {Length::from_si(10e-3), Length::from_si(gap_um * 1e-6), Length::from_si(8e-3)}; }

TEST(SlitFlow, LiesBelowBothItsLimitsAndMeetsThemAtTheEnds) {
  const GasState in = gas_at(6.5e5), out = gas_at(kAtmosphere);
  for (double gap : {1.0, 5.0, 20.0, 50.0, 200.0, 1000.0}) {
    const double laminar = laminar_slit_flow(slit(gap), in, out).si(), joined = slit_flow(slit(gap), in, out).si();
    const double orifice = mass_flow(kDrilledOrificeDischarge * (slit(gap).width * slit(gap).gap), in, out).si();
    EXPECT_LT(joined, std::min(laminar, orifice)) << gap;
    EXPECT_GT(joined, 0.707 * std::min(laminar, orifice)) << gap;
  }
  EXPECT_NEAR(slit_flow(slit(1), in, out).si() / laminar_slit_flow(slit(1), in, out).si(), 1, 1e-4);
}

TEST(SlitFlow, ShowsALargerAreaAtFiringPressureThanOnTheTester) {
  const AbsolutePressure outside = AbsolutePressure::from_pascal(kAtmosphere);
  EXPECT_GT(slit_effective_area(slit(10), gas_at(60e5), outside).si(), 3 * slit_effective_area(slit(10), gas_at(6.5e5), outside).si());
  EXPECT_LT(slit_effective_area(slit(200), gas_at(60e5), outside).si(), 1.1 * slit_effective_area(slit(200), gas_at(6.5e5), outside).si());
}

TEST(SlitFlow, IsZeroAtEqualPressuresAndChangesSign) {
  EXPECT_EQ(slit_flow(slit(20), gas_at(2e5), gas_at(2e5)).si(), 0);
  EXPECT_EQ(slit_flow(slit(20), gas_at(1e5), gas_at(2e5)).si(), -slit_flow(slit(20), gas_at(2e5), gas_at(1e5)).si());
  EXPECT_THROW((void)slit_flow(slit(0), gas_at(2e5), gas_at(1e5)), InputError);
  EXPECT_THROW((void)slit_flow(slit(20), gas_at(2e5), gas_at(1e5), {}, 0), InputError);
}

GasState at_bar(double bar, double kelvin = 293.15) { return {AbsolutePressure::from_pascal(bar * 1e5), Temperature::from_kelvin(kelvin)}; }

// ISO 6358-1: C of 1 mm2 is 0.199195 dm3/(s bar); with b = 0.5283 the ellipse follows the exact law within 0.3 %.
TEST(IsoMassFlow, FollowsTheOrificeItStandsFor) {
  const IsoConductance part{sonic_conductance(Area::from_si(1e-6))};
  EXPECT_NEAR(part.conductance.si() * 1e8, 0.199195, 1e-4 * 0.199195);
  for (double down : {0.1, 1.0, 3.0, 4.0, 5.5, 6.5, 6.9})
    EXPECT_NEAR(iso_mass_flow(part, at_bar(7), at_bar(down)) / mass_flow(Area::from_si(1e-6), at_bar(7), at_bar(down)), 1, 3e-3) << down;
  EXPECT_EQ(iso_mass_flow(part, at_bar(2), at_bar(2)).si(), 0);
}

TEST(EveryFlow, TurnsItsSignWithItsEndsAndHasNoJumpAtEqualPressures) {
  const IsoConductance part{sonic_conductance(Area::from_si(1e-6)), 0.4, 0.55};
  const Slit slit{Length::from_si(0.01), Length::from_si(20e-6), Length::from_si(0.008)};
  const auto flows = [&](const GasState& a, const GasState& b) {
    return std::array<double, 4>{mass_flow(Area::from_si(1e-6), a, b).si(), sharp_edge_flow(Area::from_si(1e-6), a, b).si(),
                                 iso_mass_flow(part, a, b).si(), slit_flow(slit, a, b).si()};
  };
  for (double other : {0.5, 1.9, 1.9979, 1.9981, 1.99999, 2.0}) {
    const auto there = flows(at_bar(2, 300), at_bar(other, 400)), back = flows(at_bar(other, 400), at_bar(2, 300));
    for (std::size_t i = 0; i < there.size(); ++i) EXPECT_EQ(there[i], -back[i]) << i << " " << other;
  }
  std::array<double, 4> before = flows(at_bar(2), at_bar(1.99));
  for (double other = 1.99; other <= 2.01; other += 1e-5) {
    const auto now = flows(at_bar(2), at_bar(other));
    for (std::size_t i = 0; i < now.size(); ++i) {
      EXPECT_LE(now[i], before[i] + 1e-15) << i << " " << other;
      EXPECT_LT(before[i] - now[i], 3e-6) << i << " " << other;
    }
    before = now;
  }
}

// Perry's polynomial: 0.7375 at the critical ratio, 0.8414 into vacuum: a sharp edge goes on passing more below the critical ratio.
TEST(SharpEdgeFlow, NeverQuiteChokes) {
  const Area hole = Area::from_si(1e-6);
  const double at_critical = sharp_edge_flow(hole, at_bar(7), at_bar(7 * 0.528)).si(),
               into_vacuum = sharp_edge_flow(hole, at_bar(7), at_bar(1e-6)).si();
  EXPECT_NEAR(into_vacuum / at_critical, 0.8414 / 0.7375, 2e-4);
  EXPECT_NEAR(at_critical / mass_flow(hole, at_bar(7), at_bar(7 * 0.528)).si(), 0.7375, 1e-4);
}

// NACA Report 1135: 0.5283 for a heat ratio of 1.4; molar masses 28.013 and 44.010 g/mol, universal constant 8.31446 J/(mol K).
TEST(Gases, HaveTheConstantsOfTheirMolarMass) {
  EXPECT_NEAR(kNitrogen.gas_constant, 8314.46 / 28.013, 0.1);
  EXPECT_NEAR(kCarbonDioxide.gas_constant, 8314.46 / 44.010, 0.1);
  EXPECT_NEAR(kFormingGas.gas_constant, 8314.46 / (0.95 * 28.013 + 0.05 * 2.016), 0.5);
  EXPECT_NEAR(critical_pressure_ratio(kBurntGas.heat_ratio), 0.54573, 1e-5);
  const double air = mass_flow(Area::from_si(1e-6), at_bar(7), at_bar(1), kDryAir).si(),
               heavy = mass_flow(Area::from_si(1e-6), at_bar(7), at_bar(1), kCarbonDioxide).si();
  EXPECT_NEAR(heavy / air, std::sqrt(287.05 / 188.92) * choked_flow_function(1.29) / choked_flow_function(1.4), 1e-12);
}

}  // namespace
}  // namespace headjoint::leakage
