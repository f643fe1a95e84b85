#include "headjoint/server/answer_cache.h"

#include <gtest/gtest.h>

namespace headjoint::server {
namespace {

TEST(AnswerCacheTest, KeepsWhatWasAskedForLast) {
  AnswerCache cache(100);
  cache.keep("a", std::string(20, 'a'));
  cache.keep("b", std::string(20, 'b'));
  cache.keep("c", std::string(20, 'c'));
  EXPECT_EQ(cache.find("a"), std::string(20, 'a'));
  cache.keep("d", std::string(20, 'd'));
  cache.keep("e", std::string(20, 'e'));
  EXPECT_FALSE(cache.find("b")) << "asked for longest ago";
  EXPECT_TRUE(cache.find("a"));
  EXPECT_TRUE(cache.find("e"));
}

TEST(AnswerCacheTest, WhatIsTooLargeIsNotKept) {
  AnswerCache cache(100);
  cache.keep("a", std::string(30, 'a'));
  EXPECT_FALSE(cache.find("a"));
}

}  // namespace
}  // namespace headjoint::server
