#include <gmock/gmock.h>

#include <cmath>
#include <limits>

#include "headjoint/base/error.h"
#include "headjoint/coolant/atmosphere.h"
#include "headjoint/coolant/cap.h"
#include "headjoint/coolant/density.h"
#include "headjoint/coolant/glycol.h"
#include "headjoint/coolant/water.h"

namespace headjoint::coolant {
namespace {

constexpr double kInverse = 1e-7;     // K; the backward equation is the algebraic inverse
constexpr double kThreeSteps = 1e-3;  // K; bound stated for three steps of putting the glycol's vapour right
constexpr double kNotANumber = std::numeric_limits<double>::quiet_NaN();

Temperature celsius(double value) { return Temperature::from_celsius(value); }
AbsolutePressure kilopascal(double value) { return AbsolutePressure::from_pascal(value * 1e3); }
GaugePressure bar(double value) { return GaugePressure::from_pascal(value * 1e5); }
constexpr Glycol kGlycols[] = {Glycol::kEthylene, Glycol::kPropylene};

TEST(Water, BoilingTemperatureUndoesVapourPressure) {
  for (double kelvin = 273.16; kelvin <= 640; kelvin += 0.7)
    EXPECT_NEAR(saturation_temperature(saturation_pressure(Temperature::from_kelvin(kelvin))).kelvin(), kelvin, kInverse);
}

TEST(Water, OutsideTheSaturationLineIsRefused) {
  EXPECT_THROW((void)saturation_pressure(celsius(-0.1)), InputError);
  EXPECT_THROW((void)saturation_pressure(celsius(374)), InputError);
  EXPECT_THROW((void)saturation_pressure(celsius(kNotANumber)), InputError);
  EXPECT_THROW((void)saturation_temperature(kilopascal(0.6)), InputError);
  EXPECT_THROW((void)saturation_temperature(kilopascal(kNotANumber)), InputError);
  EXPECT_NO_THROW((void)saturation_temperature(saturation_pressure(kHottestSaturation)));
  EXPECT_NO_THROW((void)saturation_temperature(saturation_pressure(kColdestSaturation)));
}

TEST(Atmosphere, AltitudeUndoesPressure) {
  for (double altitude = -500; altitude <= 11000; altitude += 100)
    EXPECT_NEAR(altitude_of(standard_pressure(Length::from_si(altitude))).si(), altitude, 1e-6);
  EXPECT_THROW((void)standard_pressure(Length::from_si(12000)), InputError);
  EXPECT_THROW((void)altitude_of(kilopascal(10)), InputError);
}

TEST(Boiling, VapourPressureAtTheBoilingPointIsThePressure) {
  for (const Glycol glycol : kGlycols)
    for (double share = 0; share <= 0.7; share += 0.05)
      for (double p : {25.0, 60.0, 101.325, 250.0, 500.0}) {
        const Temperature boils = boiling_temperature({glycol, share}, kilopascal(p)).value;
        EXPECT_NEAR(vapour_pressure({glycol, share}, boils).pascal() / (1e3 * p), 1, 1e-8) << share << " at " << p << " kPa";
      }
}

// The closed form that the reference ships: T0 = T_s(p / x_w), then T <- T_s((p - x_g p_g(T)) / x_w), three steps. The glycol's
// part x_g p_g is taken as the mixture's vapour pressure less the water's.
TEST(Boiling, ThreeStepsOfTheClosedFormAreEnough) {
  for (const Glycol glycol : kGlycols)
    for (double share = 0.05; share <= 0.68; share += 0.05) {
      const Coolant coolant{glycol, share};
      const double w = mass_fraction(coolant), water = (1 - w) / 18.015268;
      const double x_water = water / (water + w / (glycol == Glycol::kEthylene ? 62.0678 : 76.0944));
      const double p = 101325;
      const auto water_boils = [&](double pascal) { return saturation_temperature(AbsolutePressure::from_pascal(pascal / x_water)); };
      Temperature t = water_boils(p);
      for (int step = 0; step < 3; ++step)
        t = water_boils(p - vapour_pressure(coolant, t).pascal() + x_water * saturation_pressure(t).pascal());
      EXPECT_NEAR(boiling_temperature(coolant, AbsolutePressure::from_pascal(p)).value.kelvin(), t.kelvin(), kThreeSteps) << share;
    }
}

TEST(Boiling, RisesWithGlycolAndCapAndFallsWithAltitude) {
  for (const Glycol glycol : kGlycols) {
    double before = 0;
    for (double share = 0; share <= 0.7; share += 0.02) {
      const double now = boiling_temperature({glycol, share}, kilopascal(101.325)).value.kelvin();
      EXPECT_GT(now, before);
      before = now;
    }
    for (double cap = 0.1; cap <= 2.5; cap += 0.1)
      EXPECT_GT(boil_margin({glycol, 0.5}, bar(cap), kilopascal(101.325)).boiling.value,
                boil_margin({glycol, 0.5}, bar(cap - 0.1), kilopascal(101.325)).boiling.value);
    for (double altitude = 0; altitude < 5000; altitude += 250)
      EXPECT_LT(boil_margin({glycol, 0.5}, bar(1.1), standard_pressure(Length::from_si(altitude + 250))).boiling.value,
                boil_margin({glycol, 0.5}, bar(1.1), standard_pressure(Length::from_si(altitude))).boiling.value);
  }
}

TEST(Boiling, WithoutGlycolBothKindsAreWater) {
  for (const Glycol glycol : kGlycols)
    EXPECT_NEAR(boiling_temperature({glycol, 0}, kilopascal(180)).value.kelvin(), saturation_temperature(kilopascal(180)).kelvin(), 1e-9);
}

TEST(Boiling, BetweenSixtyAndSeventyThePercentageIsAnsweredWithAWiderBand) {
  const TemperatureBand usual = boiling_temperature({Glycol::kEthylene, 0.60}, kilopascal(101.325));
  const TemperatureBand beyond = boiling_temperature({Glycol::kEthylene, 0.65}, kilopascal(101.325));
  EXPECT_EQ(usual.status, TemperatureBand::Status::kAsTabulated);
  EXPECT_EQ(beyond.status, TemperatureBand::Status::kBeyondUsual);
  EXPECT_GT((beyond.high - beyond.low).si(), (usual.high - usual.low).si());
}

TEST(Glycol, AboveSeventyAndNonsenseAreRefused) {
  for (const double share : {0.701, -0.01, 50.0, kNotANumber}) {
    EXPECT_THROW((void)boiling_temperature({Glycol::kEthylene, share}, kilopascal(100)), InputError) << share;
    EXPECT_THROW((void)freezing_temperature({Glycol::kEthylene, share}), InputError) << share;
    EXPECT_THROW((void)mass_fraction({Glycol::kPropylene, share}), InputError) << share;
    EXPECT_THROW((void)density({Glycol::kPropylene, share}, celsius(20)), InputError) << share;
  }
  EXPECT_THROW((void)boiling_temperature({}, kilopascal(kNotANumber)), InputError);
  EXPECT_THROW((void)density({}, celsius(kNotANumber)), InputError);
}

TEST(Freezing, FallsWithGlycolToSixtyAndIsNotToldAbove) {
  for (const Glycol glycol : kGlycols) {
    EXPECT_NEAR(freezing_temperature({glycol, 0}).value.celsius(), 0, 1e-9);
    for (double share = 0.01; share <= 0.6; share += 0.01)
      EXPECT_LT(freezing_temperature({glycol, share}).value, freezing_temperature({glycol, share - 0.01}).value) << share;
    EXPECT_EQ(freezing_temperature({glycol, 0.61}).status, TemperatureBand::Status::kNotKnown);
  }
}

TEST(Freezing, ATestersReadingGivesTheShareBack) {
  for (const Glycol glycol : kGlycols) {
    for (double share = 0.02; share < 0.6; share += 0.02)
      EXPECT_NEAR(share_from_freezing(glycol, freezing_temperature({glycol, share}).value).value(), share, 1e-9);
    EXPECT_FALSE(share_from_freezing(glycol, celsius(1)));
    EXPECT_FALSE(share_from_freezing(glycol, celsius(-80)));
    EXPECT_FALSE(share_from_freezing(glycol, celsius(kNotANumber)));
  }
}

TEST(Growth, IsZeroAtHomeRisesWithTemperatureAndLiesInItsBand) {
  for (const Glycol glycol : kGlycols)
    for (const double share : {0.0, 0.3, 0.5, 0.6, 0.7}) {
      EXPECT_EQ(growth({glycol, share}, celsius(20), celsius(20)).value, 0);
      double before = 0;
      for (double t = 25; t <= 125; t += 5) {
        const Growth now = growth({glycol, share}, celsius(20), celsius(t));
        EXPECT_GT(now.value, before);
        EXPECT_LE(now.low, now.value);
        EXPECT_GE(now.high, now.value);
        before = now.value;
      }
    }
}

TEST(Cap, AWornCapLiesBetweenGoodAndNone) {
  const BoilMargin result = boil_margin({}, bar(1.1), kilopascal(101.325), celsius(100));
  EXPECT_GT(result.boiling.value, result.boiling_worn_cap.value);
  EXPECT_GT(result.boiling_worn_cap.value, result.boiling_no_cap.value);
  EXPECT_NEAR(result.margin->value_K, (result.boiling.value - celsius(100)).si(), 1e-9);
  EXPECT_FALSE(boil_margin({}, bar(1.1), kilopascal(101.325)).margin);
}

TEST(Cap, SlipsAreRefusedInWords) {
  try {
    (void)boil_margin({}, bar(15), kilopascal(101.325));
    FAIL() << "15 bar must be refused";
  } catch (const InputError& error) {
    EXPECT_EQ(error.argument(), "cap");
    EXPECT_THAT(error.what(), testing::HasSubstr("psi typed as bar"));
  }
  EXPECT_THROW((void)boil_margin({}, bar(-0.1), kilopascal(101.325)), InputError);
  EXPECT_THROW((void)boil_margin({}, bar(1), kilopascal(150)), InputError);
  EXPECT_THROW((void)boil_margin({}, bar(1), kilopascal(100), celsius(kNotANumber)), InputError);
  EXPECT_THROW((void)judge_cap(bar(0), bar(1)), InputError);
  EXPECT_THROW((void)judge_cap(bar(1), bar(kNotANumber)), InputError);
}

}  // namespace
}  // namespace headjoint::coolant
