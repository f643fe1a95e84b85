#include "headjoint/base/text.h"

#include <gtest/gtest.h>

#include <vector>

namespace headjoint {
namespace {

TEST(ParseNumber, TakesWhatPeopleType) {
  EXPECT_EQ(parse_number(" 12.5 "), 12.5);
  EXPECT_EQ(parse_number("12,5"), 12.5);
  EXPECT_EQ(parse_number("\xE2\x88\x92"
                         "0.02"),
            -0.02);
  EXPECT_EQ(parse_number("+3"), 3.0);
  EXPECT_EQ(parse_number("1e-3"), 1e-3);
}

TEST(ParseNumber, RefusesTheRest) {
  for (const char* text : {"", "1,234.5", "nan", "inf", "1e999", "12 5", "0x10", "--1", "+-1", "1.2.3", "e5", "."})
    EXPECT_FALSE(parse_number(text)) << text;
}

TEST(NearestName, FindsSlipsButNotStrangers) {
  const std::vector<std::string> names = {"gasket", "bolts", "stroke"};
  EXPECT_EQ(nearest_name("gaskit", names), "gasket");
  EXPECT_EQ(nearest_name("blots", names), "bolts");
  EXPECT_FALSE(nearest_name("windscreen", names));
}

TEST(IsUtf8, KnowsOverlongFormsAndSurrogates) {
  EXPECT_TRUE(is_utf8("N·m µm °C"));
  EXPECT_FALSE(is_utf8("\xC0\xAF"));
  EXPECT_FALSE(is_utf8("\xED\xA0\x80"));
  EXPECT_FALSE(is_utf8("\xE2\x82"));
}

TEST(NumberText, IsShortAndReadsBack) {
  EXPECT_EQ(number_text(0.1), "0.1");
  EXPECT_EQ(number_text(1.0 / 3, 3), "0.333");
}

}  // namespace
}  // namespace headjoint
