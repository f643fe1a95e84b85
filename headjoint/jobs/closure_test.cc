#include "headjoint/jobs/closure.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "headjoint/jobs/job_file.h"

namespace headjoint::jobs {
namespace {

using testing::HasSubstr;

const std::string kHead = "format = 1\n[engine]\nformat = 1\nname = \"x\"\n[engine.engine]\ncylinders = 4\nlayout = \"inline\"\n";

Result<Job> read(const std::string& rest) { return read_job_text(kHead + rest, "job.toml", joint::nothing_beside()); }

TEST(Closure, ReadsAndWritesBack) {
  const auto job = read(
      "[closure]\nverified = \"head off\"\nwhen = \"2026-03-02\"\nminutes = 640\ncost = 820.5\n[[closure.found]]\ncause = "
      "\"gas_to_neighbour\"\nwhere = \"2-3\"\n[[closure.found]]\ncause = \"thermostat\"\n");
  ASSERT_TRUE(job.has_value()) << to_string(job.problems());
  ASSERT_TRUE(job->closure.has_value());
  EXPECT_TRUE(job->closure->is_verified());
  ASSERT_EQ(job->closure->found.size(), 2u);
  EXPECT_EQ(job->closure->found[0].where, "2-3");
  EXPECT_EQ(job->closure->minutes, 640);
  const auto again = read_job(write_job(*job), joint::nothing_beside());
  ASSERT_TRUE(again.has_value()) << to_string(again.problems());
  EXPECT_EQ(write_job(*again), write_job(*job));
}

TEST(Closure, AnOpenJobHasNone) { EXPECT_FALSE(read("").value().closure.has_value()); }

TEST(Closure, NothingFoundIsAFinding) {
  const auto job = read("[closure]\nverified = \"repair proved\"\n");
  ASSERT_TRUE(job.has_value());
  EXPECT_TRUE(job->closure->found.empty());
}

TEST(Closure, MustSayHowItWasVerified) {
  const auto job = read("[closure]\nminutes = 3\n");
  ASSERT_FALSE(job.has_value());
  EXPECT_THAT(to_string(job.problems()), HasSubstr("verified"));
}

TEST(Closure, RefusesPlacesThatAreNotThereAndCausesNamedTwice) {
  const auto job = read(
      "[closure]\nverified = \"guess\"\nminutes = -1\n[[closure.found]]\ncause = \"gas_to_coolant\"\nwhere = "
      "\"7\"\n[[closure.found]]\ncause "
      "= \"cap\"\n[[closure.found]]\ncause = \"cap\"\n");
  ASSERT_FALSE(job.has_value());
  const std::string said = to_string(job.problems());
  EXPECT_THAT(said, HasSubstr("head off, pressure test, repair proved, not verified"));
  EXPECT_THAT(said, HasSubstr("no place \"7\""));
  EXPECT_THAT(said, HasSubstr("found twice"));
  EXPECT_THAT(said, HasSubstr("minutes"));
}

}  // namespace
}  // namespace headjoint::jobs
