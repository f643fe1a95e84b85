#include <gmock/gmock.h>

#include <algorithm>
#include <cmath>

#include "headjoint/assess/operation.h"
#include "headjoint/assess/repair_facts.h"
#include "headjoint/assess/repair_plan.h"
#include "headjoint/base/file.h"

namespace headjoint::assess {
namespace {

using testing::Contains;
using testing::HasSubstr;

const std::string kExamples = std::string(HEADJOINT_SOURCE_DIR) + "/data/examples/";
constexpr const char* kRepaired = "0120-proof-after-a-repair.toml";

std::string with(std::string text, const std::string& old, const std::string& now) {
  const std::size_t at = text.find(old);
  EXPECT_NE(at, std::string::npos) << old;
  return text.replace(at, old.size(), now);
}

Result<Reply> run(const char* operation, const std::string& text) {
  Request request;
  const auto document = read_toml(text, "job.toml");
  EXPECT_TRUE(document) << to_string(document.problems());
  request.input = *document;
  request.source = "job.toml";
  request.read_beside = joint::beside_file(kExamples + "job.toml");
  return find_operation(operation)->run(request);
}

std::string example(const std::string& name) { return read_file(kExamples + name); }

Proof proof(const std::string& text) {
  const auto reply = run("proof", text);
  EXPECT_TRUE(reply) << to_string(reply.problems());
  return content_of<Proof>(*reply);
}

const ProofCheck& check(const Proof& proof, const std::string& test, const std::string& where = {}) {
  const auto found =
      std::find_if(proof.checks.begin(), proof.checks.end(), [&](const ProofCheck& one) { return one.test == test && one.where == where; });
  EXPECT_NE(found, proof.checks.end()) << test;
  return *found;
}

TEST(ProofOperation, GivesItsKeysForEveryDemoJob) {
  for (const char* name : {"0117-two-cylinders.toml", "0118-coolant-pushed-out.toml", "0119-cream-under-the-cap.toml", kRepaired}) {
    const auto reply = run("proof", example(name));
    ASSERT_TRUE(reply) << to_string(reply.problems());
    const Document* checks = reply->document.find("checks");
    ASSERT_NE(checks, nullptr);
    ASSERT_FALSE(checks->array().empty()) << name;
    for (const Document& one : checks->array())
      for (const char* key : {"check", "expected", "accept_low", "accept_high"}) EXPECT_NE(one.find(key), nullptr) << name << " " << key;
    EXPECT_NE(reply->document.find("fault_remains"), nullptr);
  }
}

TEST(ProofOperation, BeforeTheRepairItSaysWhatToExpectAndClaimsNothing) {
  const auto reply = run("proof", example("0117-two-cylinders.toml"));
  ASSERT_TRUE(reply);
  EXPECT_FALSE(reply->answer_is_no);
  const Proof& shown = content_of<Proof>(*reply);
  EXPECT_FALSE(shown.fault_remains.has_value());
  EXPECT_TRUE(check(shown, "compression", "2").accept_low.has_value());
}

TEST(ProofOperation, GoodReadingsAfterASoundRepairProveIt) {
  const auto reply = run("proof", example(kRepaired));
  ASSERT_TRUE(reply);
  EXPECT_FALSE(reply->answer_is_no);
  const Proof& shown = content_of<Proof>(*reply);
  EXPECT_FALSE(shown.is_out());
  EXPECT_LT(*shown.fault_remains, 0.05);
  EXPECT_THAT(shown.sentence, HasSubstr("Proven"));
  for (const RemainingFault& fault : shown.remaining) EXPECT_LT(fault.factor, 1) << fault.text;
}

TEST(ProofOperation, TheSkimRaisesRatioAndExpectedCompression) {
  const Proof shown = proof(example(kRepaired));
  EXPECT_GT(*shown.ratio_after, *shown.ratio_before);
  EXPECT_GT(*check(shown, "compression", "1").expected, 12.5 * 1011 / 1013.25);
}

/// What was seen and read before says what may have been left in, never what the engine reads now.
TEST(ProofOperation, EvidenceFromBeforeTheRepairNeverDescribesTheEngineAfterIt) {
  const std::string good = example(kRepaired);
  std::string changed = with(good, "values = [\"12.3 bar\", \"12.4 bar\", \"10.9 bar\", \"12.2 bar\"]",
                             "values = [\"6.0 bar\", \"6.1 bar\", \"12.0 bar\", \"12.2 bar\"]");
  changed = with(changed, "bubbles = { state = \"seen\", note = \"steady, from cold\" }", "bubbles = \"absent\"");
  changed = with(changed, "milky_oil = \"absent\"\noil_in_coolant", "milky_oil = \"seen\"\noil_in_coolant");
  const Proof one = proof(good), other = proof(changed);
  const auto joint = [](const Proof& p) {
    return *std::find_if(p.remaining.begin(), p.remaining.end(), [](const RemainingFault& fault) { return fault.name == "joint"; });
  };
  EXPECT_DOUBLE_EQ(joint(one).factor, joint(other).factor);
  for (const ProofCheck& here : one.checks) {
    if (here.unit.empty()) continue;
    const ProofCheck& there = check(other, here.test, here.where);
    EXPECT_EQ(here.expected, there.expected) << here.check;
    EXPECT_EQ(here.accept_low, there.accept_low) << here.check;
    EXPECT_EQ(here.verdict, there.verdict) << here.check;
  }
}

TEST(ProofOperation, AReadingOutsideItsLimitsIsANo) {
  const auto reply = run("proof", with(example(kRepaired), "[\"12.5 bar\", \"12.6 bar\", \"12.6 bar\", \"12.4 bar\"]",
                                       "[\"12.5 bar\", \"12.6 bar\", \"9.1 bar\", \"12.4 bar\"]"));
  ASSERT_TRUE(reply);
  EXPECT_TRUE(reply->answer_is_no);
  const Proof& shown = content_of<Proof>(*reply);
  EXPECT_EQ(check(shown, "compression", "3").verdict, "below");
  EXPECT_EQ(check(shown, "compression_evenness").verdict, "below");
  EXPECT_THAT(shown.sentence, HasSubstr("cylinder 3"));
}

TEST(ProofOperation, SignsThatAreStillThereRaiseTheChanceOfAFault) {
  std::string bad = with(example(kRepaired), "bubbles = \"absent\"", "bubbles = \"seen\"");
  bad = with(bad, "colour_test = \"none\"", "colour_test = \"full\"");
  bad = with(bad, "pressure_overnight = \"absent\"", "pressure_overnight = \"seen\"");
  const auto reply = run("proof", bad);
  ASSERT_TRUE(reply);
  EXPECT_TRUE(reply->answer_is_no);
  EXPECT_GT(*content_of<Proof>(*reply).fault_remains, 0.5);
}

TEST(ProofOperation, WithoutAReadingTheChanceIsThatOfTheWorkAlone) {
  std::string bare = example(kRepaired);
  const std::size_t from = bare.find("[proof_signs]"), to = bare.find("[workshop]");
  bare.erase(from, to - from);
  for (const char* line : {"warm_after = \"9 min\"\n", "settled = \"91 degC\"\n", "topped_up = \"0.3 L\"\n"}) bare = with(bare, line, "");
  const Proof shown = proof(bare);
  EXPECT_FALSE(shown.is_anything_read);
  for (const RemainingFault& fault : shown.remaining) EXPECT_NEAR(fault.chance, fault.before, 1e-6) << fault.text;
  EXPECT_THAT(shown.sentence, HasSubstr("Not proven yet"));
}

TEST(ProofOperation, WhatWasLeftUndoneIsNamedAndRaisesTheChance) {
  const std::string good = example(kRepaired);
  const Proof careless = proof(with(with(good, "cured = [\"thermostat\"]\n", ""), "\"bled\", ", ""));
  EXPECT_GT(*careless.fault_remains, *proof(good).fault_remains);
  std::vector<std::string> said;
  for (const LeftUndone& one : careless.left_undone) said.push_back(one.text);
  EXPECT_THAT(said, Contains(HasSubstr("run hot")));
  EXPECT_THAT(said, Contains(HasSubstr("bled")));
}

TEST(ProofOperation, SaysInPlainWordsWhatCannotBeRead) {
  const auto problems = [](const std::string& text) {
    const auto reply = run("proof", text);
    EXPECT_FALSE(reply);
    return reply ? std::string() : to_string(reply.problems());
  };
  const std::string good = example(kRepaired);
  EXPECT_THAT(problems(with(good,
                            "\"12.4 bar\"]\nresolution = \"0.2 bar\"\nengine = \"warm\"\nplugs = \"all out\"\nthrottle = \"open\"\nstrokes "
                            "= 6\ntaken = \"2026-10-13\"",
                            "\"twelve\"]")),
              HasSubstr("cylinder 4"));
  EXPECT_THAT(problems(with(good, "weep_at_joint = \"absent\"", "weep_at_jiont = \"absent\"")), HasSubstr("weep_at_joint"));
  EXPECT_THAT(problems(with(good, "kind = \"washed\"", "kind = \"washd\"")), HasSubstr("washed"));
  EXPECT_THAT(problems(with(good, "where = \"bolt 4\"", "where = \"bolt 44\"")), HasSubstr("no place"));
  EXPECT_THAT(proof(with(good, "cured = [\"thermostat\"]", "cured = [\"termostat\"]")).notes, Contains(HasSubstr("thermostat")));
}

TEST(ProofOperation, AnEngineThatSaysLittleStillGetsItsSignsAndSaysWhatIsMissing) {
  const Proof shown =
      proof("format = 1\n[engine]\nformat = 1\nname = \"bare\"\n[engine.engine]\ncylinders = 3\n[repair]\nbolts = \"new\"\n");
  EXPECT_THAT(shown.missing, Contains("engine.bore"));
  EXPECT_THAT(shown.missing, Contains("cooling.cap"));
  EXPECT_EQ(check(shown, "colour_test").expected_text, "none");
  EXPECT_TRUE(shown.fault_remains.has_value());
}

TEST(PlanOperation, ConditionsUseOnlyWordsThatCanHold) {
  std::vector<std::string> conditions;
  for (const repair::PlanLine& line : plan_book().lines) conditions.push_back(line.when);
  for (const repair::FailureDriver& driver : second_failure_table().drivers) conditions.push_back(driver.when);
  for (const std::string& when : conditions)
    for (const std::string& word : repair::words_of(when)) EXPECT_THAT(fact_words(), Contains(word)) << when;
}

TEST(PlanOperation, EveryDemoGetsItsPlanInTheOrderOfWork) {
  for (const char* name : {"0117-two-cylinders.toml", "0118-coolant-pushed-out.toml", "0119-cream-under-the-cap.toml", kRepaired}) {
    const auto reply = run("plan", example(name));
    ASSERT_TRUE(reply) << to_string(reply.problems());
    const RepairPlan& plan = content_of<RepairPlan>(*reply);
    std::size_t at = 0;
    for (const PlanSection& section : plan.sections) {
      const auto part = std::find_if(plan_book().parts.begin() + static_cast<std::ptrdiff_t>(at), plan_book().parts.end(),
                                     [&](const repair::PlanPart& one) { return one.name == section.name; });
      ASSERT_NE(part, plan_book().parts.end()) << name << " " << section.name;
      at = static_cast<std::size_t>(part - plan_book().parts.begin());
      for (const PlanStep& step : section.steps) EXPECT_EQ(step.text.find('{'), std::string::npos) << step.text;
    }
  }
}

TEST(PlanOperation, BoltsThatAreUsedOnceAreNewWhateverMeasuringSays) {
  const auto reply = run("plan", example(kRepaired));
  ASSERT_TRUE(reply);
  const RepairPlan& plan = content_of<RepairPlan>(*reply);
  EXPECT_EQ(plan.bolts, "new");
  EXPECT_EQ(plan.measured_bolts.size(), 10U);
  ASSERT_EQ(plan.least_cuts.size(), 1U);
  EXPECT_GE(plan.least_cuts[0].parallel_mm, plan.least_cuts[0].free_mm - 1e-9);
}

TEST(WarmUp, ReferenceEngineReachesEightyDegreesWhenThePublishedModelDoes) {
  // The lumped model's worked case of 10 kW, 70 kJ/K and 30 W/K from 20 degC: 80 degC after 463 s, by T = Ta + Q/UA (1 - exp(-t UA/C)).
  joint::Engine engine;
  engine.cooling.emplace();
  engine.cooling->thermostat_opens = joint::assumed(Temperature::from_celsius(80));
  constexpr double kStep_min = 5.0 / 60;
  EXPECT_NEAR(warm_up_time(engine, Temperature::from_celsius(20)).value_min, 463.0 / 60, kStep_min);
}

}  // namespace
}  // namespace headjoint::assess
