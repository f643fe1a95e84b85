#include "headjoint/diagnosis/finding.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "headjoint/diagnosis/testing/enumeration.h"
#include "headjoint/diagnosis/testing/random_small.h"
#include "headjoint/diagnosis/testing/sample_pattern.h"

namespace headjoint::diagnosis {
namespace {

constexpr double kSame = 1e-10;
constexpr double kRounding = 1e-9;

using testing::RandomSmall;
using testing::seen;
using testing::typical;

double posterior(const Diagnosis& diagnosis, const InstanceNetwork& network, const std::string& name) {
  for (const CausePosterior& cause : diagnosis.causes)
    if (network.instances[cause.instance].name == name) return cause.posterior;
  ADD_FAILURE() << "no cause " << name;
  return -1;
}

TEST(Diagnosis, AgreesWithEnumerationOnRandomNetworks) {
  for (unsigned seed = 1; seed <= 60; ++seed) {
    RandomSmall random(seed);
    const InstanceNetwork& network = random.network();
    const auto observations = random.observations();
    const testing::Enumeration all(network);
    const double evidence = all.sum([&](const auto& state) { return all.likelihood(state, observations); });
    const Diagnosis result = diagnose(network, observations);
    ASSERT_EQ(result.status, evidence > 0 ? Status::kDone : Status::kImpossible) << "seed " << seed;
    if (evidence == 0) continue;
    EXPECT_NEAR(result.log_evidence, std::log(evidence), kSame) << "seed " << seed;
    for (const CausePosterior& cause : result.causes) {
      const auto there = [&](const auto& state) { return state[cause.instance] > 0 ? 1.0 : 0.0; };
      EXPECT_NEAR(cause.posterior, all.sum([&](const auto& s) { return there(s) * all.likelihood(s, observations); }) / evidence, kSame)
          << "seed " << seed;
      EXPECT_NEAR(cause.prior, all.sum(there), kSame) << "seed " << seed;
    }
  }
}

TEST(Diagnosis, HiddenStatesAgreeWithEnumeration) {
  for (unsigned seed = 100; seed < 120; ++seed) {
    RandomSmall random(seed);
    const InstanceNetwork& network = random.network();
    const auto hidden = static_cast<std::size_t>(network.find("hidden"));
    const std::vector<Observation> observations{seen(network, "first_reading", "", 1), seen(network, "f1", "", 1)};
    const testing::Enumeration all(network);
    const double evidence = all.sum([&](const auto& s) { return all.likelihood(s, observations); });
    const Diagnosis result = diagnose(network, observations);
    for (std::size_t k = 0; k < 3; ++k)
      EXPECT_NEAR(result.states[hidden][k],
                  all.sum([&](const auto& s) { return s[hidden] == k ? all.likelihood(s, observations) : 0.0; }) / evidence, kSame);
  }
}

TEST(Diagnosis, WeightsAndConflictAgreeWithEnumeration) {
  for (unsigned seed = 200; seed < 208; ++seed) {
    RandomSmall random(seed);
    const InstanceNetwork& network = random.network();
    const auto observations = random.observations();
    const testing::Enumeration all(network);
    const auto chance = [&](const std::vector<Observation>& some, int instance) {
      return all.sum(
          [&](const auto& s) { return instance >= 0 && s[static_cast<std::size_t>(instance)] == 0 ? 0.0 : all.likelihood(s, some); });
    };
    DiagnosisOptions options;
    options.target = "c5";
    const Diagnosis result = diagnose(network, observations, options);
    if (result.status == Status::kImpossible) continue;  // sure looks that contradict each other
    ASSERT_EQ(result.weights.front().instance, static_cast<std::size_t>(network.find("c5")));
    double log_alone = 0;
    for (std::size_t i = 0; i < observations.size(); ++i) {
      auto others = observations;
      others.erase(others.begin() + static_cast<std::ptrdiff_t>(i));
      log_alone += std::log2(chance({observations[i]}, -1));
      const double drop = std::log2(chance({observations[i]}, -1)) - std::log2(chance(observations, -1)) + std::log2(chance(others, -1));
      EXPECT_NEAR(result.conflict_drop[i], drop, kRounding) << "seed " << seed;
      for (const Weights& weights : result.weights) {
        const int h = static_cast<int>(weights.instance);
        const auto odds = [&](const auto& some) { return chance(some, h) / (chance(some, -1) - chance(some, h)); };
        EXPECT_NEAR(weights.weight[i], std::log10(odds(observations) / odds(others)), kRounding) << "seed " << seed;
      }
    }
    EXPECT_NEAR(result.conflict, log_alone - std::log2(chance(observations, -1)), kRounding) << "seed " << seed;
  }
}

TEST(Diagnosis, BandsHoldThePosteriorAndGrowFromIt) {
  const InstanceNetwork network = testing::sample_network(4);
  const Diagnosis result = diagnose(network, typical(network, 4));
  for (const CausePosterior& cause : result.causes) {
    EXPECT_LE(0, cause.low);
    EXPECT_LE(cause.low, cause.posterior);
    EXPECT_LE(cause.posterior, cause.high);
    EXPECT_LE(cause.high, 1);
  }
  // The chance of a leading cause is moved by half a decade, so no leading cause can have a band of no width.
  for (const Weights& leading : result.weights)
    for (const CausePosterior& cause : result.causes) {
      if (cause.instance == leading.instance && cause.posterior < 0.999) {
        EXPECT_LT(cause.low, cause.high);
      }
    }
}

/// Odds moved by a factor; 0 and 1 stay.
double moved(double p, double factor) { return p <= 0 || p >= 1 ? p : p * factor / (1 - p + p * factor); }

TEST(Diagnosis, BandsAreTheExtremesOfNetworksWithMovedNumbers) {
  int compared = 0;
  for (unsigned seed = 0; seed < 15; ++seed) {
    RandomSmall random(500 + seed);
    const InstanceNetwork& network = random.network();
    const std::vector<Observation> observations = random.observations();
    DiagnosisOptions options;
    options.leading = network.instances.size();
    options.band_weight = options.band_floor = 0;
    DiagnosisOptions plain;
    plain.bands = plain.weights = false;
    const Diagnosis result = diagnose(network, observations, options);
    if (result.status == Status::kImpossible) continue;  // two sure looks at one finding may contradict each other
    ASSERT_EQ(result.status, Status::kDone);
    ++compared;
    std::vector<double> low;
    std::vector<double> high;
    for (const CausePosterior& cause : result.causes) {
      low.push_back(cause.posterior);
      high.push_back(cause.posterior);
    }
    const auto widen = [&](const InstanceNetwork& other) {
      const Diagnosis diagnosis = diagnose(other, observations, plain);
      for (std::size_t c = 0; c < low.size(); ++c) {
        low[c] = std::min(low[c], diagnosis.causes[c].posterior);
        high[c] = std::max(high[c], diagnosis.causes[c].posterior);
      }
    };
    std::set<std::size_t> seen;
    for (const Observation& observation : observations) {
      const auto instance = static_cast<std::size_t>(network.find(observation.finding, observation.place));
      const int measured = network.instances[instance].measures;
      seen.insert(measured >= 0 ? static_cast<std::size_t>(measured) : instance);
    }
    for (double factor : {std::sqrt(10.0), 1 / std::sqrt(10.0)})
      for (std::size_t i = 0; i < network.instances.size(); ++i) {
        const Instance& instance = network.instances[i];
        const bool leads = instance.is_cause && (!network.cause(i).decision.empty() || network.cause(i).layer == Layer::kRoot ||
                                                 network.cause(i).layer == Layer::kPath);
        if (!leads && !seen.contains(i)) continue;
        InstanceNetwork other = network;
        for (double& leak : other.instances[i].leak) leak = moved(leak, factor);
        widen(other);
        if (leads) continue;
        other.instances[i] = instance;
        for (Influence& influence : other.instances[i].parents)
          for (double& s : influence.strength) s = moved(s, factor);
        widen(other);
      }
    for (std::size_t c = 0; c < low.size(); ++c) {
      EXPECT_NEAR(result.causes[c].low, low[c], kSame) << "seed " << seed;
      EXPECT_NEAR(result.causes[c].high, high[c], kSame) << "seed " << seed;
    }
  }
  EXPECT_GT(compared, 5);
}

TEST(Diagnosis, BandOfAFlagMovesWithItsParts) {
  // With two cylinders and nothing seen, joint_failed must move when a root's chance moves, as enumeration of that change says it does.
  InstanceNetwork network = testing::sample_network(2);
  DiagnosisOptions options;
  options.leading = 1;
  options.band_weight = options.band_floor = 0;
  const Diagnosis result = diagnose(network, {}, options);
  const std::size_t leading = result.weights.front().instance;
  double low = 1;
  double high = 0;
  for (double factor : {std::sqrt(10.0), 1 / std::sqrt(10.0)}) {
    InstanceNetwork moved = network;
    double& leak = moved.instances[leading].leak[0];
    leak = leak * factor / (1 - leak + leak * factor);
    const double p = posterior(diagnose(moved, {}), network, "joint_failed");
    low = std::min(low, p);
    high = std::max(high, p);
  }
  for (const CausePosterior& cause : result.causes) {
    if (network.instances[cause.instance].name != "joint_failed") continue;
    EXPECT_NEAR(cause.low, low, kSame);
    EXPECT_NEAR(cause.high, high, kSame);
  }
}

TEST(Diagnosis, TheBestExplanationHasTheFactorThatEnumerationGives) {
  int explained = 0;
  for (unsigned seed = 0; seed < 120; ++seed) {
    RandomSmall random(seed);
    const InstanceNetwork& network = random.network();
    const auto observations = random.observations();
    const Diagnosis result = diagnose(network, observations);
    if (result.status != Status::kDone || result.explanation.instances.empty()) continue;
    ++explained;
    const testing::Enumeration all(network);
    const auto there = [&](const auto& s) {
      return std::all_of(result.explanation.instances.begin(), result.explanation.instances.end(), [&](std::size_t i) { return s[i] > 0; });
    };
    const double prior = all.sum([&](const auto& s) { return there(s) ? 1.0 : 0.0; });
    const double with = all.sum([&](const auto& s) { return there(s) ? all.likelihood(s, observations) : 0.0; });
    const double without = all.sum([&](const auto& s) { return there(s) ? 0.0 : all.likelihood(s, observations); });
    EXPECT_NEAR(result.explanation.posterior, with / (with + without), kSame);
    EXPECT_NEAR(std::log(result.explanation.bayes_factor), std::log((with / prior) / (without / (1 - prior))), 1e-7) << seed;
    EXPECT_LE(result.explanation.instances.size(), 3U);
  }
  EXPECT_GT(explained, 5);
}

TEST(Diagnosis, OrderOfTheObservationsDoesNotMatter) {
  const InstanceNetwork network = testing::sample_network(4);
  auto observations = typical(network, 4);
  const Diagnosis first = diagnose(network, observations);
  std::reverse(observations.begin(), observations.end());
  const Diagnosis second = diagnose(network, observations);
  EXPECT_NEAR(first.log_evidence, second.log_evidence, kSame);
  for (std::size_t c = 0; c < first.causes.size(); ++c) EXPECT_NEAR(first.causes[c].posterior, second.causes[c].posterior, kSame);
}

TEST(Diagnosis, OrderOfTheRowsDoesNotMatter) {
  Pattern pattern = read_pattern(testing::sample_texts()).value();
  const InstanceNetwork straight = build(pattern, testing::line_of_cylinders(3), {"cooled"});
  std::reverse(pattern.causes.begin(), pattern.causes.end());
  std::reverse(pattern.links.begin(), pattern.links.end());
  const InstanceNetwork turned = build(pattern, testing::line_of_cylinders(3), {"cooled"});
  const Diagnosis first = diagnose(straight, typical(straight, 3));
  const Diagnosis second = diagnose(turned, typical(turned, 3));
  EXPECT_NEAR(first.log_evidence, second.log_evidence, kSame);
  for (const CausePosterior& cause : first.causes)
    EXPECT_NEAR(cause.posterior, posterior(second, turned, straight.instances[cause.instance].name), kSame);
}

TEST(Diagnosis, MirroredCylindersGiveMirroredPosteriors) {
  const InstanceNetwork network = testing::sample_network(4);
  std::vector<Observation> one{seen(network, "compression", "1", 2), seen(network, "air_water", "1", 1), seen(network, "hot", "", 1)};
  std::vector<Observation> four{seen(network, "compression", "4", 2), seen(network, "air_water", "4", 1), seen(network, "hot", "", 1)};
  const Diagnosis first = diagnose(network, one);
  const Diagnosis second = diagnose(network, four);
  EXPECT_NEAR(first.log_evidence, second.log_evidence, kSame);
  for (const char* path : {"gas_water@", "gas_out@", "valve@"})
    for (int i = 1; i <= 4; ++i)
      EXPECT_NEAR(posterior(first, network, path + std::to_string(i)), posterior(second, network, path + std::to_string(5 - i)), kSame);
  EXPECT_NEAR(posterior(first, network, "gas_next@1-2"), posterior(second, network, "gas_next@3-4"), kSame);
}

/// The same places in another order, so that another elimination order comes out.
Layout reordered(const Layout& layout) {
  const std::size_t count = layout.locations.size();
  std::vector<std::size_t> position(count);
  for (std::size_t i = 0; i < count; ++i) position[i] = (i * 5 + 2) % count;  // 5 is prime to the counts used
  Layout result = layout;
  for (std::size_t i = 0; i < count; ++i) {
    result.locations[position[i]] = layout.locations[i];
    for (std::size_t& other : result.locations[position[i]].related) other = position[other];
  }
  return result;
}

TEST(Diagnosis, EliminationOrderDoesNotMatterButAChangedPriorIsNoticed) {
  Pattern pattern = read_pattern(testing::sample_texts()).value();
  for (std::size_t cylinders : {3, 4}) {
    const Layout layout = testing::line_of_cylinders(cylinders);
    ASSERT_NE(layout.locations.size() % 5, 0U);
    const InstanceNetwork straight = build(pattern, layout, {"cooled"});
    const InstanceNetwork other = build(pattern, reordered(layout), {"cooled"});
    const Diagnosis first = diagnose(straight, typical(straight, cylinders));
    const Diagnosis second = diagnose(other, typical(straight, cylinders));
    EXPECT_NEAR(first.log_evidence, second.log_evidence, kRounding);
    for (const CausePosterior& cause : first.causes)
      EXPECT_NEAR(cause.posterior, posterior(second, other, straight.instances[cause.instance].name), kSame);
    Pattern changed = pattern;
    changed.causes[static_cast<std::size_t>(changed.cause("gas_next"))].chance *= 1.2;
    const InstanceNetwork moved = build(changed, layout, {"cooled"});
    EXPECT_GT(std::abs(diagnose(moved, typical(moved, cylinders)).log_evidence - first.log_evidence), 1e-4);
  }
}

TEST(Diagnosis, WorkBeyondTheLimitIsLeftOutAndSaid) {
  const InstanceNetwork network = testing::sample_network(3);
  DiagnosisOptions options;
  options.most_work = 10;
  const Diagnosis result = diagnose(network, typical(network, 3), options);
  EXPECT_EQ(result.status, Status::kDone);
  EXPECT_FALSE(result.bands_done);
  EXPECT_FALSE(result.weights_done);
  EXPECT_TRUE(result.weights.empty());
}

TEST(Diagnosis, AFindingNobodyLookedAtChangesNothing) {
  Pattern pattern = read_pattern(testing::sample_texts()).value();
  const InstanceNetwork whole = build(pattern, testing::line_of_cylinders(4), {"cooled"});
  const auto observations = typical(whole, 4);
  const Diagnosis first = diagnose(whole, observations);
  std::erase_if(pattern.findings, [](const Finding& f) { return f.name == "power" || f.name == "plug" || f.name == "leak_down"; });
  std::erase_if(pattern.links, [](const Link& l) { return l.effect == "power" || l.effect == "plug"; });
  const InstanceNetwork part = build(pattern, testing::line_of_cylinders(4), {"cooled"});
  const Diagnosis second = diagnose(part, observations);
  EXPECT_NEAR(first.log_evidence, second.log_evidence, kSame);
  for (std::size_t c = 0; c < first.causes.size(); ++c) EXPECT_NEAR(first.causes[c].posterior, second.causes[c].posterior, kSame);
}

TEST(Diagnosis, ALookThatTellsNothingChangesNothing) {
  const InstanceNetwork network = testing::sample_network(3);
  auto observations = typical(network, 3);
  const Diagnosis first = diagnose(network, observations);
  observations.push_back({"power", "", {.25, .25}, "no idea", false});
  const Diagnosis second = diagnose(network, observations);
  EXPECT_NEAR(second.log_evidence, first.log_evidence + std::log(.25), kSame);
  for (std::size_t c = 0; c < first.causes.size(); ++c) EXPECT_NEAR(first.causes[c].posterior, second.causes[c].posterior, kSame);
}

TEST(Diagnosis, ImpossibleObservationsAreNamed) {
  Pattern pattern = read_pattern(testing::sample_texts()).value();
  for (Finding& finding : pattern.findings)
    if (finding.name == "cap_test") finding.false_positive = {0};
  for (Link& link : pattern.links)
    if (link.effect == "cap_test") link.strength = {1};
  for (Cause& cause : pattern.causes)
    if (cause.name == "cap") cause.chance = 0;
  const InstanceNetwork network = build(pattern, testing::line_of_cylinders(2), {"cooled"});
  const Diagnosis result = diagnose(network, {seen(network, "hot", "", 1), seen(network, "cap_test", "", 1), seen(network, "loss", "", 0)});
  EXPECT_EQ(result.status, Status::kImpossible);
  EXPECT_EQ(result.conflicting, std::vector<std::size_t>{1});
  EXPECT_TRUE(result.causes.empty());
  const Diagnosis twice = diagnose(network, {seen(network, "hot", "", 1), seen(network, "hot", "", 0)});
  EXPECT_EQ(twice.status, Status::kImpossible);
  EXPECT_EQ(twice.conflicting, (std::vector<std::size_t>{0, 1}));
}

TEST(Diagnosis, ObservationsThatDoNotFitTheNetworkAreRefused) {
  const InstanceNetwork network = testing::sample_network(2);
  const Problems problems = check_observations(network, {{"bubles", "", {0, 1}, "", false},
                                                         {"bubbles", "", {0, 1, 0}, "", false},
                                                         {"compression", "3", {0, 1, 0}, "", false},
                                                         {"hot", "", {0, 0}, "", false},
                                                         {"hot", "", {-1, 2}, "", false},
                                                         {"hot", "", {0, std::nan("")}, "", false},
                                                         {"cap", "", {0, 1}, "", false}});
  EXPECT_EQ(problems.size(), 7U);
  EXPECT_NE(problems[0].mend.find("bubbles"), std::string::npos);
  EXPECT_THROW((void)diagnose(network, {{"bubles", "", {0, 1}, "", false}}), ContractError);
}

TEST(Diagnosis, WorksFromOneCylinderToSixteen) {
  for (std::size_t cylinders : {1, 2, 3, 4, 6, 8, 12, 16}) {
    const InstanceNetwork network = testing::sample_network(cylinders, cylinders >= 6 ? 2 : 1);
    std::vector<Observation> observations{seen(network, "bubbles", "", 1), seen(network, "hot", "", 1)};
    for (std::size_t i = 1; i <= cylinders; ++i) observations.push_back(seen(network, "compression", std::to_string(i), i == 1 ? 2 : 0));
    DiagnosisOptions options;
    options.bands = false;
    const Diagnosis result = diagnose(network, observations, options);
    ASSERT_EQ(result.status, Status::kDone) << cylinders;
    EXPECT_GT(posterior(result, network, "joint_failed"), .5);
  }
}

TEST(Diagnosis, HeadForEachCylinderHasNoBridges) {
  const InstanceNetwork network = testing::sample_network(3, 3);
  EXPECT_EQ(network.find("gas_next@1-2"), -1);
  EXPECT_GE(network.find("face_out@3"), 0);
  EXPECT_EQ(diagnose(network, {seen(network, "bubbles", "", 1)}).status, Status::kDone);
}

}  // namespace
}  // namespace headjoint::diagnosis
