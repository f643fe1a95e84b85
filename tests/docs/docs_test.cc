// Undocumented means failing: the reference page is made from the operation table, cautions stand where they belong.
#include <gmock/gmock.h>

#include <set>
#include <string>

#include "headjoint/assess/knowledge.h"
#include "headjoint/assess/operation.h"
#include "headjoint/base/error.h"
#include "headjoint/base/file.h"
#include "headjoint/jobs/job_file.h"
#include "headjoint/report/joint_plan.h"
#include "headjoint/report/terminal_text.h"

namespace headjoint {
namespace {

std::string reference_page() {
  std::string page =
      "# Operations\n"
      "Made from the operation table by the test `OperationReference`; `--json` prints one object with `schema_version`, and "
      "`POST /api/v1/OPERATION` answers the same. Exit codes: 0 done, 1 done and the answer is no, 64 usage, 65 bad input, 66 no such "
      "file, 69 unavailable, 70 internal, 74 input/output, 75 busy, 78 configuration. `papers JOB -o DIR` writes the pages of a job, "
      "`serve` opens the workbench.\n";
  for (const assess::Operation& operation : assess::operations()) {
    page += "\n## " + std::string(operation.name) + (operation.argument.empty() ? "" : " " + std::string(operation.argument)) + "\n";
    page += std::string(operation.summary) + ".\n";
    if (!operation.options.empty()) page += "\n| option | value | |\n|---|---|---|\n";
    for (const assess::OptionSpec& option : operation.options) {
      page += "| `--" + std::string(option.name) + "` | " + std::string(option.value) + " | " + std::string(option.help) + " |\n";
    }
    page += "\nKeys: `" + std::string(operation.keys) + "`\n";
  }
  return page;
}

TEST(OperationReference, IsWhatTheTableSays) {
  const std::string folder = std::string(HEADJOINT_SOURCE_DIR) + "/docs/";
  std::string kept;
  try {
    kept = read_file(folder + "operations.md");
  } catch (const EnvironmentError&) {
  }
  if (kept != reference_page()) write_file(folder + "operations-changed.md", reference_page());
  EXPECT_EQ(kept, reference_page()) << "compare docs/operations-changed.md and move it over docs/operations.md";
}

assess::Reply demo() {
  const std::string path = std::string(HEADJOINT_SOURCE_DIR) + "/data/examples/0117-two-cylinders.toml";
  assess::Request request;
  request.input = *read_toml(read_file(path), path);
  request.source = path;
  request.read_beside = joint::beside_file(path);
  return *assess::find_operation("assess")->run(request);
}

/// Text between the n-th pair of ``` lines after `start`.
std::string block_after(const std::string& page, const std::string& start, int n) {
  std::size_t from = page.find(start);
  EXPECT_NE(from, std::string::npos);
  for (int i = 0; i < n; ++i) from = page.find("```", page.find("```\n", from) + 4) + 3;
  from = page.find("```\n", from) + 4;
  return page.substr(from, page.find("```", from) - from);
}

TEST(Readme, ShowsTheRealOutputAndTheRealPicture) {
  const std::string source = HEADJOINT_SOURCE_DIR;
  const std::string page = read_file(source + "/README.md");
  const assess::Reply reply = demo();
  const std::string output = report::terminal_text(reply);
  EXPECT_TRUE(output.starts_with(block_after(page, "## One engine, worked", 0))) << output;
  const std::string shortened = block_after(page, "## One engine, worked", 1);
  for (std::size_t at = 0; at < shortened.size();) {  // every paragraph of it stands in the output
    const std::size_t end = std::min(shortened.find("\n\n", at), shortened.size());
    EXPECT_THAT(output, testing::HasSubstr(shortened.substr(at, end - at)));
    at = end + 2;
  }
  const auto& assessment = assess::content_of<assess::Assessment>(reply);
  const std::string picture = report::breach_plan_svg(assessment.job.engine, assessment.finding) + "\n";
  const std::string kept = source + "/docs/pictures/0117-breach";
  std::string drawn;
  try {
    drawn = read_file(kept + ".svg");
  } catch (const EnvironmentError&) {
  }
  if (drawn != picture) write_file(kept + "-changed.svg", picture);
  EXPECT_EQ(drawn, picture) << "look at docs/pictures/0117-breach-changed.svg and move it over the old one";
}

// The hazards are common practice, no source; the test holds the data to what a careful foreman would say before each of these checks.
TEST(Cautions, EveryHazardousCheckHasItsOwn) {
  const std::map<std::string, std::string> needed = {
      {"compression", "cranking"},           {"leak_down", "air_turns_crank"},        {"wet_test", "cranking"},
      {"starter_current", "cranking"},       {"colour_test", "hot_coolant"},          {"gas_reading", "hot_coolant"},
      {"pressure_hold", "over_pressure"},    {"cold_rise", "moving_parts"},           {"bubbles", "hot_coolant"},
      {"air_in_coolant", "air_turns_crank"}, {"air_at_neighbour", "air_turns_crank"}, {"head_face", "head_lift"},
      {"overnight_hold", "liquid_lock"},     {"thermostat_test", "hot_coolant"},      {"release_torque", "stretched_bolts"},
      {"crackle", "hot_oil_drop"},
  };
  const diagnosis::Pattern& pattern = assess::head_joint_pattern();
  for (const auto& [check, caution] : needed) {
    const int row = pattern.finding(check);
    ASSERT_GE(row, 0) << check;
    const diagnosis::Finding& finding = pattern.findings[static_cast<std::size_t>(row)];
    std::set<std::string> ids(finding.cautions.begin(), finding.cautions.end());
    if (const int set_up = pattern.set_up(finding.set_up); set_up >= 0) {
      const auto& more = pattern.set_ups[static_cast<std::size_t>(set_up)].cautions;
      ids.insert(more.begin(), more.end());
    }
    EXPECT_TRUE(ids.contains(caution)) << check << " needs the caution " << caution;
  }
}

TEST(Cautions, EveryIdNamedExistsAndLevelsAreTheFourWords) {
  for (const assess::Caution& caution : assess::cautions()) {
    EXPECT_THAT(caution.level, testing::AnyOf("DANGER", "WARNING", "CAUTION", "NOTICE")) << caution.id;
    EXPECT_FALSE(caution.avoid.empty() || caution.hazard.empty() || caution.consequence.empty() || caution.source.empty()) << caution.id;
  }
  for (const diagnosis::Finding& finding : assess::head_joint_pattern().findings)
    EXPECT_NO_THROW((void)assess::cautions_of(finding.cautions)) << finding.name;
  for (const diagnosis::SetUp& set_up : assess::head_joint_pattern().set_ups)
    EXPECT_NO_THROW((void)assess::cautions_of(set_up.cautions)) << set_up.name;
}

TEST(Decisions, EveryOneHasWords) {
  for (const diagnosis::Cause& cause : assess::head_joint_pattern().causes) {
    EXPECT_TRUE(cause.decision.empty() || assess::has_decision_text(cause.decision)) << cause.decision;
  }
}

TEST(Page, AsksForEveryFactOfTheHistory) {
  const std::string page = read_file(std::string(HEADJOINT_SOURCE_DIR) + "/web/src/logic/history_facts.ts");
  for (const std::string& fact : jobs::history_facts()) EXPECT_THAT(page, testing::HasSubstr("'" + fact + "'"));
}

}  // namespace
}  // namespace headjoint
