// Decisions with published figures. The oil wildcatter: Raiffa 1968, Shenoy 1992 (costs 10 and 70, rewards 0, 120, 270). Two tests that
// tell something only together: by hand.

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "headjoint/diagnosis/network.h"
#include "headjoint/diagnosis/next_check.h"

namespace headjoint::diagnosis {
namespace {

constexpr double kSame = 1e-9;
constexpr double kByHand = 1e-12;

/// Not drilling loses the reward, drilling loses its cost of 70: the decision of a repair. Wet or soaking is one cause, soaking another
/// that only the first brings about; both states of the ground are then the largest loss that is there. Seismic none, open, closed has the
/// chances .6 .3 .1 over dry ground, .3 .4 .3 over wet, .1 .4 .5 over soaking, spelled out as net strengths.
InstanceNetwork wildcatter() {
  const PatternTexts texts{{"name,text,layer,scope,chance,put_right_minutes,left_minutes,decision,basis,why\n"
                            "oil,oil in the ground,rival,engine,0.5,70,120,drill,test,\n"
                            "soaking,ground soaking,rival,engine,0,70,270,drill,test,\n",
                            "causes.csv"},
                           {"name,text,question,kind,scope,states,false_positive,minutes,price_minutes,set_up,needs,cautions,measures,"
                            "confusion,cannot_see,basis\n"
                            "seismic,seismic,?,test,engine,none|open|closed,0.4|0.1,10,0,,,,,,,test\n",
                            "findings.csv"},
                           {"name,text,minutes,cautions,basis\n", "setups.csv"},
                           {"cause,effect,strength,meant,basis,why\n"
                            "oil,soaking,0.4,net,test,\n"
                            "oil,seismic,0.5|0.2222222222222222,net,test,\n"
                            "soaking,seismic,0.6666666666666667|0.2857142857142857,net,test,\n",
                            "links.csv"},
                           {"when,node,factor,basis,why\n", "contexts.csv"},
                           {}};
  const auto pattern = read_pattern(texts);
  EXPECT_TRUE(pattern) << (pattern ? "" : pattern.problems().front().what);
  return build(*pattern, {}, {});
}

TEST(OilWildcatter, TheTestIsWorthTwelveAndAHalf) {
  const NextChecks ranked = rank_checks(wildcatter(), {});
  ASSERT_EQ(ranked.status, Status::kDone);
  ASSERT_EQ(ranked.decisions.size(), 1U);
  EXPECT_TRUE(ranked.decisions[0].take);
  EXPECT_NEAR(ranked.decisions[0].left_minutes - ranked.loss_now_minutes, 20, kSame);  // mean return of drilling untested
  ASSERT_EQ(ranked.checks.size(), 1U);
  const Check& seismic = ranked.checks[0];
  EXPECT_NEAR(seismic.value_minutes, 12.5, kSame);
  EXPECT_NEAR(20 + seismic.net_minutes, 22.5, kSame);
  const double chances[] = {.41, .35, .24};
  for (std::size_t state = 0; state < 3; ++state) EXPECT_NEAR(seismic.outcome_probability[state], chances[state], kSame);
}

TEST(OilWildcatter, KnowingTheGroundWouldBeWorthThirtyFive) {
  const InstanceNetwork network = wildcatter();
  const Diagnosis found = diagnose(network, {});
  double oil = 0, soaking = 0;
  for (const CausePosterior& cause : found.causes) (network.cause(cause.instance).name == "oil" ? oil : soaking) = cause.posterior;
  EXPECT_NEAR(oil, .5, kSame);
  EXPECT_NEAR(soaking, .2, kSame);
  const double with_knowledge = (1 - oil) * 0 + (oil - soaking) * std::min(70.0, 120.0) + soaking * std::min(70.0, 270.0);
  EXPECT_NEAR(rank_checks(network, {}).loss_now_minutes - with_knowledge, 35, kSame);
}

/// Two fair tests; the fault is there when they differ. The right repair pays 100, either guess is free, a test costs 5.
TEST(TwoTestsThatTellOnlyTogether, AreWorthNothingAloneAndFortyInPairs) {
  Network network;
  network.nodes = {{"first", {"no", "yes"}, {}, {.5, .5}},
                   {"second", {"no", "yes"}, {}, {.5, .5}},
                   {"fault", {"no", "yes"}, {0, 1}, {1, 0, 0, 1, 0, 1, 1, 0}}};
  const auto pays = [&](const std::vector<NodeEvidence>& seen) {
    const NetworkPosterior found = infer(network, seen);
    EXPECT_EQ(found.status, Status::kDone);
    return 100 * std::max(found.posteriors[2][0], found.posteriors[2][1]);
  };
  const auto is = [](std::size_t node, std::size_t state) { return NodeEvidence{node, {state == 0 ? 1.0 : 0.0, state == 1 ? 1.0 : 0.0}}; };
  const double now = pays({});
  double both = 0;
  for (std::size_t a : {0U, 1U}) {
    EXPECT_NEAR(pays({is(0, a)}) - now, 0, kByHand);
    EXPECT_NEAR(pays({is(1, a)}) - now, 0, kByHand);
    for (std::size_t b : {0U, 1U}) both += std::exp(infer(network, {is(0, a), is(1, b)}).log_evidence) * pays({is(0, a), is(1, b)});
  }
  EXPECT_NEAR(both - now, 50, kByHand);
  EXPECT_NEAR(both - now - 2 * 5, 40, kByHand);
}

}  // namespace
}  // namespace headjoint::diagnosis
