#include "headjoint/server/runs.h"

#include <gtest/gtest.h>

#include "headjoint/server/internal/run_name.h"

namespace headjoint::server {
namespace {

TEST(Runs, AreKnownWhileTheyAreUnderWay) {
  Runs runs;
  EXPECT_EQ(runs.find("a"), nullptr);
  auto run = runs.start("a");
  run->share = 0.5;
  ASSERT_NE(runs.find("a"), nullptr);
  EXPECT_EQ(runs.find("a")->share, 0.5);
  EXPECT_EQ(runs.find("b"), nullptr);
  run.reset();
  EXPECT_EQ(runs.find("a"), nullptr);
}

TEST(Runs, ANewRunStopsTheOneOfItsNameBeforeIt) {
  Runs runs;
  const auto first = runs.start("a");
  const auto other = runs.start("b");
  const auto second = runs.start("a");
  EXPECT_TRUE(first->is_stopped);
  EXPECT_FALSE(other->is_stopped);
  EXPECT_FALSE(second->is_stopped);
  EXPECT_EQ(runs.find("a"), second);
}

TEST(RunName, IsFoundAtTheTopOfTheBodyOnly) {
  EXPECT_EQ(internal::run_name_in(R"({"input": {"run": "inner", "x": ["run"]}, "options": {}, "run" : "outer"})"), "outer");
  EXPECT_EQ(internal::run_name_in(R"({"input": {"run": "inner"}})"), "");
  EXPECT_EQ(internal::run_name_in(R"({"source": "\"run\": \"x\"", "run":"a"})"), "a");
  EXPECT_EQ(internal::run_name_in(R"({"x": "run"})"), "");
}

TEST(RunName, IsEmptyForWhatIsNoSuchBody) {
  for (const char* body :
       {"", "{", "\"", "{\"run\"", "{\"run\":", "{\"run\": 3}", "{\"run\": \"", "{\"run\": \"a\\", "run", "[\"run\"]", "}}{\"run\":\"a\""})
    EXPECT_EQ(internal::run_name_in(body), "") << body;
}

}  // namespace
}  // namespace headjoint::server
