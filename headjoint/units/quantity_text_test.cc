#include "headjoint/units/quantity_text.h"

#include <gmock/gmock.h>

namespace headjoint {
namespace {

using testing::HasSubstr;

// Exact by definition: international yard and pound (1959), standard gravity; NIST SP 811 appendix B (from memory, products recomputed).
TEST(Parse, ConvertsExactly) {
  EXPECT_DOUBLE_EQ(parse<Length>("1 in")->si(), 0.0254);
  EXPECT_DOUBLE_EQ(parse<Length>("2 thou")->si(), 50.8e-6);
  EXPECT_DOUBLE_EQ(parse<Length>("3/64 in")->si(), 0.0254 * 3 / 64);
  EXPECT_DOUBLE_EQ(parse<Length>("1 1/2 in")->si(), 0.0381);
  EXPECT_DOUBLE_EQ(parse<Torque>("1 lbf.ft")->si(), 1.3558179483314004);
  EXPECT_DOUBLE_EQ(parse<Torque>("1 lbf.in")->si(), 0.1129848290276167);
  EXPECT_DOUBLE_EQ(parse<Torque>("1 kgf.m")->si(), 9.80665);
  EXPECT_NEAR(parse<GaugePressure>("1 psi")->pascal(), 6894.757293168, 1e-9);
  EXPECT_DOUBLE_EQ(parse<GaugePressure>("1 kgf/cm2")->pascal(), 98066.5);
  EXPECT_DOUBLE_EQ(parse<Temperature>("212 degF")->kelvin(), 373.15);
  EXPECT_DOUBLE_EQ(parse<Temperature>("90 degC")->kelvin(), 363.15);
  EXPECT_DOUBLE_EQ(parse<TemperatureDifference>("9 degF")->si(), 5.0);
  EXPECT_DOUBLE_EQ(parse<FoundationStiffness>("300 N/mm3")->si(), 3e11);
  EXPECT_DOUBLE_EQ(parse<Angle>("180 deg")->radians(), 3.14159265358979323846);
}

TEST(Parse, TakesCommaMinusAndMissingBlank) {
  EXPECT_DOUBLE_EQ(parse<GaugePressure>("1,1bar")->pascal(), 1.1e5);
  EXPECT_DOUBLE_EQ(parse<Length>("\xE2\x88\x92"
                                 "0.02 mm")
                       ->si(),
                   -2e-5);
  EXPECT_DOUBLE_EQ(parse<Length>("1e-2 MM")->si(), 1e-5);
}

TEST(Parse, NeverGuessesMegaFromMilli) {
  EXPECT_FALSE(parse<Stress>("3 mPa"));
  EXPECT_DOUBLE_EQ(parse<Stress>("3 MPa")->si(), 3e6);
}

TEST(Parse, RefusesWithTheUnitsAllowed) {
  const auto wrong = parse<Length>("80 psi");
  ASSERT_FALSE(wrong);
  EXPECT_THAT(to_string(wrong.problems()), HasSubstr("mm, cm, m"));
  for (const char* text : {"", "mm", "12", "1,234.5 mm", "1/0 in", "nan mm", "1e300 m", "12 parsec", "--3 mm"})
    EXPECT_FALSE(parse<Length>(text)) << text;
  EXPECT_FALSE(parse<GaugePressure>("12 bar abs"));
}

TEST(ParseTyped, RemembersTextAndLastDigit) {
  const auto typed = parse_typed<GaugePressure>("12.10 bar");
  ASSERT_TRUE(typed);
  EXPECT_EQ(typed->text, "12.10 bar");
  EXPECT_NEAR(typed->step_si, 1000, 1e-9);
  EXPECT_NEAR(parse_typed<Speed>("250 rpm")->step_si, 1, 1e-12);
}

TEST(Quantity, MultipliesDimensions) {
  const Force force = 3.0 * unit_of<Force>("N");
  const Length arm = 2.0 * unit_of<Length>("m");
  const Torque torque = force * arm;
  EXPECT_DOUBLE_EQ(torque.si(), 6.0);
  EXPECT_DOUBLE_EQ(arm / arm, 1.0);
}

}  // namespace
}  // namespace headjoint
