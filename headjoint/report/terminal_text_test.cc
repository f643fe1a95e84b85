#include "headjoint/report/terminal_text.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <limits>

#include "headjoint/base/text.h"
#include "headjoint/report/internal/invented_jobs.h"

namespace headjoint::report {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;
using ::testing::StartsWith;

std::string shown(assess::Content content, const TerminalStyle& style = {}) {
  assess::Reply reply;
  reply.content = std::move(content);
  return terminal_text(reply, style);
}

/// Every kind of answer once.
std::vector<assess::Content> all_contents() {
  assess::NetworkReply network;
  network.status = "done";
  network.log_evidence = -4.2;
  network.posteriors = {
      {"lung_shadow_with_a_name_longer_than_any_line_of_a_terminal_" + std::string(80, 'x'), {{"yes", 0.25}, {"no", 0.75}}}};
  assess::CheckReply check;
  check.kind = "engine";
  check.problems = {{{"a_rather_long_path/to/an/engine_file.toml", 3, 7, ""},
                     "\"bor\" is not known here",
                     "bore, stroke, rod_length",
                     "did you mean \"bore\"?",
                     Problem::Severity::kError}};
  assess::Question question;
  question.name = "colour_test";
  question.question = "Does the test liquid change colour over the filler neck?";
  question.states = {"none", "partial", "full"};
  question.cautions = {invented::cranking()};
  return {invented::assessment(),
          assess::FindingReply{invented::assessment()},
          assess::NextCheckReply{invented::assessment()},
          assess::FlatnessReply{invented::mapped_face(), {}},
          invented::straightedge(),
          invented::skim(),
          assess::LeakDownReply{invented::leak_down()},
          invented::compression(),
          network,
          invented::after_skim(),
          invented::shims(),
          check,
          assess::QuestionsReply{{question}}};
}

TEST(TerminalText, NoLineIsWiderThanAsked) {
  for (const std::size_t width : {40U, 80U, 120U}) {
    for (const assess::Content& content : all_contents()) {
      const std::string text = shown(content, {.width = width, .bold = false});
      for (const std::string_view line : split(text, '\n')) EXPECT_LE(width_of(line), width) << line;
      EXPECT_THAT(text, Not(HasSubstr("nan")));
      EXPECT_THAT(text, Not(HasSubstr("\x1b")));
    }
  }
}

TEST(TerminalText, LongAndHostileTextsKeepTheWidthToo) {
  assess::Assessment all = invented::assessment();
  all.job.title = std::string(300, 'w') + "\x1b[2J";
  all.finding.sentence = std::string(200, 'z') + " \xE2\x80\xAE sentence";
  all.finding.paths[0].text = std::string(150, 'p');
  all.finding.for_and_against[0].words = std::string(90, 'q');
  all.next_checks[0].text = std::string(150, 'c');
  all.leak_down->cylinders[0].status = std::string(150, 's');
  const std::string text = shown(all);
  for (const std::string_view line : split(text, '\n')) EXPECT_LE(width_of(line), 80U) << line;
  EXPECT_THAT(text, Not(HasSubstr("\x1b")));
}

TEST(TerminalText, TheVerdictStandsFirst) {
  EXPECT_THAT(shown(invented::assessment()), StartsWith("The joint has very probably failed between cylinders 2 and 3."));
  EXPECT_THAT(shown(assess::FindingReply{invented::assessment()}), StartsWith("The joint has very probably failed"));
}

TEST(TerminalText, EveryCheckFollowsItsCautions) {
  const std::string text = shown(assess::NextCheckReply{invented::assessment()});
  EXPECT_LT(text.find("WARNING before check 1: Cranking engine."), text.find("1. Look into cylinder 2 with a camera"));
  EXPECT_LT(text.find("WARNING before check 2: Stretched bolts can break."), text.find("2. Note the torque"));
  EXPECT_LT(text.find("1. Look"), text.find("WARNING before check 2"));
}

TEST(TerminalText, WhereverAProbabilityIsShownItSaysWhatItRestsOn) {
  EXPECT_THAT(shown(invented::assessment()), HasSubstr(std::string(assess::kBasis)));
  EXPECT_THAT(shown(assess::FindingReply{invented::assessment()}), HasSubstr(std::string(assess::kBasis)));
  EXPECT_THAT(shown(assess::NextCheckReply{invented::assessment()}), HasSubstr(std::string(assess::kBasis)));
}

TEST(TerminalText, AFindingThatDidNotComeAboutShowsNoChances) {
  for (const std::string status : {"impossible", "inaccurate", "too large", "", "not run"}) {
    assess::Assessment all = invented::assessment();
    all.finding.status = status;
    const std::string text = shown(assess::FindingReply{all});
    EXPECT_THAT(text, Not(HasSubstr("SEAL PATHS"))) << status;
    EXPECT_THAT(text, Not(HasSubstr("leaks anywhere"))) << status;
  }
}

TEST(TerminalText, LinesSayWhatTheyCannotHaveSeenAndWhatWouldSettleIt) {
  const std::string text = shown(invented::straightedge());
  EXPECT_THAT(text, StartsWith("Undecided: flatness deviation 0.030 mm or more"));
  EXPECT_THAT(text, HasSubstr("cannot have seen"));
  EXPECT_THAT(text, HasSubstr("a twist"));
  EXPECT_THAT(text, HasSubstr("both diagonals"));
}

TEST(TerminalText, ACutSaysWhatItRestsOnAndWhatToCheckFirst) {
  const std::string text = shown(invented::skim());
  EXPECT_THAT(text, HasSubstr("nobody measured"));
  EXPECT_THAT(text, HasSubstr("1. [ ] hardness"));
  EXPECT_THAT(text, HasSubstr("leaves these places uncut"));
  EXPECT_THAT(text, Not(HasSubstr("nan")));
}

TEST(TerminalText, ReadingsTellWhatTheTestCouldNotHaveShown) {
  EXPECT_THAT(shown(assess::LeakDownReply{invented::leak_down()}), HasSubstr("smaller than 0.012 mm² could"));
  EXPECT_THAT(shown(invented::compression()), HasSubstr("smaller than 0.30 mm² could"));
}

TEST(TerminalText, AReadingThatWasNotTakenShowsNoFigure) {
  const std::string text = shown(assess::LeakDownReply{invented::leak_down()});
  const auto at = text.find("\n    4");
  ASSERT_NE(at, std::string::npos);
  const std::string line = text.substr(at + 1, text.find('\n', at + 1) - at - 1);
  EXPECT_EQ(line.find_first_of("0123456789.", 5), std::string::npos) << line;
}

TEST(TerminalText, TheTemplateGoesOutAsItIs) {
  EXPECT_EQ(shown(assess::NewReply{"format = 1\n# " + std::string(120, '-') + "\n"}), "format = 1\n# " + std::string(120, '-') + "\n");
}

TEST(TerminalText, AWarningGivenTwiceIsShownOnce) {
  assess::Reply reply;
  assess::Assessment all = invented::assessment();
  reply.warnings = all.warnings;
  reply.content = all;
  const std::string text = terminal_text(reply);
  EXPECT_EQ(text.find("no resolution given"), text.rfind("no resolution given"));
}

TEST(TerminalText, BoldOnlyWhenAsked) {
  EXPECT_THAT(shown(invented::assessment(), {.width = 80, .bold = true}), HasSubstr("\x1b[1mThe joint has"));
}

TEST(TerminalText, NumbersThatAreNoneAreNeverShown) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  assess::Assessment all = invented::assessment();
  all.finding.joint_failed = {nan, nan, nan};
  all.finding.paths[0].chance = {nan, nan, nan};
  all.leak_down->cylinders[0].leak_area_mm2 = nan;
  all.next_checks[0].net_value = nan;
  all.next_checks[0].minutes = nan;
  all.options[0].left = std::numeric_limits<double>::infinity();
  const std::string text = shown(all);
  EXPECT_THAT(text, Not(HasSubstr("nan")));
  EXPECT_THAT(text, Not(HasSubstr("inf ")));
}

TEST(CutText, ShowsBeforeAfterLimitVerdictAndWhatRestores) {
  const std::string text = shown(invented::after_skim());
  for (const char* part : {"Out of limit: squish height.", "OUT OF LIMIT", "near the limit", "cannot say", "no limit given", "min 0.80",
                           "missing valves.intake.gap_at_dead_centre", "limits.squish_least", "Both banks must lose the same."})
    EXPECT_THAT(text, HasSubstr(part));
  EXPECT_THAT(text, HasSubstr("A gasket of 1.26 mm or more")) << "rounded away from the limit";
  EXPECT_THAT(text, HasSubstr("A gasket of 1.35 mm clamped puts back as it was: squish height"));
}

TEST(ShimText, ShowsWhichShimGoesWhereAndWhatToBuy) {
  const std::string text = shown(invented::shims());
  for (const char* part :
       {"1 valve cannot be brought inside", "Buy: 1 x 2.525 mm.", "2 x 2.45 mm", "not measured", "OUT OF LIMIT", "stays"})
    EXPECT_THAT(text, HasSubstr(part));
}

}  // namespace
}  // namespace headjoint::report
