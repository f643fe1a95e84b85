#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "headjoint/assess/operation.h"
#include "headjoint/assess/results_traces.h"
#include "headjoint/base/file.h"

namespace headjoint::assess {
namespace {

using ::testing::HasSubstr;

Request asking(const std::string& file, std::multimap<std::string, std::string> options, bool with_engine = true) {
  const std::string data = std::string(HEADJOINT_SOURCE_DIR) + "/data/";
  Request request;
  request.source = file;
  request.stream = open_byte_source(data + "examples/" + file);
  request.options = std::move(options);
  if (with_engine) request.files["engine"] = {read_file(data + "engines/marlow-16.toml"), "marlow-16.toml"};
  return request;
}

Result<Reply> run(const char* operation, const Request& request) { return find_operation(operation)->run(request); }

TEST(TraceOperation, NamesTheTwoCylindersOfTheDemoAndProposesThem) {
  const auto reply = run("trace", asking("0117-starter.csv", {{"kind", "starter-current"}, {"sync", "ignition 1"}}));
  ASSERT_TRUE(reply) << to_string(reply.problems());
  EXPECT_TRUE(reply->answer_is_no);
  const Document& answer = reply->document;
  for (const char* key : {"events", "relative", "order", "proposals", "notes", "file"}) EXPECT_NE(answer.find(key), nullptr) << key;
  const auto& shown = content_of<TraceReply>(*reply);
  EXPECT_EQ(shown.pairs, std::vector<std::string>{"2-3"});
  ASSERT_EQ(shown.proposals.size(), 4);
  for (const Proposal& proposal : shown.proposals) {
    EXPECT_EQ(proposal.sign, "starter_current");
    EXPECT_EQ(proposal.state == "level", proposal.where == "1" || proposal.where == "4") << proposal.where;
  }
  EXPECT_EQ(shown.file.sha256.size(), 64);
}

TEST(TraceOperation, WithoutSyncProposesNothing) {
  const auto reply = run("trace", asking("0117-starter.csv", {{"kind", "starter-current"}}));
  ASSERT_TRUE(reply);
  EXPECT_TRUE(content_of<TraceReply>(*reply).proposals.empty());
}

TEST(TraceOperation, RefusesInWords) {
  const auto problems = [](const Request& request) { return to_string(run("trace", request).problems()); };
  EXPECT_THAT(problems(asking("0117-starter.csv", {})), HasSubstr("--kind"));
  EXPECT_THAT(problems(asking("0117-starter.csv", {{"kind", "crank-speed"}})), HasSubstr("swapped"));
  EXPECT_THAT(problems(asking("0117-starter.csv", {{"kind", "coolant-pressure"}})), HasSubstr("--sync"));
  EXPECT_THAT(problems(asking("0117-starter.csv", {{"kind", "starter-current"}}, false)), HasSubstr("--cylinders"));
  EXPECT_THAT(problems(asking("0118-coolant-log.csv", {{"kind", "starter-current"}, {"column", "4"}})), HasSubstr("%"));
}

TEST(TraceOperation, DrawsThePartAskedFor) {
  const auto reply =
      run("trace", asking("0117-starter.csv", {{"kind", "starter-current"}, {"from", "1 s"}, {"to", "1.5 s"}, {"columns", "50"}}));
  ASSERT_TRUE(reply);
  const TracePlot& plot = content_of<TraceReply>(*reply).plot;
  EXPECT_EQ(plot.least.size(), 50);
  EXPECT_EQ(plot.from_s, 1);
  EXPECT_EQ(plot.to_s, 1.5);
}

TEST(CoolantLogOperation, FindsTheHotEpisodeAndTheDrySensor) {
  const auto reply = run("coolant-log", asking("0118-coolant-log.csv", {}));
  ASSERT_TRUE(reply) << to_string(reply.problems());
  const auto& shown = content_of<CoolantLogReply>(*reply);
  EXPECT_TRUE(shown.peak_is_lower_bound);
  EXPECT_EQ(shown.episodes.size(), 1);
  for (const char* key : {"episodes", "peak_degC", "dose_K_min", "signatures"}) EXPECT_NE(reply->document.find(key), nullptr) << key;
  const bool hot = std::any_of(shown.proposals.begin(), shown.proposals.end(), [](const Proposal& one) { return one.sign == "runs_hot"; });
  EXPECT_TRUE(hot);
}

TEST(CoolantLogOperation, AsksForTheUnitOfATemperature) {
  Request request;
  request.stream = byte_source_of("time_s,coolant\n0,20\n1,21\n2,22\n");
  EXPECT_THAT(to_string(run("coolant-log", request).problems()), HasSubstr("--unit degC"));
  request.stream = byte_source_of("time_s,coolant\n0,68\n1,68\n2,212\n");
  request.options = {{"unit", "degF"}};
  const auto reply = run("coolant-log", request);
  ASSERT_TRUE(reply) << to_string(reply.problems());
  EXPECT_NEAR(content_of<CoolantLogReply>(*reply).peak_degC, 100, 1e-3);
}

}  // namespace
}  // namespace headjoint::assess
