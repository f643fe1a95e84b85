// Whole jobs with what an experienced mechanic would say of them: the verdict on the joint, what leads, what may come next.
// tests/stories/expected.csv names for each where the inference comes from; most are common practice, no source.
#include <gtest/gtest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "headjoint/assess/operation.h"
#include "headjoint/base/csv.h"
#include "headjoint/base/file.h"
#include "headjoint/base/text.h"

namespace headjoint {
namespace {

constexpr double kFailed = 0.5;     ///< from here on the joint counts as failed
constexpr double kSound = 0.35;     ///< below, as not to blame
constexpr double kStandsOut = 0.5;  ///< a suspect that would stand out where none should

struct Expected {
  std::string job;
  std::string joint;
  std::string leading;
  std::string next;
};

std::vector<Expected> expectations() {
  const std::string path = std::string(HEADJOINT_SOURCE_DIR) + "/tests/stories/expected.csv";
  const auto table = read_csv(read_file(path), path);
  EXPECT_TRUE(table) << to_string(table.problems());
  std::vector<Expected> rows;
  for (const auto& row : table->rows) rows.push_back({row.at(0), row.at(1), row.at(2), row.at(3)});
  return rows;
}

assess::Assessment assessed(const std::string& name) {
  const std::string path = std::string(HEADJOINT_SOURCE_DIR) + "/tests/stories/vignettes/" + name + ".toml";
  const auto document = read_toml(read_file(path), path);
  EXPECT_TRUE(document) << to_string(document.problems());
  assess::Request request;
  request.input = *document;
  request.source = path;
  request.read_beside = joint::beside_file(path);
  const auto reply = assess::find_operation("assess")->run(request);
  EXPECT_TRUE(reply) << to_string(reply.problems());
  return assess::content_of<assess::Assessment>(*reply);
}

std::string name_of(const assess::Suspect& suspect) { return suspect.name + (suspect.where.empty() ? "" : "@" + suspect.where); }

/// The likeliest path or rival that the evidence has raised.
assess::Suspect leading(const assess::Finding& finding) {
  assess::Suspect best;
  for (const auto* list : {&finding.paths, &finding.rivals})
    for (const assess::Suspect& suspect : *list)
      if (suspect.chance.value > best.chance.value && suspect.chance.value > suspect.before) best = suspect;
  return best;
}

void expect_leading(const Expected& expected, const assess::Finding& finding) {
  if (expected.leading.starts_with("any_")) {
    ASSERT_FALSE(finding.kinds.empty());
    EXPECT_EQ(finding.kinds.front().name, expected.leading);
    return;
  }
  for (const assess::Suspect& cause : finding.causes)
    if (cause.name == expected.leading) {
      EXPECT_EQ(finding.causes.front().name, expected.leading);
      return;
    }
  const assess::Suspect first = leading(finding);
  if (expected.leading.empty()) {
    EXPECT_LT(first.chance.value, kStandsOut) << name_of(first);
    return;
  }
  const bool with_place = expected.leading.find('@') != std::string::npos;
  EXPECT_EQ(with_place ? name_of(first) : first.name, expected.leading) << first.chance.value;
}

TEST(Vignettes, SayWhatAnExperiencedMechanicWould) {
  const auto rows = expectations();
  EXPECT_GE(rows.size(), 25U);
  for (const Expected& expected : rows) {
    SCOPED_TRACE(expected.job);
    const assess::Assessment assessment = assessed(expected.job);
    const assess::Finding& finding = assessment.finding;
    ASSERT_EQ(finding.status, "done");
    if (expected.joint == "failed") {
      EXPECT_GE(finding.joint_failed.value, kFailed) << finding.sentence;
    }
    if (expected.joint == "sound") {
      EXPECT_LT(finding.joint_failed.value, kSound) << finding.sentence;
    }
    expect_leading(expected, finding);
    const std::string next = assessment.next_checks.empty() ? "stop" : assessment.next_checks.front().check;
    const auto allowed = split(expected.next, '|');
    EXPECT_NE(std::find(allowed.begin(), allowed.end(), next), allowed.end()) << next << " is not among " << expected.next;
  }
}

TEST(Vignettes, AdviceWaitsWhileACheckCouldTurnIt) {
  for (const Expected& expected : expectations()) {
    SCOPED_TRACE(expected.job);
    const assess::Assessment assessment = assessed(expected.job);
    if (assessment.next_checks.empty() && assessment.packs.empty()) {
      EXPECT_NE(assessment.stop, "");
    } else {
      EXPECT_EQ(assessment.stop, "");
    }
    for (const assess::RepairOption& option : assessment.options) EXPECT_EQ(option.is_advised, option.advice == "advised");
    for (const assess::NextCheck& check : assessment.next_checks) {
      double sum = 0;
      double mean = 0;
      for (const assess::CheckOutcome& outcome : check.outcomes) {
        sum += outcome.probability;
        mean += outcome.probability * outcome.joint_failed;
      }
      constexpr double kLeftOut = 0.02;  // outcomes too unlikely to be listed
      EXPECT_NEAR(sum, 1, kLeftOut);
      EXPECT_NEAR(mean, assessment.finding.joint_failed.value, kLeftOut);
    }
  }
}

}  // namespace
}  // namespace headjoint
