#include "headjoint/base/document.h"

#include <gmock/gmock.h>

#include <string>

namespace headjoint {
namespace {

using testing::HasSubstr;

TEST(ReadToml, RemembersLineColumnAndWrittenOrder) {
  const auto read = read_toml("zeta = 1\nalpha = \"2 mm\"\n[engine]\ncylinders = 4\n", "e.toml");
  ASSERT_TRUE(read) << to_string(read.problems());
  EXPECT_EQ(read->table().front().first, "zeta");
  const Document* cylinders = read->find("engine")->find("cylinders");
  ASSERT_NE(cylinders, nullptr);
  EXPECT_EQ(cylinders->integer(), 4);
  EXPECT_EQ(cylinders->place().line, 4);
  EXPECT_EQ(cylinders->place().column, 13);
}

TEST(ReadToml, TellsPlaceOfADecimalComma) {
  const auto read = read_toml("format = 1\nbore = 92,0\n", "e.toml");
  ASSERT_FALSE(read);
  EXPECT_EQ(read.problems().front().place.line, 2);
  EXPECT_THAT(to_string(read.problems()), HasSubstr("decimal point"));
}

TEST(ReadToml, RefusesHostileInput) {
  EXPECT_FALSE(read_toml("", "e"));
  EXPECT_FALSE(read_toml("a = 1\na = 2\n", "e"));
  EXPECT_FALSE(read_toml(std::string(1000, '\0'), "e"));
  EXPECT_FALSE(read_toml("a = \"\xFF\xFE\"", "e"));
  EXPECT_FALSE(read_toml("a = [1, 2", "e"));
  EXPECT_FALSE(read_toml(std::string(9U << 20U, ' '), "e"));
  EXPECT_FALSE(read_toml("a = " + std::string(5000, '['), "e"));
}

TEST(ReadToml, AnswersWhatTheParserDoesNotExpect) {
  for (const char* text : {"[=]", "[[=]]", "[ #]", "a.=1", "[a.]"}) EXPECT_FALSE(read_toml(text, "e")) << text;
}

TEST(ReadToml, RefusesKeysAndListsWithoutEnd) {
  std::string dotted = "a";
  for (int i = 0; i < 100000; ++i) dotted += ".a";
  for (const std::string& text : {dotted + " = 1", "b = 1\n[" + dotted + "]", "b = { " + dotted + " = 1 }"}) {
    const auto read = read_toml(text, "e");
    ASSERT_FALSE(read);
    EXPECT_THAT(to_string(read.problems()), HasSubstr("nested deeper"));
    EXPECT_GT(read.problems()[0].place.line, 0);
  }
  EXPECT_FALSE(read_toml("a = " + std::string(65, '[') + std::string(65, ']'), "e"));
  EXPECT_TRUE(read_toml("a = " + std::string(60, '[') + std::string(60, ']'), "e"));
}

TEST(ReadToml, CountsNoDotsInTextRemarksAndNumbers) {
  std::string many;
  for (int i = 0; i < 100; ++i) many += "a. ";
  std::string numbers = "0.5";
  for (int i = 0; i < 100; ++i) numbers += ", 0.5";
  const auto read = read_toml("# " + many + "\na = \"" + many + "\\\" \"\nb = '''" + many + "'''\nc = [" + numbers + "]\n", "e");
  EXPECT_TRUE(read) << to_string(read.problems());
}

TEST(ReadJson, RefusesHostileInput) {
  EXPECT_FALSE(read_json("", "e"));
  EXPECT_FALSE(read_json("{\"a\": 1, \"a\": 2}", "e"));
  EXPECT_FALSE(read_json("{\"a\": ", "e"));
  EXPECT_FALSE(read_json(std::string(100000, '['), "e"));
  EXPECT_FALSE(read_json("{\"a\": NaN}", "e"));
  EXPECT_FALSE(read_json("{} x", "e"));
}

TEST(ReadJson, AShortTextCannotTakeAllTimeOrMemory) {
  std::string many_keys = "{";
  for (int i = 0; i < 200'000; ++i) many_keys += "\"" + std::to_string(i) + "\":0,";
  EXPECT_FALSE(read_json(many_keys + "\"end\":0}", "form"));
  std::string many_values = "[";
  for (int i = 0; i < 3'000'000; ++i) many_values += "0,";
  EXPECT_FALSE(read_json(many_values + "0]", "form"));
  EXPECT_FALSE(read_json("{\"" + std::string(1U << 20U, 'k') + "\": " + many_values.substr(0, 400'000) + "0]}", "form"));
}

TEST(ReadJson, GivesPointers) {
  const auto read = read_json(R"({"a": [1, {"b": "x"}]})", "form");
  ASSERT_TRUE(read);
  EXPECT_EQ(read->find("a")->array()[1].find("b")->place().pointer, "/a/1/b");
}

TEST(Document, SurvivesTheRoundTripThroughBothWriters) {
  const auto read =
      read_json(R"({"a": 1, "b": [1.5, true, "q\"uo\nte"], "t": {"x y": "z"}, "l": [{"k": "v"}, {"k": 2, "m": {"n": 0.1}}]})", "form");
  ASSERT_TRUE(read);
  const auto from_toml = read_toml(write_toml(*read), "back");
  ASSERT_TRUE(from_toml) << to_string(from_toml.problems()) << write_toml(*read);
  EXPECT_EQ(*read, *from_toml) << write_toml(*read);
  const auto from_json = read_json(write_json(*read), "back");
  ASSERT_TRUE(from_json);
  EXPECT_EQ(*read, *from_json);
}

}  // namespace
}  // namespace headjoint
