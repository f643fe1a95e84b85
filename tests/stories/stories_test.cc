// Whole jobs, read from their files and assessed: does the finding make sense to someone who has stood under a bonnet?
// The verified outcome of each real job stands in its file. One job proves no frequency: only order and direction are asserted.
#include <gmock/gmock.h>

#include <algorithm>
#include <string>

#include "headjoint/assess/operation.h"
#include "headjoint/base/file.h"
#include "headjoint/report/terminal_text.h"

namespace headjoint {
namespace {

using testing::HasSubstr;

constexpr double kSuspected = 0.6;
constexpr double kCleared = 0.35;

assess::Reply assessed(const std::string& path) {
  const std::string full = std::string(HEADJOINT_SOURCE_DIR) + "/" + path;
  const auto document = read_toml(read_file(full), path);
  EXPECT_TRUE(document) << to_string(document.problems());
  assess::Request request;
  request.input = *document;
  request.source = path;
  request.read_beside = joint::beside_file(full);
  const auto reply = assess::find_operation("assess")->run(request);
  EXPECT_TRUE(reply) << to_string(reply.problems());
  return *reply;
}

const assess::Assessment& content(const assess::Reply& reply) { return assess::content_of<assess::Assessment>(reply); }

double chance_of(const std::vector<assess::Suspect>& suspects, const std::string& name, const std::string& where = {}) {
  double most = 0;
  for (const assess::Suspect& suspect : suspects)
    if (suspect.name == name && (where.empty() || suspect.where == where)) most = std::max(most, suspect.chance.value);
  return most;
}

TEST(Story, BreachBetweenTwoNeighboursIsNamed) {
  const auto reply = assessed("data/examples/0117-two-cylinders.toml");
  const assess::Finding& finding = content(reply).finding;
  EXPECT_GT(finding.joint_failed.value, kSuspected);
  EXPECT_EQ(finding.paths.front().name, "gas_to_neighbour");
  EXPECT_EQ(finding.paths.front().where, "2-3");
  EXPECT_LT(chance_of(finding.paths, "gas_to_neighbour", "1-2"), 0.1);
  ASSERT_EQ(content(reply).compression->pairs.size(), 1U);
  EXPECT_EQ(content(reply).compression->pairs.front().bridge, "2-3");
  ASSERT_EQ(content(reply).faces.size(), 1U);
  EXPECT_TRUE(content(reply).faces.front().is_certified);
  EXPECT_THAT(report::terminal_text(reply), HasSubstr("2 and 3"));
}

TEST(Story, GasIntoTheCoolantIsFoundAtItsCylinder) {
  const auto reply = assessed("data/examples/0118-coolant-pushed-out.toml");
  const assess::Finding& finding = content(reply).finding;
  EXPECT_GT(finding.joint_failed.value, kSuspected);
  EXPECT_EQ(finding.paths.front().name, "gas_to_coolant");
  EXPECT_EQ(finding.paths.front().where, "5");
}

TEST(Story, CreamAndAWeakCapAreNotTheJoint) {
  const auto reply = assessed("data/examples/0119-cream-under-the-cap.toml");
  const assess::Finding& finding = content(reply).finding;
  EXPECT_LT(finding.joint_failed.value, kCleared);
  EXPECT_GT(chance_of(finding.rivals, "condensation"), finding.joint_failed.value);
  EXPECT_GT(chance_of(finding.rivals, "pressure_cap"), finding.joint_failed.value);
}

// Field case F031, verified: gasket failed, combustion to coolant and coolant with oil.
TEST(Story, ColourTestWithOneLowCylinderPointsToTheCoolant) {
  const auto reply = assessed("tests/stories/f031.toml");
  const assess::Finding& finding = content(reply).finding;
  EXPECT_GT(finding.joint_failed.value, kSuspected);
  EXPECT_GT(chance_of(finding.paths, "gas_to_coolant"), chance_of(finding.paths, "gas_to_neighbour"));
  EXPECT_GT(chance_of(finding.paths, "coolant_with_oil"), 0.3);
}

// Field case R49, verified: valve seats leaking, worst on 4; the joint was sound.
TEST(Story, LeakingSeatsAreNotBlamedOnTheJoint) {
  const auto reply = assessed("tests/stories/r49.toml");
  const assess::Finding& finding = content(reply).finding;
  EXPECT_THAT(finding.sentence, testing::Not(testing::StartsWith("The head joint")));
  EXPECT_GT(chance_of(finding.rivals, "valve_leak", "4"), chance_of(finding.rivals, "valve_leak", "2"));
  // Gauges alone cannot tell rings from seats; the next checks must.
  EXPECT_THAT(content(reply).next_checks,
              testing::Contains(
                  testing::Field(&assess::NextCheck::check, testing::AnyOf("blow_by", "crankcase_pressure", "wet_test", "air_at_valve"))));
}

// Field case R90, verified: debris under a valve; the joint was sound.
TEST(Story, AirAtTheValveNamesTheValveAndLeavesTheJointAsItWas) {
  const auto reply = assessed("tests/stories/r90.toml");
  const assess::Finding& finding = content(reply).finding;
  EXPECT_THAT(finding.sentence, testing::StartsWith("Likeliest: a leaking valve in cylinder 1"));
  EXPECT_EQ(finding.rivals.front().name, "valve_leak");
  EXPECT_EQ(finding.rivals.front().where, "1");
}

}  // namespace
}  // namespace headjoint
