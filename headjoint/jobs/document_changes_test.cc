#include "headjoint/jobs/document_changes.h"

#include <gtest/gtest.h>

namespace headjoint::jobs {
namespace {

/// "path: old -> new" of each change, one a line.
std::string told(const char* before, const char* after) {
  std::string text;
  for (const DocumentChange& change : changes_between(*read_json(before, ""), *read_json(after, "")))
    text += change.path + ": " + write_json(change.before, -1) + " -> " + write_json(change.after, -1) + "\n";
  return text;
}

TEST(ChangesBetween, NamesTheSmallestPartsThatDiffer) {
  EXPECT_EQ(told(R"({"title": "a", "signs": {"milky_oil": "seen", "runs_hot": "seen"}})",
                 R"({"title": "a", "signs": {"milky_oil": "absent", "white_smoke": "seen"}})"),
            "/signs/milky_oil: \"seen\" -> \"absent\"\n/signs/runs_hot: \"seen\" -> null\n/signs/white_smoke: null -> \"seen\"\n");
}

TEST(ChangesBetween, AnItemPutInOrTakenOutOfAListIsOneChange) {
  EXPECT_EQ(told("[1, 2, 3]", "[1, 9, 2, 3]"), "/1: null -> 9\n");
  EXPECT_EQ(told("[1, 2, 3]", "[1, 3]"), "/1: 2 -> null\n");
  EXPECT_EQ(told("[]", "[1]"), "/0: null -> 1\n");
  EXPECT_EQ(told("[1, 1]", "[1, 1, 1]"), "/2: null -> 1\n");
  EXPECT_EQ(told(R"([{"v": ["12", "9"]}, {"v": []}])", R"([{"v": ["12", "10"]}, {"v": []}])"), "/0/v/1: \"9\" -> \"10\"\n");
}

TEST(ChangesBetween, KeysAreWrittenAsJsonPointers) { EXPECT_EQ(told(R"({"a/b~c": 1})", R"({"a/b~c": 2})"), "/a~1b~0c: 1 -> 2\n"); }

TEST(ChangesBetween, NothingChangedIsNoChange) {
  EXPECT_EQ(told(R"({"a": [1, {"b": null}]})", R"({"a": [1, {"b": null}]})"), "");
  EXPECT_EQ(told(R"({"a": 1})", R"({"a": 1, "b": null})"), "") << "what was never said and nothing are the same";
}

TEST(ChangesBetween, AnotherKindIsOneChange) { EXPECT_EQ(told(R"({"a": {"b": 1}})", R"({"a": "text"})"), "/a: {\"b\":1} -> \"text\"\n"); }

}  // namespace
}  // namespace headjoint::jobs
