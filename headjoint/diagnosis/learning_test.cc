#include "headjoint/diagnosis/learning.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <random>

#include "headjoint/diagnosis/simulator.h"
#include "headjoint/diagnosis/testing/sample_pattern.h"
#include "headjoint/diagnosis/testing/shipped_pattern.h"

namespace headjoint::diagnosis {
namespace {

constexpr double kExact = 1e-12;
constexpr double kSumming = 1e-12;          // the order of a sum of doubles
constexpr double kLeastImprovement = 0.05;  // of the log score of an engine; without learning it would be 0

const LearntNumber* find(const Learnt& learnt, LearntKind kind, const std::string& cause, const std::string& sign, std::size_t grade = 1) {
  for (const LearntNumber& number : learnt.numbers)
    if (number.kind == kind && number.cause == cause && number.sign == sign && number.grade == grade) return &number;
  return nullptr;
}

Pattern sample() {
  auto pattern = read_pattern(testing::sample_texts());
  require(pattern.has_value(), "the sample must be sound");
  return *pattern;
}

ClosedCase closed(const InstanceNetwork& network, std::vector<std::string> found, std::vector<Observation> observations) {
  return {&network, std::move(observations), std::move(found), true};
}

// Reference inference.md INF-27, closed form: Beta(1, 9) and 3 hits of 20 give (1 + 3) / (10 + 20).
TEST(LearntChance, IsTheMeanOfTheBetaDistribution) { EXPECT_NEAR(learnt_chance(0.1, 10, 3, 20), 4.0 / 30.0, kExact); }

TEST(Learning, ACausesChanceIsCountedOverTheEngines) {
  const InstanceNetwork network = testing::sample_network(4);
  // Thermostat: shipped 0.08. Two of five engines had it: (10 * 0.08 + 2) / (10 + 5) = 2.8 / 15.
  const std::vector<ClosedCase> cases = {closed(network, {"thermostat"}, {}), closed(network, {"thermostat", "cap"}, {}),
                                         closed(network, {}, {}), closed(network, {"cap"}, {}), closed(network, {"gas_water@2"}, {})};
  const Learnt learnt = learn(cases, 10);
  const LearntNumber* number = find(learnt, LearntKind::kChance, "thermostat", "");
  ASSERT_NE(number, nullptr);
  EXPECT_EQ(number->hits, 2u);
  EXPECT_EQ(number->cases, 5u);
  EXPECT_NEAR(number->shipped, 0.08, 1e-9);
  EXPECT_NEAR(number->learnt, 2.8 / 15.0, 1e-9);
  const Pattern own = with_learnt(sample(), learnt);
  EXPECT_NEAR(own.causes[static_cast<std::size_t>(own.cause("thermostat"))].chance, 2.8 / 15.0, 1e-9);
}

TEST(Learning, AStrengthIsCountedWhereItsCauseAloneWasThere) {
  const InstanceNetwork network = testing::sample_network(4);
  const auto hot = [&](std::size_t state) { return std::vector<Observation>{testing::seen(network, "hot", "", state)}; };
  // "hot" has false positive 0.03; thermostat brings it with 0.9: asked 1 - 0.97 * 0.1 = 0.903.
  // Thermostat alone: hot in 1 of 3 -> (10 * 0.903 + 1) / 13. Nothing there: hot in 1 of 2 -> (10 * 0.03 + 1) / 12.
  // Thermostat and cap together tell nothing of either.
  const std::vector<ClosedCase> cases = {closed(network, {"thermostat"}, hot(1)),
                                         closed(network, {"thermostat"}, hot(0)),
                                         closed(network, {"thermostat"}, hot(0)),
                                         closed(network, {"thermostat", "cap"}, hot(1)),
                                         closed(network, {}, hot(1)),
                                         closed(network, {}, hot(0))};
  const Learnt learnt = learn(cases, 10);
  const LearntNumber* strength = find(learnt, LearntKind::kStrength, "thermostat", "hot");
  ASSERT_NE(strength, nullptr);
  EXPECT_EQ(strength->cases, 3u);
  const double asked = (10 * 0.903 + 1) / 13;
  EXPECT_NEAR(strength->learnt, asked, kExact);
  const LearntNumber* anyway = find(learnt, LearntKind::kFalsePositive, "", "hot");
  ASSERT_NE(anyway, nullptr);
  const double leak = (10 * 0.03 + 1) / 12;
  EXPECT_NEAR(anyway->learnt, leak, kExact);
  EXPECT_EQ(find(learnt, LearntKind::kStrength, "cap", "hot"), nullptr);
  const Pattern own = with_learnt(sample(), learnt);
  const auto link =
      std::find_if(own.links.begin(), own.links.end(), [](const Link& l) { return l.cause == "thermostat" && l.effect == "hot"; });
  EXPECT_NEAR(link->strength.front(), (asked - leak) / (1 - leak), kExact);
}

TEST(Learning, AGradedSignIsCountedGradeByGrade) {
  const InstanceNetwork network = testing::sample_network(4);
  const auto colour = [&](std::size_t state) { return std::vector<Observation>{testing::seen(network, "colour", "", state)}; };
  const std::vector<ClosedCase> cases = {closed(network, {"gas_water@1"}, colour(2)), closed(network, {"gas_water@2"}, colour(1))};
  const Learnt learnt = learn(cases, 10);
  EXPECT_EQ(find(learnt, LearntKind::kStrength, "any_water", "colour", 1)->hits, 2u);
  EXPECT_EQ(find(learnt, LearntKind::kStrength, "any_water", "colour", 2)->hits, 1u);
  for (const Link& link : with_learnt(sample(), learnt).links)
    for (std::size_t k = 1; k < link.strength.size(); ++k) EXPECT_LE(link.strength[k], link.strength[k - 1]);
}

TEST(Learning, WhatWasNotVerifiedChangesNothing) {
  const InstanceNetwork network = testing::sample_network(4);
  std::vector<ClosedCase> cases = {closed(network, {"thermostat"}, {testing::seen(network, "hot", "", 1)})};
  const Document before = write_learnt(learn(cases));
  ClosedCase guess = closed(network, {"ring@1"}, {testing::seen(network, "smoke", "", 1)});
  guess.is_verified = false;
  cases.push_back(guess);
  Learnt after = learn(cases);
  EXPECT_EQ(after.left_out, 1u);
  after.left_out = 0;
  EXPECT_EQ(write_learnt(after), before);
}

TEST(Learning, TheOrderOfClosuresDoesNotMatter) {
  const InstanceNetwork network = testing::sample_network(3);
  std::mt19937 random(11);
  std::vector<ClosedCase> cases;
  for (int i = 0; i < 20; ++i) {
    const DrawnEngine engine = draw_engine(network, random);
    std::vector<std::string> found;
    std::vector<Observation> looks;
    for (std::size_t n = 0; n < network.instances.size(); ++n) {
      if (!network.instances[n].is_cause && network.finding(n).kind != FindingKind::kHidden)
        looks.push_back(look_at(network, engine, n, random));
      if (!network.instances[n].is_cause || engine.state[n] == 0) continue;
      const Layer layer = network.cause(n).layer;
      if (layer == Layer::kPath || layer == Layer::kRival) found.push_back(network.instances[n].name);
    }
    cases.push_back(closed(network, found, looks));
  }
  const Learnt straight = learn(cases);
  std::shuffle(cases.begin(), cases.end(), random);
  const Learnt shuffled = learn(cases);
  ASSERT_EQ(straight.numbers.size(), shuffled.numbers.size());
  for (std::size_t i = 0; i < straight.numbers.size(); ++i) {
    EXPECT_EQ(straight.numbers[i].hits, shuffled.numbers[i].hits);
    EXPECT_EQ(straight.numbers[i].cases, shuffled.numbers[i].cases);
    EXPECT_NEAR(straight.numbers[i].learnt, shuffled.numbers[i].learnt, kSumming);
  }
}

TEST(Learning, WithoutAnythingLearntTheShippedFiguresComeBackExactly) {
  const Pattern shipped = testing::shipped_pattern(HEADJOINT_SOURCE_DIR);
  const Pattern reset = with_learnt(shipped, learn({}));
  for (std::size_t i = 0; i < shipped.causes.size(); ++i) EXPECT_EQ(reset.causes[i].chance, shipped.causes[i].chance);
  for (std::size_t i = 0; i < shipped.links.size(); ++i) EXPECT_EQ(reset.links[i].strength, shipped.links[i].strength);
  for (std::size_t i = 0; i < shipped.findings.size(); ++i) EXPECT_EQ(reset.findings[i].false_positive, shipped.findings[i].false_positive);
}

TEST(Learning, NothingLeavesTheFloorAndTheCeiling) {
  const InstanceNetwork network = testing::sample_network(4);
  std::vector<ClosedCase> cases;
  ClosedCase always = closed(network, {"thermostat"}, {testing::seen(network, "hot", "", 1), testing::seen(network, "ticking", "", 0)});
  always.before = chances_before(network);
  for (int i = 0; i < 5000; ++i) cases.push_back(always);
  const Learnt learnt = learn(cases, 1);
  for (const LearntNumber& number : learnt.numbers) {
    EXPECT_GE(number.learnt, kLearntFloor);
    EXPECT_LE(number.learnt, kLearntCeiling);
  }
  EXPECT_EQ(find(learnt, LearntKind::kStrength, "thermostat", "hot")->learnt, kLearntCeiling);
  EXPECT_EQ(find(learnt, LearntKind::kFalsePositive, "", "ticking")->learnt, kLearntFloor);
}

TEST(LearntFile, ReadsBackAndRefusesWhatThePatternDoesNotHave) {
  const InstanceNetwork network = testing::sample_network(4);
  Learnt learnt = learn(std::vector<ClosedCase>{closed(network, {"thermostat"}, {testing::seen(network, "hot", "", 1)})});
  learnt.based_on = "headjoint";
  const auto text = write_toml(write_learnt(learnt));
  const auto read = read_learnt(*read_toml(text, "learnt.toml"), sample());
  ASSERT_TRUE(read.has_value()) << to_string(read.problems());
  EXPECT_EQ(write_learnt(*read), write_learnt(learnt));
  const auto wrong = read_learnt(*read_toml("format = 1\nclosures = 1\n[[chance]]\ncause = \"thermostatt\"\nshipped = 0.1\nhits = 3\n"
                                            "cases = 2\nlearnt = 1.2\n",
                                            "learnt.toml"),
                                 sample());
  ASSERT_FALSE(wrong.has_value());
  EXPECT_GE(wrong.problems().size(), 3u) << to_string(wrong.problems());
}

/// The pattern with its figures moved half a decade of odds up or down, row by row: another shop's engines.
Pattern another_shop(Pattern pattern, std::mt19937& random) {
  const auto moved = [&](double value) {
    if (!(value > 0 && value < 1)) return value;
    const double factor = random() % 2 == 0 ? 3.1622776601683795 : 0.31622776601683794;
    return value * factor / (1 - value + value * factor);
  };
  for (Cause& cause : pattern.causes) cause.chance = std::min(moved(cause.chance), kChanceCap);
  for (Link& link : pattern.links) {
    for (double& strength : link.strength) strength = moved(strength);
    std::sort(link.strength.rbegin(), link.strength.rend());
  }
  for (Finding& finding : pattern.findings) {
    for (double& chance : finding.false_positive) chance = std::min(moved(chance), kChanceCap);
    std::sort(finding.false_positive.rbegin(), finding.false_positive.rend());
  }
  return pattern;
}

struct DrawnCase {
  std::vector<std::string> found;
  std::vector<Observation> observations;
};

/// An engine of that shop, looked at in half of its findings.
DrawnCase drawn_case(const InstanceNetwork& network, std::mt19937& random) {
  const DrawnEngine engine = draw_engine(network, random);
  DrawnCase drawn;
  for (std::size_t n = 0; n < network.instances.size(); ++n) {
    if (network.instances[n].is_cause) {
      const Layer layer = network.cause(n).layer;
      if (engine.state[n] > 0 && (layer == Layer::kPath || layer == Layer::kRival)) drawn.found.push_back(network.instances[n].name);
      continue;
    }
    const Finding& finding = network.finding(n);
    const bool is_looked_at = finding.kind != FindingKind::kHidden && finding.needs.empty() && random() % 2 == 0;
    if (is_looked_at) drawn.observations.push_back(look_at(network, engine, n, random));
  }
  return drawn;
}

double mean_log_score(const InstanceNetwork& network, const std::vector<DrawnCase>& cases) {
  std::vector<Forecast> forecasts;
  DiagnosisOptions options;
  options.bands = options.weights = false;
  for (const DrawnCase& one : cases) {
    const Diagnosis diagnosis = diagnose(network, one.observations, options);
    for (const CausePosterior& cause : diagnosis.causes) {
      const Layer layer = network.cause(cause.instance).layer;
      if (layer != Layer::kPath && layer != Layer::kRival) continue;
      const bool is_there = std::find(one.found.begin(), one.found.end(), network.instances[cause.instance].name) != one.found.end();
      forecasts.push_back({std::clamp(cause.posterior, 1e-9, 1 - 1e-9), is_there});
    }
  }
  // Per engine, not per cause: the sum over all causes of one engine.
  return log_score(forecasts) * static_cast<double>(forecasts.size()) / static_cast<double>(cases.size());
}

TEST(Learning, FromAnotherShopsClosuresForeseesItsNextEnginesBetter) {
  const Pattern shipped = sample();
  std::mt19937 random(20240707);
  const Layout layout = testing::line_of_cylinders(3);
  const InstanceNetwork ours = build(shipped, layout, {"cooled"});
  const InstanceNetwork theirs = build(another_shop(shipped, random), layout, {"cooled"});
  std::vector<DrawnCase> past, fresh;
  for (int i = 0; i < 300; ++i) past.push_back(drawn_case(theirs, random));
  for (int i = 0; i < 400; ++i) fresh.push_back(drawn_case(theirs, random));
  std::vector<ClosedCase> closures;
  for (const DrawnCase& one : past) closures.push_back({&ours, one.observations, one.found, true, chances_before(ours)});
  const InstanceNetwork learnt = build(with_learnt(shipped, learn(closures)), layout, {"cooled"});
  const double before = mean_log_score(ours, fresh);
  const double after = mean_log_score(learnt, fresh);
  RecordProperty("before", std::to_string(before));
  RecordProperty("after", std::to_string(after));
  EXPECT_LT(after, before - kLeastImprovement * before) << "before " << before << ", after " << after;
}

}  // namespace
}  // namespace headjoint::diagnosis
