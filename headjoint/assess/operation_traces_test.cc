#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "headjoint/assess/operation.h"
#include "headjoint/assess/results_traces.h"
#include "headjoint/base/file.h"
#include "headjoint/traces/testing/cranked_examples.h"
#include "headjoint/units/quantity_text.h"

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

/// A four with a leak on cylinder 3 as a table of current and sync.
Request cranked(const std::function<std::string(double current_A, double sync_V)>& row, const std::string& header) {
  const traces::CrankingTrace trace = traces::crank_engine(traces::testing::four_with_leak(3, 1), {});
  const traces::Signal sync = traces::testing::sync_of(trace);
  std::string table = header + "\n";
  for (std::size_t i = 0; i < sync.values.size(); ++i)
    table += fmt::format("{:.4f},{}\n", static_cast<double>(i) / 2000,
                         row(static_cast<double>(trace.current_A.values[i]), static_cast<double>(sync.values[i])));
  Request request;
  request.source = "made.csv";
  request.stream = byte_source_of(table);
  request.options = {{"kind", "starter-current"}, {"firing-order", "1,3,4,2"}, {"sync", "ignition"}};
  return request;
}

TEST(TraceOperation, ProposesEachReadingWithTheLeakThatFits) {
  const auto both = [](double current, double sync) { return fmt::format("{:.2f},{}", current, sync); };
  const auto reply = run("trace", cranked(both, "time_s,current_A,ignition_V"));
  ASSERT_TRUE(reply) << to_string(reply.problems());
  for (const Proposal& proposal : content_of<TraceReply>(*reply).proposals) {
    EXPECT_EQ(proposal.state == "level", proposal.where != "3");
    EXPECT_THAT(proposal.value, ::testing::EndsWith(" %"));
    const double extra = proposal.where == "3" ? 1e-6 : 0;
    EXPECT_NEAR(parse<Area>(proposal.area)->si(), extra, 0.3e-6) << proposal.area;
  }
}

TEST(TraceOperation, ClippedHumpsAreToldAndNothingIsProposed) {
  const auto cut = [](double current, double sync) { return fmt::format("{:.2f},{}", std::min(current, 150.0), sync); };
  const auto reply = run("trace", cranked(cut, "time_s,current_A,ignition_V"));
  ASSERT_TRUE(reply) << to_string(reply.problems());
  EXPECT_THAT(content_of<TraceReply>(*reply).notes, ::testing::Contains(HasSubstr("cut the humps off")));
  EXPECT_TRUE(content_of<TraceReply>(*reply).proposals.empty());
}

TEST(TraceOperation, ChannelsSwappedAndColumnsWithoutNumbersAreRefused) {
  const auto both = [](double current, double sync) { return fmt::format("{:.2f},{}", current, sync); };
  EXPECT_THAT(to_string(run("trace", cranked(both, "time_s,ignition_V,current_A")).problems()), HasSubstr("swapped"));
  const auto nothing = [](double, double sync) { return fmt::format("NaN,{}", sync); };
  EXPECT_THAT(to_string(run("trace", cranked(nothing, "time_s,current_A,ignition_V")).problems()), HasSubstr("holds no number"));
}

TEST(TraceOperation, AnyStretchIsDrawnAgainWithoutReading) {
  const auto reply = run("trace", asking("0117-starter.csv", {{"kind", "starter-current"}}));
  ASSERT_TRUE(reply);
  const Document window = reply->window(1, 1.5, 50);
  EXPECT_EQ(window.find("least")->array().size(), 50U);
  EXPECT_EQ(window.find("to_s")->number(), 1.5);
  EXPECT_TRUE(reply->window(9, 10, 50).find("least")->array().empty()) << "behind the end";
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
  ASSERT_EQ(shown.margins_K.size(), shown.time_s.size());
  EXPECT_NEAR(*std::min_element(shown.margins_K.begin(), shown.margins_K.end()), shown.margin_K, 1e-9) << "the peak is among what is drawn";
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

TEST(CoolantLogOperation, AFaultySensorsConstantsAreNotDrawn) {
  Request request;
  request.stream = byte_source_of("time_s,coolant_degC,pressure_bar\n0,20,0\n1,215,0\n2,21,0\n3,-40,0.1\n4,22,0.2\n");
  const auto reply = run("coolant-log", request);
  ASSERT_TRUE(reply) << to_string(reply.problems());
  const auto& shown = content_of<CoolantLogReply>(*reply);
  EXPECT_EQ(shown.temperature_degC, (std::vector<double>{20, 21, 22}));
  ASSERT_EQ(shown.margins_measured_K.size(), 3U) << "a logged pressure gives a margin of its own";
  EXPECT_GT(shown.margins_measured_K[0], shown.margins_no_cap_K[0] - 1) << "no pressure boils as without a cap";
}

}  // namespace
}  // namespace headjoint::assess
