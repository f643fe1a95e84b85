#include "headjoint/diagnosis/pattern.h"

#include <gtest/gtest.h>

#include <filesystem>

#include "headjoint/base/file.h"
#include "headjoint/diagnosis/testing/sample_pattern.h"

namespace headjoint::diagnosis {
namespace {

/// The sample with one piece of text put in the place of another.
PatternTexts changed(TableText PatternTexts::*table, const std::string& from, const std::string& to) {
  PatternTexts texts = testing::sample_texts();
  std::string& text = (texts.*table).text;
  const std::size_t at = text.find(from);
  require(at != std::string::npos, "the sample has no such text");
  text.replace(at, from.size(), to);
  return texts;
}

/// The problems must name this file and line, and hold this text.
void expect_problem(const PatternTexts& texts, const std::string& source, int line, const std::string& what) {
  const auto read = read_pattern(texts);
  ASSERT_FALSE(read) << what;
  const std::string all = to_string(read.problems());
  EXPECT_NE(all.find(what), std::string::npos) << all;
  bool placed = false;
  for (const Problem& problem : read.problems())
    placed = placed || (problem.place.source == source && (line == 0 || problem.place.line == line));
  EXPECT_TRUE(placed) << all;
}

TEST(Pattern, TheSampleIsRead) {
  const auto read = read_pattern(testing::sample_texts());
  ASSERT_TRUE(read) << to_string(read.problems());
  EXPECT_EQ(read->causes.size(), 22U);
  EXPECT_EQ(read->causes[static_cast<std::size_t>(read->cause("gas_next"))].scope, "bridge");
  const Finding& colour = read->findings[static_cast<std::size_t>(read->finding("colour"))];
  EXPECT_EQ(colour.states, (std::vector<std::string>{"none", "partial", "full"}));
  EXPECT_EQ(colour.false_positive, (std::vector<double>{.02, .005}));
  EXPECT_EQ(colour.cautions, std::vector<std::string>{"hot"});
  EXPECT_EQ(read->set_up("plugs"), 1);
}

TEST(Pattern, AskedStrengthIsMadeNet) {
  const Pattern pattern = read_pattern(testing::sample_texts()).value();
  for (const Link& link : pattern.links)
    if (link.effect == "told") {
      EXPECT_NEAR(link.strength[0], (.6 - .02) / (1 - .02), 1e-15);
    }
}

TEST(Pattern, EveryMistakeIsToldWithFileAndLine) {
  using T = PatternTexts;
  expect_problem(changed(&T::causes, "cap,a weak cap,rival", "cap,a weak cap,riwal"), "causes.csv", 20, "did you mean \"rival\"");
  expect_problem(changed(&T::causes, "0.07,10", "0.7,10"), "causes.csv", 20, "chance is out of range");
  expect_problem(changed(&T::causes, "0.07,10", "nan,10"), "causes.csv", 20, "chance is not a number");
  expect_problem(changed(&T::causes, "cap,test", "cap,"), "causes.csv", 20, "basis is empty");
  expect_problem(changed(&T::causes, "cap,a weak", "thermostat,a weak"), "causes.csv", 20, "stands twice");
  expect_problem(changed(&T::causes, "rival,engine,0.07", "rival,motor,0.07"), "causes.csv", 20, "unknown scope");
  expect_problem(changed(&T::causes, "any,engine,0,0", "any,engine,0.1,0"), "causes.csv", 14, "no chance of its own");
  expect_problem(changed(&T::causes, "left_minutes", "left_minuts"), "causes.csv", 1, "did you mean \"left_minutes\"");
  expect_problem(changed(&T::findings, "warm", "worm"), "findings.csv", 8, "did you mean \"warm\"");
  expect_problem(changed(&T::findings, "0.02|0.005", "0.005|0.02"), "findings.csv", 9, "rises");
  expect_problem(changed(&T::findings, "0.02|0.005", "0.02"), "findings.csv", 9, "wrong count of numbers");
  expect_problem(changed(&T::findings, "0.95|0.04|0.01", "0.95|0.04|0.02"), "findings.csv", 13, "confusion row");
  expect_problem(changed(&T::findings, ",leak,0.95", ",leek,0.95"), "findings.csv", 13, "did you mean \"leak\"");
  expect_problem(changed(&T::links, "cap,hot,0.1", "cap,hott,0.1"), "links.csv", 39, "did you mean \"hot\"");
  expect_problem(changed(&T::links, "cap,hot,0.1", "cap,hot,1.1"), "links.csv", 39, "strength is out of range");
  expect_problem(changed(&T::links, "cap,hot,0.1", "thermostat,hot,0.1"), "links.csv", 39, "stands twice");
  expect_problem(changed(&T::links, "told,0.6,asked", "told,0.01,asked"), "links.csv", 44, "below the leak");
  expect_problem(changed(&T::links, "cap,cap_test", "cap,loss"), "findings.csv", 10, "nothing causes \"cap_test\"");
  expect_problem(changed(&T::contexts, "iron,face_out", "iron,face_ouch"), "contexts.csv", 2, "did you mean \"face_out\"");
  expect_problem(changed(&T::contexts, "iron,face_out,0.3", "iron,face_out,-1"), "contexts.csv", 2, "factor is out of range");
}

TEST(Pattern, CyclesAreFound) {
  PatternTexts texts = testing::sample_texts();
  texts.links.text += "weak_water,overheated,0.1,net,test,\n";
  expect_problem(texts, "links.csv", 0, "cycle");
}

TEST(Pattern, RubbishIsRefusedWithoutACrash) {
  PatternTexts texts = testing::sample_texts();
  texts.links.text = "";
  EXPECT_FALSE(read_pattern(texts));
  texts = testing::sample_texts();
  texts.findings.text = std::string("name,\0text", 10);
  EXPECT_FALSE(read_pattern(texts));
  texts = testing::sample_texts();
  texts.causes.text = texts.links.text;
  EXPECT_FALSE(read_pattern(texts));
}

TEST(Pattern, TheShippedPatternIsSound) {
  const std::string folder = std::string(HEADJOINT_SOURCE_DIR) + "/data/networks/head_joint/";
  if (!std::filesystem::exists(folder + "causes.csv")) GTEST_SKIP() << "skipped: no network data";
  const auto table = [&](const std::string& name) { return TableText{read_file(folder + name), name}; };
  const auto read = read_pattern({table("causes.csv"),
                                  table("findings.csv"),
                                  table("setups.csv"),
                                  table("links.csv"),
                                  table("contexts.csv"),
                                  {"engine", "head", "cylinder", "bridge"}});
  EXPECT_TRUE(read) << to_string(read.problems());
}

TEST(Instances, PlacesAndContextsShapeTheNetwork) {
  const Pattern pattern = read_pattern(testing::sample_texts()).value();
  const InstanceNetwork network = build(pattern, testing::line_of_cylinders(4, 2), {"iron", "new_gasket"});
  EXPECT_EQ(network.find("gas_water@1"), -1);  // not "cooled"
  EXPECT_EQ(network.find("gas_next", "2-3"), -1);
  ASSERT_GE(network.find("gas_next", "3-4"), 0);
  EXPECT_EQ(network.text(static_cast<std::size_t>(network.find("gas_next@3-4"))), "gas between cylinders 3 and 4");
  EXPECT_DOUBLE_EQ(network.instances[static_cast<std::size_t>(network.find("face_out@1"))].leak[0], .08 * .3);
  EXPECT_DOUBLE_EQ(network.instances[static_cast<std::size_t>(network.find("low_clamp@2"))].leak[0], kChanceCap);
  for (std::size_t i = 0; i < network.instances.size(); ++i)
    for (const Influence& influence : network.instances[i].parents) EXPECT_LT(influence.parent, i);
  const Instance& next = network.instances[static_cast<std::size_t>(network.find("gas_next@3-4"))];
  ASSERT_EQ(next.parents.size(), 1U);
  EXPECT_EQ(network.instances[next.parents[0].parent].name, "weak_bridge@2");
}

}  // namespace
}  // namespace headjoint::diagnosis
