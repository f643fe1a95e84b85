// The options of the demo jobs are what an experienced mechanic would accept; wrong tables are told with their places.
#include <gtest/gtest.h>

#include <algorithm>

#include "headjoint/assess/operation_table.h"
#include "headjoint/base/file.h"

namespace headjoint::assess {
namespace {

Request demo(const std::string& name) {
  const std::string path = std::string(HEADJOINT_SOURCE_DIR) + "/data/examples/" + name + ".toml";
  Request request;
  request.input = *read_toml(read_file(path), path);
  request.source = path;
  request.read_beside = joint::beside_file(path);
  return request;
}

OptionsAnswer answer_of(const Request& request) {
  const auto reply = options_operation().run(request);
  EXPECT_TRUE(reply) << (reply ? "" : to_string(reply.problems()));
  return reply ? content_of<OptionsReply>(*reply).assessment.choice : OptionsAnswer{};
}

std::string refusal_of(Request request, const std::string& prices) {
  request.files["prices"] = {prices, "prices.toml"};
  const auto reply = options_operation().run(request);
  return reply ? std::string() : to_string(reply.problems());
}

constexpr const char* kBreach = "0117-two-cylinders";
constexpr const char* kPushedOut = "0118-coolant-pushed-out";
constexpr const char* kFalseAlarm = "0119-cream-under-the-cap";

TEST(OptionsOfDemoJobs, ABurntBridgeOnAFaceOutOfLimitGoesToTheMachineShop) {
  const OptionsAnswer answer = answer_of(demo(kBreach));
  EXPECT_EQ(answer.chosen, "gasket_and_head_service");
  EXPECT_EQ(answer.line("gasket_only")->state, "forbidden") << "the head face is measured out of limit";
  for (const char* option : {"retighten", "stop_leak", "cure_rival", "drive_on"}) EXPECT_EQ(answer.line(option)->state, "forbidden");
}

TEST(OptionsOfDemoJobs, CoolantPushedOutAsksForTheSleeveFirstAndThenForTheHead) {
  const OptionsAnswer answer = answer_of(demo(kPushedOut));
  EXPECT_EQ(answer.chosen, "check_more");
  EXPECT_EQ(answer.check.check, "sleeve_test");
  EXPECT_EQ(answer.after_check, "gasket_and_head_service");
  EXPECT_GT(answer.line("drive_on")->engine_lost, 0.1) << "gas in the coolant over 200 km";
  EXPECT_EQ(answer.line("stop_leak")->state, "way home");
}

TEST(OptionsOfDemoJobs, AFalseAlarmLeadsToTheCapAndNotIntoTheEngine) {
  const OptionsAnswer answer = answer_of(demo(kFalseAlarm));
  EXPECT_EQ(answer.chosen, "cure_rival");
  EXPECT_NE(answer.line("cure_rival")->text.find("pressure cap"), std::string::npos);
  EXPECT_EQ(answer.line("retighten")->state, "forbidden") << "stretch bolts";
  EXPECT_GT(answer.line("gasket_only")->expected_cost, 4 * answer.line("cure_rival")->expected_cost);
}

TEST(OptionsOfDemoJobs, TheCheckIsNoDearerThanDecidingNowBeforeItsOwnPrice) {
  for (const char* job : {kBreach, kPushedOut, kFalseAlarm}) {
    const OptionsAnswer answer = answer_of(demo(job));
    EXPECT_GE(answer.check.value, -1e-9) << job;
  }
}

TEST(OptionsOfDemoJobs, WhatWasWorkedOutOfTheClampStandsForTheFaces) {
  Request request = demo(kBreach);
  request.options.emplace("sealing-chance", "97 %");
  const OptionsAnswer sealing = answer_of(request);
  EXPECT_EQ(sealing.line("gasket_only")->state == "forbidden", false);
  request.options.clear();
  request.options.emplace("sealing-chance", "10 %");
  EXPECT_GT(answer_of(request).line("gasket_only")->second_failure, 0.9);
}

TEST(OptionsOfDemoJobs, MilesAreKilometres) {
  Request miles = demo(kPushedOut);
  miles.options.emplace("distance", "100 mi");
  Request kilometres = demo(kPushedOut);
  kilometres.options.emplace("distance", "160.9344 km");
  EXPECT_NEAR(answer_of(miles).line("drive_on")->engine_lost, answer_of(kilometres).line("drive_on")->engine_lost, 1e-12);
}

TEST(OptionsInput, AShopsOwnTableCountsAndWhatItLacksIsNamed) {
  Request request = demo(kPushedOut);
  const OptionsAnswer example = answer_of(request);
  request.files["prices"] = {"format = 1\n[prices]\nexchange_engine = 5\n[hours]\nexchange_engine = 3\n", "prices.toml"};
  const OptionsAnswer own = answer_of(request);
  EXPECT_EQ(own.prices, "the shop's table");
  EXPECT_LT(own.line("exchange_engine")->expected_cost, example.line("exchange_engine")->expected_cost / 2);
  EXPECT_FALSE(own.examples.empty());
}

TEST(OptionsInput, EveryMistakeIsToldAtOnce) {
  Request request = demo(kPushedOut);
  request.options.emplace("distance", "far");
  request.options.emplace("sealing-chance", "3");
  const std::string told = refusal_of(request, "format = 1\n[hours]\nflush_out = -1\nvee_bnk = 3\n");
  for (const char* word : {"--distance", "--sealing-chance", "prices.toml:3", "flush_out is -1", "vee_bank"})
    EXPECT_NE(told.find(word), std::string::npos) << word << " in " << told;
  EXPECT_NE(refusal_of(demo(kPushedOut), "this is no table"), "");
  for (const char* distance : {"0 km", "-5 km", "200", "1e9 km", "nan km"}) {
    Request wrong = demo(kPushedOut);
    wrong.options.emplace("distance", distance);
    EXPECT_FALSE(options_operation().run(wrong)) << distance;
  }
}

}  // namespace
}  // namespace headjoint::assess
