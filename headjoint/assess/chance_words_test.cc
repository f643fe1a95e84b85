#include "headjoint/assess/chance_words.h"

#include <gtest/gtest.h>

#include <limits>

namespace headjoint::assess {
namespace {

TEST(ChanceWords, FollowOneScale) {
  EXPECT_EQ(chance_words(0.99), "almost certain");
  EXPECT_EQ(chance_words(0.87), "very probable");
  EXPECT_EQ(chance_words(0.6), "probable");
  EXPECT_EQ(chance_words(0.5), "as likely as not");
  EXPECT_EQ(chance_words(0.2), "possible");
  EXPECT_EQ(chance_words(0.05), "unlikely");
  EXPECT_EQ(chance_words(0.0), "very unlikely");
}

TEST(ChanceWords, NothingIsCertainInFigures) {
  EXPECT_EQ(chance_text(0.87), "0.87");
  EXPECT_EQ(chance_text(1.0), ">0.99");
  EXPECT_EQ(chance_text(0.0), "<0.01");
  EXPECT_EQ(chance_in_hundred(0.87), "87 in 100");
  EXPECT_EQ(chance_in_hundred(0.9999), "more than 99 in 100");
  EXPECT_EQ(chance_in_hundred(0.0001), "fewer than 1 in 100");
}

TEST(ChanceWords, WhatIsNoProbabilityIsNotKnown) {
  for (const double value : {std::numeric_limits<double>::quiet_NaN(), -0.1, 1.1, std::numeric_limits<double>::infinity()}) {
    EXPECT_EQ(chance_words(value), "not known");
    EXPECT_EQ(chance_text(value), "n/a");
    EXPECT_EQ(chance_in_hundred(value), "not known");
  }
}

TEST(ChanceAdverb, KeepsTheSameSteps) {
  EXPECT_EQ(chance_adverb(0.87), "very probably");
  EXPECT_EQ(chance_adverb(0.05), "probably not");
}

TEST(WeightWords, AreTheSameOnBothSides) {
  EXPECT_EQ(weight_words(1.2), "strongly for");
  EXPECT_EQ(weight_words(-1.2), "strongly against");
  EXPECT_EQ(weight_words(0.05), "says little");
  EXPECT_EQ(weight_words(std::numeric_limits<double>::quiet_NaN()), "says little");
}

}  // namespace
}  // namespace headjoint::assess
