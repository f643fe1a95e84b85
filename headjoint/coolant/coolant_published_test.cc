// Checks against figures from outside the project. Where no public document prints a figure, it was computed beforehand by an
// independent script from the published formula; those are marked "computed independently".
#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "headjoint/base/csv.h"
#include "headjoint/base/text.h"
#include "headjoint/coolant/atmosphere.h"
#include "headjoint/coolant/cap.h"
#include "headjoint/coolant/density.h"
#include "headjoint/coolant/head_tank.h"
#include "headjoint/coolant/water.h"

namespace headjoint::coolant {
namespace {

constexpr double kPrintedNineDigits = 1e-8;  // relative; the standard prints nine digits
constexpr double kPrintedKelvin = 1e-6;      // K; likewise
constexpr double kPrintedPascal = 0.5;       // Pa; tables in hPa print one digit more, ours were rounded to 0.1 Pa
constexpr double kPrintedHundredth = 0.02;   // K; figures printed to 0.01 K
constexpr double kPrintedTenth = 0.1;        // K; figures printed to 0.1 K
constexpr double kTabulatedFreezing = 0.4;   // K; the table is rounded from whole degrees Fahrenheit (0.28 K)

AbsolutePressure megapascal(double value) { return AbsolutePressure::from_pascal(value * 1e6); }
GaugePressure bar(double value) { return GaugePressure::from_pascal(value * 1e5); }
Length metres(double value) { return Length::from_si(value); }
Temperature celsius(double value) { return Temperature::from_celsius(value); }
Coolant ethylene(double share) { return {Glycol::kEthylene, share}; }
Coolant propylene(double share) { return {Glycol::kPropylene, share}; }
const AbsolutePressure kSeaLevel = AbsolutePressure::from_pascal(101325);

double boiling_under(const Coolant& coolant, double cap, double altitude) {
  return boil_margin(coolant, bar(cap), standard_pressure(metres(altitude))).boiling.value.celsius();
}

// IAPWS R7-97(2012), tables 35 and 36.
TEST(PublishedWater, SaturationOfTheStandardsTables) {
  const double pressures[][2] = {{300, 0.353658941e-2}, {500, 0.263889776e1}, {600, 0.123443146e2}};
  for (const auto& [kelvin, expected] : pressures)
    EXPECT_NEAR(saturation_pressure(Temperature::from_kelvin(kelvin)).pascal() / 1e6, expected, kPrintedNineDigits * expected);
  const double temperatures[][2] = {{0.1, 372.755919}, {1, 453.035632}, {10, 584.149488}};
  for (const auto& [mega, expected] : temperatures)
    EXPECT_NEAR(saturation_temperature(megapascal(mega)).kelvin(), expected, kPrintedKelvin);
}

// Steam tables print the sea-level boiling point as 99.97 degC (99.974 on the 1990 temperature scale), not 100.
TEST(PublishedWater, BoilsJustBelowAHundredAtSeaLevel) { EXPECT_NEAR(saturation_temperature(kSeaLevel).celsius(), 99.974, 1e-3); }

// ISO 2533:1975: 1013.250, 898.746, 794.952 hPa printed; 701.085 and 616.402 hPa from memory, computed independently.
TEST(PublishedAtmosphere, PressureAndTemperatureByAltitude) {
  const double rows[][2] = {{0, 101325.0}, {1000, 89874.6}, {2000, 79495.2}, {3000, 70108.5}, {4000, 61640.2}};
  for (const auto& [altitude, expected] : rows)
    EXPECT_NEAR(standard_pressure(metres(altitude)).pascal(), expected, kPrintedPascal) << altitude;
  EXPECT_NEAR(standard_temperature(metres(2000)).kelvin(), 275.15, 1e-9);
}

// Computed independently from IAPWS R7-97 and ISO 2533.
TEST(PublishedCap, PlainWaterUnderCaps) {
  const double rows[][5] = {{0, 118.82, 121.96, 123.44, 126.25}, {2000, 115.06, 118.51, 120.13, 123.18}};
  for (const auto& row : rows) {
    const double caps[] = {0.9, 1.1, 1.2, 1.4};
    for (std::size_t i = 0; i < 4; ++i) EXPECT_NEAR(boiling_under(ethylene(0), caps[i], row[0]), row[i + 1], kPrintedHundredth);
  }
  EXPECT_NEAR(boiling_under(ethylene(0), 0, 0), 99.97, kPrintedHundredth);
  EXPECT_NEAR(boiling_under(ethylene(0), 0, 2000), 93.32, kPrintedHundredth);
}

// NIST Chemistry WebBook, Antoine constants of ethylene glycol: normal boiling point 197.58 degC. Taken at 0.7 by volume, where the
// water's part is known from the standard, the glycol's part of the mixture's vapour pressure must be x_g times that of the constants.
TEST(PublishedGlycol, GlycolPartOfTheVapourPressure) {
  const Temperature boils = Temperature::from_kelvin(470.73);
  const double w = mass_fraction(ethylene(0.7)), water = (1 - w) / 18.015268, glycol = w / 62.0678;
  const double x_water = water / (water + glycol);
  const double rest = vapour_pressure(ethylene(0.7), boils).pascal() - x_water * saturation_pressure(boils).pascal();
  EXPECT_NEAR(rest / (1 - x_water), 101325, 100);
}

// Densities at 20 degC from handbooks (1113.2, 1036.1, 998.2 kg/m3); fractions computed independently.
TEST(PublishedGlycol, VolumeToMass) {
  EXPECT_NEAR(mass_fraction(ethylene(0.5)), 0.5272, 0.5e-4);
  EXPECT_NEAR(mass_fraction(propylene(0.5)), 0.5093, 0.5e-4);
  EXPECT_NEAR(mass_fraction(ethylene(0.3)), 0.3234, 0.5e-4);
}

// Computed independently by a root finder on Raoult's law.
TEST(PublishedGlycol, BoilingAtSeaLevel) {
  const double ethylene_rows[][2] = {{0.3, 103.57}, {0.4, 105.40}, {0.5, 107.80}, {0.6, 111.09}, {0.7, 115.92}};
  for (const auto& [share, expected] : ethylene_rows)
    EXPECT_NEAR(boiling_temperature(ethylene(share), kSeaLevel).value.celsius(), expected, kPrintedHundredth) << share;
  const double propylene_rows[][2] = {{0.3, 102.71}, {0.4, 104.13}, {0.5, 106.01}, {0.6, 108.63}, {0.7, 112.56}};
  for (const auto& [share, expected] : propylene_rows)
    EXPECT_NEAR(boiling_temperature(propylene(share), kSeaLevel).value.celsius(), expected, kPrintedHundredth) << share;
}

// Computed independently.
TEST(PublishedCap, GlycolUnderCapsAndAltitude) {
  EXPECT_NEAR(boiling_under(ethylene(0.5), 1.1, 0), 130.8, kPrintedTenth);
  EXPECT_NEAR(boiling_under(ethylene(0.5), 1.1, 2000), 127.2, kPrintedTenth);
  EXPECT_NEAR(boiling_under(ethylene(0.5), 1.4, 0), 135.3, kPrintedTenth);
}

// Makers print 125 to 129 degC (257 to 265 degF) for half and half under 93 to 124 kPa.
TEST(PublishedCap, MakersBoilingPointsLieNearTheModel) {
  EXPECT_NEAR(boiling_under(ethylene(0.5), 0.93, 0), 127, 2.5);
  EXPECT_NEAR(boiling_under(ethylene(0.5), 1.03, 0), 129, 2.5);
}

// ASTM D3306 (from memory): half and half boils at 108 degC or above (ethylene), 104 degC or above (propylene), and freezes at
// -36.4 degC or below, -31.0 degC or below.
TEST(PublishedGlycol, RequirementsOfTheCoolantStandard) {
  EXPECT_GE(boiling_temperature(ethylene(0.5), kSeaLevel).high.celsius(), 108);
  EXPECT_GE(boiling_temperature(propylene(0.5), kSeaLevel).value.celsius(), 104);
  EXPECT_LE(freezing_temperature(ethylene(0.5)).value.celsius(), -36.4);
  EXPECT_LE(freezing_temperature(propylene(0.5)).value.celsius(), -31.0);
}

// ASHRAE Fundamentals, secondary coolants, freezing and boiling by volume (from memory; the boiling column is rounded from whole
// degrees Fahrenheit). The band given must hold the printed figure.
TEST(PublishedGlycol, PrintedTableLiesInsideTheBands) {
  struct Row {
    Coolant coolant;
    double freezing, boiling;
  };
  const Row rows[] = {{ethylene(0.089), -3.2, 101.1},   {ethylene(0.181), -7.8, 102.2},  {ethylene(0.277), -14.1, 104.4},
                      {ethylene(0.375), -22.3, 105.6},  {ethylene(0.476), -33.8, 107.2}, {ethylene(0.578), -48.3, 110.0},
                      {propylene(0.096), -3.3, 100.0},  {propylene(0.194), -7.1, 100.6}, {propylene(0.294), -12.7, 102.2},
                      {propylene(0.396), -21.1, 103.9}, {propylene(0.499), -33.5, 105.6}};
  for (const Row& row : rows) {
    const TemperatureBand freezing = freezing_temperature(row.coolant), boiling = boiling_temperature(row.coolant, kSeaLevel);
    EXPECT_NEAR(freezing.value.celsius(), row.freezing, kTabulatedFreezing) << row.coolant.share;
    EXPECT_LE(boiling.low.celsius(), row.boiling) << row.coolant.share;
    EXPECT_GE(boiling.high.celsius(), row.boiling) << row.coolant.share;
  }
}

// Lange's Handbook of Chemistry, 15th ed., table 5.13: pure propylene glycol by volume. The band must hold it.
TEST(PublishedGlycol, HandbookFreezingOfPropyleneGlycolLiesInsideTheBand) {
  const double rows[][2] = {{0.10, -2.2}, {0.20, -6.7}, {0.30, -12.8}, {0.40, -20.6}, {0.45, -26.7}, {0.50, -33.3}};
  for (const auto& [share, expected] : rows) {
    const TemperatureBand band = freezing_temperature(propylene(share));
    EXPECT_LE(band.low.celsius(), expected) << share;
    EXPECT_GE(band.high.celsius(), expected - 0.3) << share;  // pure glycol freezes up to 0.3 K later at 10 vol %
  }
}

// CoolProp incompressible fluids AEG, MEG evaluated independently (their own files); ASHRAE density table as reprinted in a plumbing
// design manual: 50 vol % ethylene glycol, 200 degF, 64.27 lb/ft3 = 1029.5 kg/m3.
TEST(PublishedGlycol, FreezingDensityAndHeatOfTheFits) {
  EXPECT_NEAR(freezing_temperature(ethylene(0.5)).value.celsius(), -37.11, 0.02);
  EXPECT_NEAR(freezing_temperature(propylene(0.5)).value.celsius(), -33.66, 0.02);
  EXPECT_NEAR(inhibited_density(ethylene(0.5), celsius(93.33)), 1028.3, 0.1);
  EXPECT_NEAR(inhibited_density(ethylene(0.5), celsius(93.33)), 1029.5, 2.0);
  const Coolant half_by_mass = ethylene(0.5 / 1113.2 / (0.5 / 1113.2 + 0.5 / 998.2));
  EXPECT_NEAR(mass_fraction(half_by_mass), 0.5, 1e-12);
  EXPECT_NEAR(density(half_by_mass, celsius(20)), 1064.9, 0.1);
  EXPECT_NEAR(density(half_by_mass, celsius(90)), 1019.0, 0.1);
  EXPECT_NEAR(heat_capacity(half_by_mass, celsius(90)), 3616, 1);
}

// Computed independently from the fits; water's true figure is 0.0340 (steam tables). Articles of the trade say "about 6 %" for
// 20 to 110 degC.
TEST(PublishedGlycol, GrowthOnWarming) {
  EXPECT_NEAR(growth(ethylene(0.5), celsius(20), celsius(90)).value, 0.0455, 2e-4);
  EXPECT_NEAR(growth(ethylene(0.5), celsius(20), celsius(110)).value, 0.0612, 2e-4);
  EXPECT_NEAR(growth(ethylene(0), celsius(20), celsius(90)).value, 0.0340, 5e-4);
  EXPECT_NEAR(growth(propylene(0.5), celsius(20), celsius(90)).value, 0.0530, 2e-4);
}

// Computed independently: 6 L, gas space 1.2 L, 20 to 85 degC, stiff hoses: air 156.4 kPa + vapour 43.9 kPa.
TEST(PublishedHeadTank, NormalWarmUpReachesOneBar) {
  HeadTank tank;
  tank.hose_growth = Volume::from_si(0);
  tank.cap = bar(1.4);
  EXPECT_NEAR(tank_pressure(tank, celsius(85)).value.bar(), 0.99, 0.02);
  EXPECT_NEAR(vapour_pressure(ethylene(0.5), celsius(85)).pascal() / 1e3, 43.9, 0.05);
}

// Computed independently: 0.5 L of gas space, hoses 0.05 L/bar, to 2.1 bar absolute at 20 degC takes 0.60 L at 0 degC and 1013 hPa.
TEST(PublishedHeadTank, GasToReachAPressure) {
  HeadTank tank;
  tank.gas_space = Volume::from_si(0.5e-3);
  tank.cap = bar(1.4);
  tank.temperature_error = {};
  const AddedGas gas = added_gas(tank, celsius(20), GaugePressure::from_pascal(2.1e5 - 101325), bar(0.01));
  EXPECT_NEAR(gas.value.si() * 1e3, 0.60, 0.02 * 0.60);
  EXPECT_EQ(gas.status, AddedGas::Status::kGasAdded);
}

// Computed independently.
TEST(PublishedCap, MarginWithCapGoodAndFailed) {
  const BoilMargin result = boil_margin(ethylene(0.5), bar(1.1), kSeaLevel, celsius(112));
  ASSERT_TRUE(result.margin);
  EXPECT_NEAR(result.margin->value_K, 18.8, kPrintedTenth);
  EXPECT_NEAR(result.margin_no_cap->value_K, -4.2, kPrintedTenth);
}

// Workshop manuals: relief of a new cap 93 to 123 kPa, limit for a used one 78 kPa (stamp taken as 1.08 bar, the middle).
TEST(PublishedCap, CapsOfAWorkshopManual) {
  EXPECT_EQ(judge_cap(bar(1.08), bar(1.00)), CapState::kHolds);
  EXPECT_EQ(judge_cap(bar(1.08), bar(0.85)), CapState::kWorn);
  EXPECT_EQ(judge_cap(bar(1.08), bar(0.77)), CapState::kWeak);
  EXPECT_EQ(judge_cap(bar(1.08), bar(1.30)), CapState::kOpensLate);
}

std::string text_of(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

// A table of 660 rows computed independently (bases, caps 0 to 1.5 bar, altitudes), printed to 0.01 K.
TEST(PublishedCap, TableOfBasesCapsAndAltitudes) {
  const auto path = std::filesystem::path(HEADJOINT_SHARED_DIR) / "data" / "coolant" / "boiling_cap_altitude.csv";
  if (!std::filesystem::exists(path)) GTEST_SKIP() << "skipped: no shared data";
  const auto table = read_csv(text_of(path), "boiling_cap_altitude.csv");
  ASSERT_TRUE(table) << to_string(table.problems());
  ASSERT_EQ(table->rows.size(), 660U);
  for (const auto& row : table->rows) {
    const auto figure = [&](const char* column) { return parse_number(row.at(static_cast<std::size_t>(table->column(column)))).value(); };
    const Coolant coolant{row[0] == "PG" ? Glycol::kPropylene : Glycol::kEthylene, figure("vol_pct") / 100};
    const double boiling = boiling_under(coolant, figure("cap_bar_gauge"), figure("altitude_m"));
    ASSERT_NEAR(boiling, figure("T_boil_C_model"), kPrintedHundredth) << row[0] << " " << coolant.share;
  }
}

}  // namespace
}  // namespace headjoint::coolant
