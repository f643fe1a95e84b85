#include "headjoint/server/runs.h"

#include <gtest/gtest.h>

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

}  // namespace
}  // namespace headjoint::server
