#include "headjoint/diagnosis/next_check.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>

#include "headjoint/diagnosis/testing/enumeration.h"
#include "headjoint/diagnosis/testing/random_small.h"
#include "headjoint/diagnosis/testing/sample_pattern.h"

namespace headjoint::diagnosis {
namespace {

using testing::seen;
using testing::typical;

constexpr double kMinutes = 1e-7;  // values are of the order of 1000 minutes
constexpr double kChance = 1e-10;
constexpr double kRoundingMinutes = 1e-9;

/// Expected loss by the definition: for each decision the smaller of putting right and the mean of the largest loss left in.
double enumerated_loss(const InstanceNetwork& network, const testing::Enumeration& all, const std::vector<Observation>& observations) {
  std::map<std::string, double> put_right;
  for (const Instance& instance : network.instances)
    if (instance.is_cause && !network.pattern.causes[instance.row].decision.empty()) {
      double& largest = put_right[network.pattern.causes[instance.row].decision];
      largest = std::max(largest, network.pattern.causes[instance.row].put_right_minutes);
    }
  const double whole = all.sum([&](const auto& s) { return all.likelihood(s, observations); });
  double loss = 0;
  for (const auto& [decision, minutes] : put_right) {
    const double left = all.sum([&](const auto& s) {
      double largest = 0;
      for (std::size_t i = 0; i < network.instances.size(); ++i)
        if (network.instances[i].is_cause && s[i] > 0 && network.cause(i).decision == decision)
          largest = std::max(largest, network.cause(i).left_minutes);
      return largest * all.likelihood(s, observations);
    });
    loss += std::min(minutes * whole, left);
  }
  return loss / whole;
}

TEST(NextCheck, ValueAgreesWithEnumeration) {
  for (unsigned seed = 1; seed <= 8; ++seed) {
    const testing::RandomSmall random(seed);
    const InstanceNetwork& network = random.network();
    const testing::Enumeration all(network);
    const std::vector<Observation> known{seen(network, "f0", "", 1), seen(network, "first_reading", "", 1)};
    const NextChecks result = rank_checks(network, known);
    ASSERT_EQ(result.status, Status::kDone);
    const double now = enumerated_loss(network, all, known);
    EXPECT_NEAR(result.loss_now_minutes, now, kMinutes) << "seed " << seed;
    EXPECT_EQ(result.checks.size(), 4U);  // f1, f2, f3 and the second reading
    for (const Check& check : result.checks) {
      const Finding& finding = network.finding(check.instance);
      double after = 0;
      for (std::size_t t = 0; t < finding.states.size(); ++t) {
        auto more = known;
        more.push_back(seen(network, finding.name, "", t));
        after += check.outcome_probability[t] * enumerated_loss(network, all, more);
      }
      EXPECT_NEAR(check.value_minutes, now - after, kMinutes) << finding.name << " seed " << seed;
    }
  }
}

TEST(NextCheck, ValueIsNeverNegativeAndOutcomesAreWhole) {
  for (std::size_t cylinders : {2, 4, 6}) {
    const InstanceNetwork network = testing::sample_network(cylinders);
    const NextChecks result = rank_checks(network, cylinders < 3 ? std::vector<Observation>{} : typical(network, cylinders));
    ASSERT_EQ(result.status, Status::kDone);
    for (const Check& check : result.checks) {
      EXPECT_GE(check.value_minutes, -kRoundingMinutes) << network.instances[check.instance].name;
      double whole = 0;
      for (double p : check.outcome_probability) whole += p;
      EXPECT_NEAR(whole, 1, kChance);
    }
  }
}

TEST(NextCheck, MeanOverTheOutcomesIsTheChanceNow) {
  const InstanceNetwork network = testing::sample_network(4);
  const NextChecks result = rank_checks(network, typical(network, 4));
  for (const Check& check : result.checks)
    for (std::size_t d = 0; d < result.decisions.size(); ++d) {
      double mean = 0;
      for (std::size_t t = 0; t < check.outcome_probability.size(); ++t)
        if (!check.decision_probability[t].empty()) mean += check.outcome_probability[t] * check.decision_probability[t][d];
      EXPECT_NEAR(mean, result.decisions[d].probability, kChance) << network.instances[check.instance].name;
    }
}

TEST(NextCheck, OutcomeLeadsWhereDiagnosisLeads) {
  const InstanceNetwork network = testing::sample_network(3);
  auto observations = typical(network, 3);
  const NextChecks result = rank_checks(network, observations);
  const auto check =
      std::find_if(result.checks.begin(), result.checks.end(), [&](const Check& c) { return network.finding(c.instance).name == "power"; });
  ASSERT_NE(check, result.checks.end());
  observations.push_back(seen(network, "power", "", 1));
  const Diagnosis after = diagnose(network, observations);
  for (std::size_t d = 0; d < result.decisions.size(); ++d) {
    if (result.decisions[d].name != "thermostat") continue;
    for (const CausePosterior& cause : after.causes) {
      if (network.instances[cause.instance].name == "thermostat") {
        EXPECT_NEAR(check->decision_probability[1][d], cause.posterior, kChance);
      }
    }
  }
}

TEST(NextCheck, OffersOnlyWhatCanBeDoneAndWasNotDone) {
  const InstanceNetwork network = testing::sample_network(2);
  const auto offered = [&](const NextChecks& checks, const std::string& name) {
    return std::any_of(checks.checks.begin(), checks.checks.end(),
                       [&](const Check& c) { return network.finding(c.instance).name == name; });
  };
  const NextChecks plain = rank_checks(network, {seen(network, "bubbles", "", 1), seen(network, "compression", "1", 0)});
  EXPECT_FALSE(offered(plain, "bubbles"));
  EXPECT_FALSE(offered(plain, "face"));
  EXPECT_FALSE(offered(plain, "leak"));
  EXPECT_TRUE(offered(plain, "compression"));
  EXPECT_TRUE(offered(plain, "leak_down"));
  CheckOptions head_off;
  head_off.conditions = {"head_off"};
  EXPECT_TRUE(offered(rank_checks(network, {}, head_off), "face"));
}

TEST(NextCheck, ASetUpIsPaidOnceAndNamed) {
  const InstanceNetwork network = testing::sample_network(2);
  const auto of = [&](const NextChecks& checks, const std::string& name) {
    for (const Check& check : checks.checks)
      if (network.finding(check.instance).name == name) return check;
    throw ContractError("no such check");
  };
  const NextChecks before = rank_checks(network, {});
  CheckOptions out;
  out.set_ups_done = {"plugs"};
  const NextChecks after = rank_checks(network, {}, out);
  EXPECT_DOUBLE_EQ(of(before, "compression").cost_minutes, 30);
  EXPECT_DOUBLE_EQ(of(after, "compression").cost_minutes, 5);
  EXPECT_EQ(of(before, "compression").places, 2U);
  EXPECT_EQ(of(before, "bubbles").shares_set_up.size(), 1U);  // the colour test
}

TEST(NextCheck, APackIsWorthWhatEnumerationOverAllItsOutcomesSays) {
  std::size_t packs = 0;
  for (unsigned seed = 1; seed <= 12; ++seed) {
    const testing::RandomSmall random(seed);
    InstanceNetwork network = random.network();
    network.pattern.set_ups.push_back({"ramp", "on the ramp", 40, {}, "test"});
    for (Finding& finding : network.pattern.findings) finding.set_up = finding.kind == FindingKind::kHidden ? "" : "ramp";
    const testing::Enumeration all(network);
    const NextChecks result = rank_checks(network, {});
    for (const Pack& pack : result.packs) {
      ++packs;
      std::vector<std::vector<Observation>> outcomes{{}};
      double cost = 40;
      for (std::size_t c : pack.checks) {
        const std::size_t instance = result.checks[c].instance;
        cost += network.finding(instance).minutes;
        std::vector<std::vector<Observation>> more;
        for (const auto& outcome : outcomes)
          for (std::size_t t = 0; t < network.instances[instance].states; ++t) {
            more.push_back(outcome);
            more.back().push_back(seen(network, network.finding(instance).name, "", t));
          }
        outcomes = std::move(more);
      }
      double after = 0;
      for (const auto& outcome : outcomes) {
        const double chance = all.sum([&](const auto& s) { return all.likelihood(s, outcome); });
        if (chance > 0) after += chance * enumerated_loss(network, all, outcome);
      }
      EXPECT_NEAR(pack.value_minutes, enumerated_loss(network, all, {}) - after, kMinutes) << "seed " << seed;
      EXPECT_NEAR(pack.cost_minutes, cost, kMinutes);
      for (std::size_t c : pack.checks) EXPECT_GT(pack.net_minutes, result.checks[c].net_minutes);
    }
  }
  EXPECT_GT(packs, 3U);
}

TEST(NextCheck, EachOutcomeTellsWhereTheTargetGoesAndTheMeanIsTheChanceNow) {
  const InstanceNetwork network = testing::sample_network(3);
  CheckOptions options;
  options.target = "joint_failed";
  const std::vector<Observation> known{seen(network, "hot", "", 1)};
  const NextChecks result = rank_checks(network, known, options);
  const Diagnosis now = diagnose(network, known);
  for (const CausePosterior& cause : now.causes) {
    if (network.instances[cause.instance].name == "joint_failed") {
      EXPECT_NEAR(result.target_now, cause.posterior, kChance);
    }
  }
  for (const Check& check : result.checks) {
    double mean = 0;
    for (std::size_t t = 0; t < check.outcome_probability.size(); ++t) mean += check.outcome_probability[t] * check.target_probability[t];
    EXPECT_NEAR(mean, result.target_now, kChance);
  }
}

TEST(NextCheck, WhatNeedsOpeningStandsBehindItsCost) {
  Pattern pattern = read_pattern(testing::sample_texts()).value();
  pattern.set_ups.push_back({"open", "taken apart", 300, {}, "test"});
  for (Finding& finding : pattern.findings)
    if (finding.needs == "head_off") finding.set_up = "open";
  const InstanceNetwork network = build(pattern, testing::line_of_cylinders(2), {"cooled"});
  CheckOptions options;
  options.openings = {"head_off"};
  const NextChecks result = rank_checks(network, {seen(network, "hot", "", 1)}, options);
  const auto face = std::find_if(result.checks.begin(), result.checks.end(),
                                 [&](const Check& check) { return network.finding(check.instance).name == "face"; });
  ASSERT_NE(face, result.checks.end());
  EXPECT_DOUBLE_EQ(face->cost_minutes, 320);
}

TEST(NextCheck, ImpossibleObservationsAreSaid) {
  const InstanceNetwork network = testing::sample_network(2);
  const NextChecks result = rank_checks(network, {seen(network, "hot", "", 1), seen(network, "hot", "", 0)});
  EXPECT_EQ(result.status, Status::kImpossible);
  EXPECT_TRUE(result.checks.empty());
}

}  // namespace
}  // namespace headjoint::diagnosis
