#include "headjoint/base/csv.h"

#include <gmock/gmock.h>

#include <string>

namespace headjoint {
namespace {

TEST(ReadCsv, ReadsCommentsQuotesAndBlankLines) {
  const auto table = read_csv("# made by hand\nname,text\n\na,\"one, \"\"two\"\"\nthree\"\nb, c \n", "t.csv");
  ASSERT_TRUE(table) << to_string(table.problems());
  ASSERT_EQ(table->rows.size(), 2U);
  EXPECT_EQ(table->rows[0][1], "one, \"two\"\nthree");
  EXPECT_EQ(table->rows[1][1], "c");
  EXPECT_EQ(table->lines[0], 4);
  EXPECT_EQ(table->lines[1], 6);
  EXPECT_EQ(table->column("text"), 1);
  EXPECT_EQ(table->column("txt"), -1);
}

TEST(ReadCsv, FindsTheSeparator) {
  const auto table = read_csv("x_mm;y_mm;z_mm\r\n1,5;2;3\r\n", "t.csv");
  ASSERT_TRUE(table);
  EXPECT_EQ(table->separator, ';');
  EXPECT_EQ(table->rows[0][0], "1,5");
}

TEST(ReadCsv, ListsEveryProblemWithItsLine) {
  const auto table = read_csv("a,a,\n1,2\n1,2,3\n1\n", "t.csv");
  ASSERT_FALSE(table);
  EXPECT_EQ(table.problems().size(), 4U) << to_string(table.problems());
  EXPECT_EQ(table.problems().back().place.line, 4);
}

TEST(ReadCsv, RefusesHostileInput) {
  EXPECT_FALSE(read_csv("", "t"));
  EXPECT_FALSE(read_csv("# only a remark\n", "t"));
  EXPECT_FALSE(read_csv(std::string(1U << 20U, '\0'), "t"));
  EXPECT_FALSE(read_csv("a,b\n\"never closed,2\n", "t"));
  EXPECT_FALSE(read_csv("a,b\n\xC3\x28,2\n", "t"));
}

}  // namespace
}  // namespace headjoint
