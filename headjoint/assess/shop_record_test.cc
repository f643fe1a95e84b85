#include "headjoint/assess/shop_record.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "headjoint/assess/knowledge.h"
#include "headjoint/assess/learnt_option.h"
#include "headjoint/assess/operation.h"
#include "headjoint/assess/results_record.h"
#include "headjoint/jobs/job_file.h"

namespace headjoint::assess {
namespace {

using testing::HasSubstr;

constexpr double kExact = 1e-9;

const std::string kHead =
    "format = 1\nnumber = \"1\"\ntitle = \"x\"\n[engine]\nformat = 1\nname = \"x\"\n[engine.engine]\ncylinders = 4\nlayout = "
    "\"inline\"\nfuel = \"petrol\"\n";
const std::string kBreach =
    "[signs]\nbubbles = \"seen\"\ncolour_test = \"full\"\npressure_overnight = \"seen\"\ncoolant_pushed_out = \"seen\"\n"
    "[closure]\nverified = \"head off\"\n[[closure.found]]\ncause = \"gas_to_coolant\"\nwhere = \"2\"\n";
const std::string kFalseAlarm =
    "[signs]\ncoolant_lost = \"seen\"\nbubbles = \"absent\"\ncolour_test = \"none\"\ndrip_elsewhere = \"seen\"\n"
    "[closure]\nverified = \"repair proved\"\n[[closure.found]]\ncause = \"hose_leak\"\n";

/// @param top  what stands before the first table
Document document(const std::string& rest, const std::string& top = {}) {
  auto read = read_toml(top + kHead + rest, "job.toml");
  EXPECT_TRUE(read.has_value()) << to_string(read.problems());
  return *read;
}

Result<Reply> record_of(const std::vector<std::string>& jobs, const std::string& top = {}) {
  Array list;
  for (const std::string& job : jobs) list.push_back(document(job, top));
  Request request;
  request.input.set("jobs", list);
  return find_operation("shop-record")->run(request);
}

ShopRecord record(const std::vector<std::string>& jobs, const std::string& top = {}) {
  const auto reply = record_of(jobs, top);
  EXPECT_TRUE(reply.has_value()) << to_string(reply.problems());
  return content_of<ShopRecord>(*reply);
}

Result<Reply> finding(const std::string& job, const std::string& learnt) {
  Request request;
  request.input = document(job);
  if (!learnt.empty()) request.files["learnt"] = {learnt, "learnt.toml", joint::nothing_beside()};
  return find_operation("finding")->run(request);
}

// Student's t for one degree of freedom, two-sided 95 %: 12.706 (NIST/SEMATECH e-Handbook 1.3.6.7.2, from memory).
TEST(MeanOf, HasStudentsRange) {
  const Estimate mean = mean_of({1, 3});
  EXPECT_NEAR(mean.value, 2, kExact);
  EXPECT_NEAR(mean.high - mean.value, 12.706, 1e-9);
  EXPECT_TRUE(std::isnan(mean_of({5}).low));
  EXPECT_TRUE(std::isnan(mean_of({}).value));
}

TEST(ShopRecord, CountsVerifiedJobsOnly) {
  const std::string open = kBreach.substr(0, kBreach.find("[closure]"));
  std::string guess = kBreach;
  guess.replace(guess.find("head off"), 8, "not verified");
  const ShopRecord all = record({kBreach, kFalseAlarm, open, guess});
  EXPECT_EQ(all.counted, 2u);
  EXPECT_EQ(all.open, 1u);
  EXPECT_EQ(all.not_verified, 1u);
  const ShopRecord verified = record({kBreach, kFalseAlarm});
  EXPECT_NEAR(all.scores.brier.value, verified.scores.brier.value, kExact);
  ASSERT_EQ(all.learnt.numbers.size(), verified.learnt.numbers.size());
  for (std::size_t i = 0; i < all.learnt.numbers.size(); ++i)
    EXPECT_NEAR(all.learnt.numbers[i].learnt, verified.learnt.numbers[i].learnt, kExact);
}

TEST(ShopRecord, ScoresAreThoseOfTheVerdicts) {
  const ShopRecord two = record({kBreach, kFalseAlarm});
  const double failed = two.jobs[0].joint_failed;
  const double sound = two.jobs[1].joint_failed;
  EXPECT_NEAR(two.scores.brier.value, ((failed - 1) * (failed - 1) + sound * sound) / 2, kExact);
  EXPECT_NEAR(two.scores.log_score.value, -(std::log(failed) + std::log(1 - sound)) / 2, kExact);
  EXPECT_EQ(two.joint_called.hits, 1u);
  EXPECT_EQ(two.sound_called.hits, 1u);
}

TEST(ShopRecord, TheVerdictComesFromBeforeTheStripDown) {
  std::string opened = kBreach;
  opened.insert(opened.find("[closure]"), "fire_ring_track = { 2 = \"seen\" }\ncrack_test = \"absent\"\n");
  const ShopRecord before = record({kBreach});
  const ShopRecord after = record({opened}, "head_off = true\n");
  ASSERT_EQ(before.jobs.size(), 1u);
  ASSERT_EQ(after.jobs.size(), 1u);
  EXPECT_NEAR(before.jobs[0].joint_failed, after.jobs[0].joint_failed, kExact);
}

TEST(ShopRecord, ClaimsNothingFromOneJob) {
  const ShopRecord one = record({kBreach});
  EXPECT_TRUE(std::isnan(one.scores.brier.low));
  EXPECT_THAT(one.notes.front(), HasSubstr("too few"));
  ASSERT_FALSE(one.reliability.empty());
  EXPECT_LT(one.reliability.back().interval.low, 0.3);
}

TEST(ShopRecord, OneBadJobIsLeftOutAndSaid) {
  std::string unknown = kBreach;
  unknown.replace(unknown.find("gas_to_coolant"), 14, "gas_to_coolent");
  const auto reply = record_of({kBreach, unknown});
  ASSERT_TRUE(reply.has_value());
  EXPECT_EQ(content_of<ShopRecord>(*reply).jobs.size(), 1u);
  ASSERT_EQ(reply->warnings.size(), 1u);
  EXPECT_THAT(reply->warnings.front().what, HasSubstr("left out"));
  EXPECT_THAT(reply->warnings.front().mend, HasSubstr("gas_to_coolant"));
}

TEST(Learnt, MovesTheFindingAndIsSaid) {
  const ShopRecord shop = record({kBreach, kBreach, kBreach, kBreach, kFalseAlarm});
  const std::string job = "[signs]\nbubbles = \"seen\"\n";
  const auto shipped = finding(job, "");
  const auto own = finding(job, shop.learnt_toml);
  ASSERT_TRUE(own.has_value()) << to_string(own.problems());
  EXPECT_NE(shipped->document.find("joint_failed")->find("value")->number(), own->document.find("joint_failed")->find("value")->number());
  ASSERT_NE(own->document.find("learnt"), nullptr);
  EXPECT_THAT(own->document.find("learnt")->text(), HasSubstr("5 verified jobs"));
  EXPECT_EQ(shipped->document.find("learnt"), nullptr);
}

TEST(Learnt, AnEmptyFileIsTheShippedStrengths) {
  const std::string job = "[signs]\nbubbles = \"seen\"\n";
  const auto shipped = finding(job, "");
  EXPECT_EQ(finding(job, "format = 1\nclosures = 0\n")->document, shipped->document);
  EXPECT_EQ(finding(job, " \n")->document, shipped->document);
}

TEST(Learnt, ABadFileIsRefusedWithItsPlace) {
  const auto bad = finding("[signs]\n", "format = 1\nclosures = 1\n[[chance]]\ncause = \"thermostatt\"\n");
  ASSERT_FALSE(bad.has_value());
  EXPECT_THAT(to_string(bad.problems()), HasSubstr("learnt.toml"));
  EXPECT_THAT(to_string(bad.problems()), HasSubstr("did you mean \"thermostat\""));
}

TEST(Closing, AClosureOfAnUnknownCauseIsRefused) {
  const auto bad = finding("[closure]\nverified = \"head off\"\n[[closure.found]]\ncause = \"gas_to_neighbour\"\nwhere = \"2\"\n", "");
  ASSERT_FALSE(bad.has_value());
  EXPECT_THAT(to_string(bad.problems()), HasSubstr("1-2, 2-3, 3-4"));
}

}  // namespace
}  // namespace headjoint::assess
