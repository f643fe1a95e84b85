#include "headjoint/base/table_reader.h"

#include <gmock/gmock.h>

#include "headjoint/base/table_writer.h"

namespace headjoint {
namespace {

using testing::HasSubstr;

const std::vector<std::string> kFuels = {"petrol", "diesel"};

Document toml(const std::string& text) {
  auto read = read_toml(text, "t.toml");
  EXPECT_TRUE(read) << to_string(read.problems());
  return std::move(read).value();
}

TEST(TableReader, RefusesAKeyNobodyAskedForWithTheNearestKnownOne) {
  const Document document = toml("cylinders = 4\ncilinders = 4\n");
  Problems problems;
  TableReader reader(document, "[engine]", problems);
  int cylinders = 0;
  reader.integer("cylinders", cylinders, 1, 16);
  reader.finish();
  EXPECT_EQ(cylinders, 4);
  ASSERT_EQ(problems.size(), 1U);
  EXPECT_EQ(problems[0].place.line, 2);
  EXPECT_THAT(problems[0].what, HasSubstr("\"cilinders\" is not a key of [engine]"));
  EXPECT_THAT(problems[0].mend, HasSubstr("\"cylinders\""));
}

TEST(TableReader, ListsTheKnownKeysWhenNoneIsNear) {
  const Document document = toml("windscreen = 1\n");
  Problems problems;
  TableReader reader(document, "", problems);
  (void)reader.find("bore");
  (void)reader.find("stroke");
  reader.finish();
  ASSERT_EQ(problems.size(), 1U);
  EXPECT_THAT(problems[0].allowed, HasSubstr("bore, stroke"));
}

TEST(TableReader, KeepsTheValueAndTellsTheRange) {
  const Document document = toml("cylinders = 99\nratio = nan\nfuel = \"diesle\"\nflag = \"yes\"\nname = 3\n");
  Problems problems;
  TableReader reader(document, "", problems);
  int cylinders = 4;
  std::optional<double> ratio;
  int fuel = 0;
  bool flag = true;
  std::string name = "kept";
  reader.integer("cylinders", cylinders, 1, 16);
  reader.number("ratio", ratio, 0, 1);
  reader.choice("fuel", fuel, kFuels);
  reader.truth("flag", flag);
  reader.text("name", name);
  reader.finish();
  EXPECT_EQ(cylinders, 4);
  EXPECT_FALSE(ratio);
  EXPECT_EQ(name, "kept");
  ASSERT_EQ(problems.size(), 5U) << to_string(problems);
  EXPECT_THAT(problems[0].allowed, HasSubstr("1 to 16"));
  EXPECT_THAT(problems[2].mend, HasSubstr("diesel"));
  for (std::size_t i = 0; i < problems.size(); ++i) EXPECT_EQ(problems[i].place.line, static_cast<int>(i) + 1);
}

TEST(TableReader, NamesTheTableInsideATable) {
  const Document document = toml("[gasket.bead]\nwidht = 1\n");
  Problems problems;
  TableReader reader(document, "", problems);
  std::optional<int> gasket;
  reader.table("gasket", gasket, [](TableReader& inner, int&) {
    std::optional<int> bead;
    inner.table("bead", bead, [](TableReader& deepest, int&) { (void)deepest.find("width"); });
  });
  ASSERT_EQ(problems.size(), 1U);
  EXPECT_THAT(problems[0].what, HasSubstr("[gasket.bead]"));
}

TEST(TableReader, StopsCountingProblemsOfAHostileFile) {
  Array items;
  for (int i = 0; i < 5000; ++i) items.emplace_back("x");
  Document document;
  document.set("order", std::move(items));
  Problems problems;
  TableReader reader(document, "", problems);
  std::vector<int> order;
  reader.integers("order", order, 1, 9);
  EXPECT_LT(problems.size(), 300U);
  EXPECT_THAT(problems.back().what, HasSubstr("more problems"));
}

TEST(TableReader, SaysThatANonTableIsNone) {
  const Document document = Array{Document(1)};
  Problems problems;
  TableReader reader(document, "[head]", problems);
  reader.finish();
  ASSERT_EQ(problems.size(), 1U);
  EXPECT_THAT(problems[0].what, HasSubstr("[head] is a list"));
}

TEST(TableWriter, LeavesOutWhatIsEmpty) {
  TableWriter writer;
  writer.text("a", "");
  writer.truth("b", std::optional<bool>());
  writer.integers("c", {}, 1, 2);
  writer.choice("fuel", 1, kFuels);
  EXPECT_EQ(write_json(writer.take(), -1), "{\"fuel\":\"diesel\"}");
}

}  // namespace
}  // namespace headjoint
