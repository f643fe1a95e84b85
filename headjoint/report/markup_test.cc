#include "headjoint/report/internal/markup.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "headjoint/base/text.h"
#include "headjoint/report/internal/tag_layout.h"
#include "headjoint/report/internal/terminal_page.h"
#include "headjoint/report/internal/well_formed.h"

namespace headjoint::report {
namespace {

TEST(Markup, EscapesWhatXmlKeepsForItself) { EXPECT_EQ(xml_text("<a b=\"c\" d='e'>&"), "&lt;a b=&quot;c&quot; d=&#39;e&#39;&gt;&amp;"); }

TEST(Markup, DropsWhatWouldSteerATerminalOrTurnALine) {
  EXPECT_EQ(plain_text("a\x1b[31mb\x07"), "a[31mb");
  EXPECT_EQ(plain_text("a\xE2\x80\xAE"
                       "b\xE2\x81\xA6"
                       "c"),
            "abc");
  EXPECT_EQ(plain_text("two\nlines\tand a tab"), "two lines and a tab");
  EXPECT_EQ(plain_text("\xC2\x9B"
                       "31m"),
            "31m");
}

TEST(Markup, RandomBytesBecomeWellFormedText) {
  constexpr unsigned kSeed = 7;
  std::mt19937 random(kSeed);
  for (int round = 0; round < 2000; ++round) {
    std::string bytes;
    for (int i = 0; i < 24; ++i) bytes += static_cast<char>(random() & 0xFF);
    EXPECT_TRUE(is_utf8(plain_text(bytes))) << "seed " << kSeed << " round " << round;
    EXPECT_EQ(xml::read("<p a=\"" + xml_text(bytes) + "\">" + isolated(bytes) + "</p>").problem, "")
        << "seed " << kSeed << " round " << round;
  }
}

TEST(Markup, NumbersThatAreNoneAreNeverPrintedAsSuch) {
  EXPECT_EQ(fixed(std::nan(""), 2), "n/a");
  EXPECT_EQ(fixed(-0.001, 2), "0.00");
  EXPECT_EQ(signed_fixed(0.001, 1), "0.0");
  EXPECT_EQ(signed_fixed(0.26, 1), "+0.3");
  EXPECT_EQ(coordinate(HUGE_VAL), "0");
  EXPECT_EQ(coordinate(10.50), "10.5");
  EXPECT_EQ(coordinate(100), "100");
}

TEST(TagLayout, NoTwoTagsOverlapWhateverTheWishes) {
  constexpr unsigned kSeed = 11;
  std::mt19937 random(kSeed);
  std::uniform_real_distribution<double> wish(-20, 520);
  std::uniform_real_distribution<double> width(5, 180);
  for (int round = 0; round < 500; ++round) {
    std::vector<TagWish> wishes(static_cast<std::size_t>(round % 20));
    for (TagWish& tag : wishes) tag = {wish(random), width(random)};
    const auto places = place_tags(wishes, 0, 500, 4);
    ASSERT_EQ(places.size(), wishes.size());
    for (std::size_t i = 0; i < places.size(); ++i) {
      EXPECT_GE(places[i].middle - wishes[i].width / 2, -1e-6) << "seed " << kSeed << " round " << round;
      EXPECT_LE(places[i].middle + wishes[i].width / 2, 500 + 1e-6);
      for (std::size_t j = i + 1; j < places.size(); ++j) {
        if (places[i].row != places[j].row) continue;
        EXPECT_GE(std::abs(places[i].middle - places[j].middle) + 1e-6, (wishes[i].width + wishes[j].width) / 2 + 4);
      }
    }
  }
}

TEST(TagLayout, ALoneTagStandsWhereItWishes) {
  const auto places = place_tags({{200, 50}}, 0, 500, 4);
  EXPECT_DOUBLE_EQ(places[0].middle, 200);
  EXPECT_EQ(places[0].row, 0);
}

TEST(TerminalPage, WrapsByCharactersNotBytes) {
  for (const std::string& line : wrapped("µµµµµµµµµµ " + std::string(100, 'x') + " N·m °C", 20, 2, 4))
    EXPECT_LE(width_of(line), 20U) << line;
  std::string all;
  for (const std::string& line : wrapped("one two three four five six seven", 12, 0, 3)) all += line + "|";
  EXPECT_EQ(all, "one two|   three|   four five|   six seven|");
}

TEST(TerminalPage, TheBarShowsLowEndChanceAndHighEnd) {
  EXPECT_EQ(chance_bar(0.5, 0.7, 0.9, 10), "[#####++-- ]");
  EXPECT_EQ(chance_bar(0, 0, 0, 10), "[          ]");
  EXPECT_EQ(chance_bar(std::nan(""), std::nan(""), std::nan(""), 4), "[    ]");
}

}  // namespace
}  // namespace headjoint::report
