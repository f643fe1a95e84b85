#include "headjoint/coolant/head_tank.h"

#include <gmock/gmock.h>

#include <limits>

#include "headjoint/base/error.h"

namespace headjoint::coolant {
namespace {

constexpr double kRoundTrip = 1e-9;  // of a normal litre
constexpr double kNotANumber = std::numeric_limits<double>::quiet_NaN();
Temperature celsius(double value) { return Temperature::from_celsius(value); }
GaugePressure bar(double value) { return GaugePressure::from_pascal(value * 1e5); }
Volume litres(double value) { return Volume::from_si(value * 1e-3); }
HeadTank tank() {
  HeadTank tank;
  tank.cap = bar(1.4);
  return tank;
}

TEST(HeadTank, GasFoundIsTheGasPutIn) {
  for (const double hoses : {0.0, 0.05, 0.3}) {
    HeadTank closed = tank();
    closed.hose_growth = litres(hoses);
    for (const double warm : {20.0, 40.0, 60.0})
      for (const double gas : {0.0, 0.05, 0.2}) {
        const GaugePressure reading = tank_pressure(closed, celsius(warm), litres(gas)).value;
        ASSERT_LT(reading, closed.cap);
        EXPECT_NEAR(added_gas(closed, celsius(warm), reading, bar(0.01)).value.si() * 1e3, gas, kRoundTrip);
      }
  }
}

TEST(HeadTank, PressureRisesWithWarmthAndGasAndFallsWithGasSpace) {
  double before = -1;
  for (double warm = 20; warm <= 75; warm += 5) {
    const double now = tank_pressure(tank(), celsius(warm)).value.bar();
    EXPECT_GT(now, before) << warm;
    before = now;
  }
  EXPECT_GT(tank_pressure(tank(), celsius(40), litres(0.1)).value, tank_pressure(tank(), celsius(40)).value);
  HeadTank roomy = tank();
  roomy.gas_space = litres(2);
  EXPECT_LT(tank_pressure(roomy, celsius(60)).value, tank_pressure(tank(), celsius(60)).value);
}

TEST(HeadTank, GivingHosesLowerThePressure) {
  HeadTank stiff = tank();
  stiff.hose_growth = {};
  EXPECT_LT(tank_pressure(tank(), celsius(70)).value, tank_pressure(stiff, celsius(70)).value);
}

TEST(HeadTank, WarmingAloneIsNeverBlamedOnGas) {
  for (double warm = 20; warm <= 60; warm += 1)
    EXPECT_EQ(added_gas(tank(), celsius(warm), tank_pressure(tank(), celsius(warm)).value, bar(0.02)).status, AddedGas::Status::kNoneTold)
        << warm;
}

TEST(HeadTank, WhatTheTestCallsVisibleIsSeenAndLessIsNot) {
  for (const double warm : {20.0, 25.0, 45.0}) {
    const SmallestGas smallest = smallest_gas_visible(tank(), celsius(warm), bar(0.02));
    ASSERT_FALSE(smallest.over_cap);
    const auto status_with = [&](double factor) {
      const GaugePressure reading = tank_pressure(tank(), celsius(warm), factor * smallest.amount).value;
      return added_gas(tank(), celsius(warm), reading, bar(0.02)).status;
    };
    EXPECT_EQ(status_with(1.01), AddedGas::Status::kGasAdded) << warm;
    EXPECT_EQ(status_with(0.5), AddedGas::Status::kNoneTold) << warm;
  }
}

TEST(HeadTank, TheSmallestGasGrowsWithTheWarming) {
  const auto smallest = [](double warm) { return smallest_gas_visible(tank(), celsius(warm), bar(0.02)).amount; };
  EXPECT_LT(smallest(20), smallest(25));
  EXPECT_LT(smallest(25), smallest(50));
}

TEST(HeadTank, AnOverfilledTankOpensItsCapByItself) {
  HeadTank full = tank();
  full.gas_space = litres(0.15);
  EXPECT_EQ(tank_pressure(full, celsius(90)).status, TankPressure::Status::kCapMayOpen);
  EXPECT_EQ(tank_pressure(full, celsius(90)).value, full.cap);
  EXPECT_TRUE(smallest_gas_visible(full, celsius(90), bar(0.02)).over_cap);
  full.hose_growth = {};
  EXPECT_EQ(tank_pressure(full, celsius(90)).value, full.cap);
}

TEST(HeadTank, PressureLeftAfterTheNightIsGas) {
  HeadTank overnight = tank();
  EXPECT_EQ(added_gas(overnight, overnight.closed_at, bar(0.2), bar(0.02)).status, AddedGas::Status::kGasAdded);
  EXPECT_EQ(added_gas(overnight, overnight.closed_at, bar(0.02), bar(0.02)).status, AddedGas::Status::kNoneTold);
}

TEST(HeadTank, CoolingBelowTheStartOpensTheVacuumValve) {
  EXPECT_EQ(tank_pressure(tank(), celsius(-5)).status, TankPressure::Status::kDrawsAir);
  EXPECT_EQ(tank_pressure(tank(), celsius(-5)).value, kVacuumValve);
}

TEST(HeadTank, AReadingAtTheCapIsALowerBound) {
  EXPECT_EQ(added_gas(tank(), celsius(30), bar(1.4), bar(0.02)).status, AddedGas::Status::kCapOpened);
}

TEST(HeadTank, MuchLessThanExpectedMeansSomethingLetGo) {
  EXPECT_EQ(added_gas(tank(), celsius(90), bar(0.05), bar(0.02)).status, AddedGas::Status::kPressureLost);
}

TEST(HeadTank, NonsenseIsRefusedByName) {
  const auto argument = [](auto&& change, double warm = 40) {
    HeadTank wrong = tank();
    change(wrong);
    try {
      (void)tank_pressure(wrong, celsius(warm));
    } catch (const InputError& error) {
      return error.argument();
    }
    return std::string("accepted");
  };
  EXPECT_EQ(argument([](HeadTank& t) { t.gas_space = litres(0); }), "gas space");
  EXPECT_EQ(argument([](HeadTank& t) { t.gas_space = litres(kNotANumber); }), "gas space");
  EXPECT_EQ(argument([](HeadTank& t) { t.coolant_volume = litres(-6); }), "coolant volume");
  EXPECT_EQ(argument([](HeadTank& t) { t.cap = bar(15); }), "cap");
  EXPECT_EQ(argument([](HeadTank& t) { t.closed_at = celsius(90); }), "closed at");
  EXPECT_EQ(argument([](HeadTank& t) { t.coolant.share = 0.8; }), "glycol");
  EXPECT_EQ(argument([](HeadTank&) {}, kNotANumber), "now");
  EXPECT_THROW((void)added_gas(tank(), celsius(40), bar(14), bar(0.02)), InputError);
  EXPECT_THROW((void)added_gas(tank(), celsius(40), bar(0.5), bar(0)), InputError);
}

}  // namespace
}  // namespace headjoint::coolant
