#include "headjoint/leakage/orifice_flow.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "headjoint/base/error.h"
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

}  // namespace
}  // namespace headjoint::leakage
