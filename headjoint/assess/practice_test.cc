#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <map>

#include "headjoint/assess/operation.h"
#include "headjoint/assess/practice_game.h"
#include "headjoint/assess/results_practice.h"

namespace headjoint::assess {
namespace {

using testing::HasSubstr;

constexpr double kExact = 1e-9;
constexpr std::uint64_t kSeedsPerWholeLook = 20;

Result<Reply> ask(std::uint64_t seed, const std::string& level, const std::string& moves) {
  Request request;
  request.options = {{"seed", std::to_string(seed)}, {"level", level}, {"moves", moves}};
  return find_operation("practice")->run(request);
}

PracticeAnswer play(std::uint64_t seed, const std::string& level, const std::string& moves) {
  auto reply = ask(seed, level, moves);
  EXPECT_TRUE(reply.has_value()) << to_string(reply.problems());
  return reply ? content_of<PracticeAnswer>(*reply) : PracticeAnswer{};
}

/// What every look showed, whatever the order.
std::map<std::string, std::string> answers_of(const PracticeAnswer& state) {
  std::map<std::string, std::string> answers;
  for (const PracticeMove& move : state.moves)
    for (const PracticeLook& look : move.looks) answers[look.check + "@" + look.where] = look.answer;
  return answers;
}

TEST(PracticeEngine, FitsItsLevelForEverySeedOfAClass) {
  for (const PracticeLevel level : kPracticeLevels) {
    for (std::uint64_t seed = 0; seed <= 200; ++seed) {
      SCOPED_TRACE(std::string(name_of(level)) + " " + std::to_string(seed));
      const PracticeEngine engine = practice_engine(seed, level);
      std::size_t paths = 0;
      std::set<std::string> decisions;
      for (const std::size_t fault : engine.faults) {
        if (engine.network.cause(fault).layer == diagnosis::Layer::kPath) ++paths;
        decisions.insert(engine.network.cause(fault).decision);
      }
      ASSERT_FALSE(engine.faults.empty());
      EXPECT_TRUE(level != PracticeLevel::kOne || engine.faults.size() == 1);
      EXPECT_TRUE(level != PracticeLevel::kMisleading || paths == engine.faults.size());
      EXPECT_TRUE(level != PracticeLevel::kTwo || (paths > 0 && decisions.size() == 2));
      EXPECT_TRUE(level != PracticeLevel::kFalseAlarm || paths == 0);
      if (seed % kSeedsPerWholeLook != 0) continue;  // every check of an engine takes a while
      PracticeGame game(engine);
      const std::vector<std::size_t> checks = practice_checks(engine.network);
      for (const std::size_t row : checks)
        if (game.refusal(row).empty()) (void)game.look(row, places_of_finding(engine.network, row), "");
      EXPECT_FALSE(game.observations().empty());
      EXPECT_GT(game.minutes(), 300);
    }
  }
}

TEST(Practice, TheTruthStaysHiddenUntilAFaultIsNamed) {
  for (const PracticeLevel level : kPracticeLevels) {
    const auto reply = ask(7, std::string(name_of(level)), "compression; leak-down; bubbles; colour-test; pressure-hold");
    ASSERT_TRUE(reply.has_value());
    EXPECT_TRUE(reply->document.find("score")->is_null());
    const std::string said = write_json(reply->document);
    for (const char* word : {"truth", "policy", "learner", "lessons", "\"fault\":", "cylinder_leak", "posterior", "chance"})
      EXPECT_EQ(said.find(word), std::string::npos) << word;
    // What can be named, and what is on offer, is the same for another fault in the same engine.
    const auto other = ask(7, level == PracticeLevel::kOne ? "two" : "one", "");
    EXPECT_EQ(*reply->document.find("names"), *other->document.find("names"));
  }
}

TEST(Practice, AnswersDoNotDependOnTheOrderOfBuying) {
  const PracticeAnswer one = play(23, "two", "compression; leak-down 2; bubbles; cap-test; leak-down; colour-test; misfire");
  const PracticeAnswer other = play(23, "two", "misfire; colour-test; leak-down; cap-test; bubbles; leak-down 2; compression");
  EXPECT_EQ(answers_of(one), answers_of(other));
  EXPECT_NEAR(one.minutes, other.minutes, kExact);
}

TEST(Practice, TheSameSeedIsTheSameEngine) {
  EXPECT_EQ(ask(5, "one", "compression; camera 1")->document, ask(5, "one", "compression; camera 1")->document);
}

TEST(Practice, ASetUpIsPaidOnce) {
  const PracticeAnswer both = play(2, "one", "plug-washed 1; camera 1");
  const PracticeAnswer first = play(2, "one", "plug-washed 1");
  const PracticeAnswer second = play(2, "one", "camera 1");
  EXPECT_NEAR(first.minutes + second.minutes - both.minutes, 25, kExact);  // plugs out, setups.csv
  EXPECT_NEAR(play(2, "one", "camera 1; camera 1").minutes, second.minutes, kExact);
}

TEST(Practice, NamingTheTruthIsRight) {
  for (const PracticeLevel level : kPracticeLevels) {
    const PracticeEngine engine = practice_engine(7, level);
    std::string naming;
    for (const std::size_t fault : engine.faults)
      naming += (naming.empty() ? "name " : ", ") + engine.network.cause(fault).name + " " + engine.network.place(fault);
    const PracticeAnswer over = play(7, std::string(name_of(level)), "bubbles; " + naming);
    ASSERT_TRUE(over.score.has_value());
    EXPECT_THAT(over.score->sentence, HasSubstr("Right."));
    EXPECT_NEAR(over.score->learner.left_minutes, 0, kExact);
    for (const PracticeJudgement& judged : over.score->learner.judged) EXPECT_EQ(judged.words, "right");
    EXPECT_EQ(over.score->truth.size(), engine.faults.size());
  }
}

TEST(Practice, NamingNothingLosesWhatIsLeftIn) {
  const PracticeAnswer over = play(7, "two", "name nothing");
  ASSERT_TRUE(over.score.has_value());
  EXPECT_NEAR(over.score->learner.check_minutes + over.score->learner.repair_minutes, 0, kExact);
  double left = 0;
  for (const PracticeJudgement& judged : over.score->learner.judged) left += judged.left_minutes;
  EXPECT_GT(left, 0);
  EXPECT_NEAR(over.score->learner.left_minutes, left, kExact);
}

TEST(Practice, TheBestDecisionOnTheEvidenceIsNeverWorseThanTheNamed) {
  for (std::uint64_t seed = 0; seed < 6; ++seed) {
    const PracticeAnswer over = play(seed, "misleading", "compression; name joint");
    EXPECT_LE(over.score->best_decision, over.score->expected_decision + kExact);
  }
}

TEST(Practice, OnceTheHeadIsOffNothingCanBeRunAnyMore) {
  const auto reply = ask(3, "one", "head-face; bubbles");
  ASSERT_FALSE(reply.has_value());
  EXPECT_THAT(to_string(reply.problems()), HasSubstr("the head is off"));
}

TEST(Practice, RefusesMovesThatCannotBeWithAllReasons) {
  const auto reply = ask(7, "one", "compresion; leak-down 9; 999; name joint 2-9; bubbles");
  ASSERT_FALSE(reply.has_value());
  const std::string said = to_string(reply.problems());
  for (const char* part :
       {"did you mean \"compression\"", "not done at \"9\"", "no check 999", "cannot be at \"2-9\"", "after the fault was named"})
    EXPECT_THAT(said, HasSubstr(part));
  EXPECT_FALSE(ask(7, "hard", "").has_value());
  Request request;
  request.options = {{"seed", "-1"}};
  EXPECT_FALSE(find_operation("practice")->run(request).has_value());
}

TEST(Practice, TakesTiredTyping) {
  const PracticeAnswer state = play(7, "one", "  Compression ;; \n leak down cylinder 2 ; air at neighbour 3-2;");
  ASSERT_EQ(state.moves.size(), 3u);
  EXPECT_EQ(state.moves[0].looks.size(), 6u);
  EXPECT_EQ(state.moves[1].looks.front().where, "2");
  EXPECT_EQ(state.moves[2].looks.front().where, "2-3");
}

}  // namespace
}  // namespace headjoint::assess
