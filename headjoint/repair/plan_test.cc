#include "headjoint/repair/plan.h"

#include <gmock/gmock.h>

#include <algorithm>

#include "headjoint/base/file.h"

namespace headjoint::repair {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

TEST(PlanCondition, AllWordsMustHoldNotWordsMustNotAndOneOfAlternativesMust) {
  EXPECT_TRUE(holds("", {}));
  EXPECT_TRUE(holds("a b", {"a", "b", "c"}));
  EXPECT_FALSE(holds("a b", {"a"}));
  EXPECT_TRUE(holds("!a", {"b"}));
  EXPECT_FALSE(holds("b !a", {"a", "b"}));
  EXPECT_TRUE(holds("a|b c", {"b", "c"}));
  EXPECT_FALSE(holds("a|b", {"c"}));
  EXPECT_THAT(words_of("a|b !c d"), ElementsAre("a", "b", "c", "d"));
}

TEST(PlanText, IsFilledFromTheEngineAndLeavesABlankWhereNothingIsKnown) {
  EXPECT_EQ(filled("fill {volume} of {kind}", {{"volume", "6.0 L"}, {"kind", "ethylene"}}), "fill 6.0 L of ethylene");
  EXPECT_EQ(filled("fill {volume}", {}), "fill ________");
  EXPECT_EQ(filled("an open { brace", {}), "an open { brace");
}

const char* const kBook = R"toml(
[[part]]
name = "first"
title = "First"
[[part]]
name = "second"
title = "Second"
[[line]]
part = "second"
when = "b"
text = "later"
source = "s"
[[line]]
part = "first"
text = "always {n}"
source = "s"
)toml";

TEST(Plan, KeepsTheOrderOfPartsAndLeavesOutPartsWithoutALine) {
  const auto book = read_plan_book(kBook, "book");
  ASSERT_TRUE(book) << to_string(book.problems());
  const auto both = plan_of(*book, {"b"}, {{"n", "7"}});
  ASSERT_EQ(both.size(), 2U);
  EXPECT_EQ(both[0].lines[0].text, "always 7");
  EXPECT_EQ(both[1].lines[0].text, "later");
  EXPECT_EQ(plan_of(*book, {}, {}).size(), 1U);
}

TEST(Plan, ABookWithALineOfNoPartOrWithoutSourceIsRefusedWithItsPlace) {
  const auto book = read_plan_book("[[part]]\nname = \"a\"\n[[line]]\npart = \"b\"\ntext = \"t\"\n", "book");
  ASSERT_FALSE(book);
  EXPECT_THAT(to_string(book.problems()), HasSubstr("of no part"));
  EXPECT_THAT(to_string(book.problems()), HasSubstr("a source"));
  EXPECT_FALSE(read_plan_book("[[lin]]\n", "book"));
}

TEST(Plan, TheShippedBookReadsAndStopsNobodyWithAnEmptyPart) {
  const auto book = read_plan_book(read_file(std::string(HEADJOINT_SOURCE_DIR) + "/data/repair/plan.toml"), "plan.toml");
  ASSERT_TRUE(book) << to_string(book.problems());
  for (const PlanPart& part : book->parts)
    EXPECT_TRUE(std::any_of(book->lines.begin(), book->lines.end(), [&](const PlanLine& line) { return line.part == part.name; }))
        << part.name;
}

/// Each hazard by a word of its step; what protects from it must stand before that step.
TEST(Plan, NoHazardousStepIsWithoutItsCaution) {
  const auto book = read_plan_book(read_file(std::string(HEADJOINT_SOURCE_DIR) + "/data/repair/plan.toml"), "plan.toml");
  ASSERT_TRUE(book);
  const std::vector<std::pair<std::string, std::string>> hazards = {{"Let the pressure off", "hot_coolant"},
                                                                    {"fuel pressure", "fuel"},
                                                                    {"loosen the head bolts", "stretched_bolts"},
                                                                    {"Break the head loose", "head_lift"},
                                                                    {"asbestos", "asbestos"},
                                                                    {"fluoroelastomer", "charred_seal"},
                                                                    {"blown out", "compressed_air"},
                                                                    {"softener", "solvents"},
                                                                    {"lowered straight down", "head_lift"},
                                                                    {"Tighten by", "stretched_bolts"},
                                                                    {"Pump the cold", "over_pressure"},
                                                                    {"Idle with", "moving_parts"},
                                                                    {"Fill with", "glycol"},
                                                                    {"then start", "exhaust_gas"}};
  for (const auto& [words, caution] : hazards) {
    int found = 0;
    for (const PlanLine& line : book->lines) {
      if (line.text.find(words) == std::string::npos) continue;
      ++found;
      EXPECT_THAT(line.cautions, testing::Contains(caution)) << line.text;
    }
    EXPECT_GT(found, 0) << words;
  }
}

}  // namespace
}  // namespace headjoint::repair
