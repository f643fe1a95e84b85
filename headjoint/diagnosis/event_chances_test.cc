// Chances of several events together: they agree with the posteriors, and with another engine of inference one event at a time.
#include "headjoint/diagnosis/event_chances.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "headjoint/base/error.h"
#include "headjoint/diagnosis/testing/enumeration.h"
#include "headjoint/diagnosis/testing/random_small.h"

namespace headjoint::diagnosis {
namespace {

constexpr double kSame = 1e-9;

double chance_by_enumeration(const InstanceNetwork& network, const std::vector<Observation>& looks, const std::vector<CauseEvent>& events,
                             std::size_t combination) {
  const testing::Enumeration all(network);
  const auto happens = [&](const CauseEvent& event, const std::vector<std::size_t>& state) {
    return std::any_of(event.begin(), event.end(), [&](std::size_t i) { return state[i] > 0; });
  };
  const double with = all.sum([&](const std::vector<std::size_t>& state) {
    for (std::size_t e = 0; e < events.size(); ++e)
      if (happens(events[e], state) != (((combination >> e) & 1U) != 0)) return 0.0;
    return all.likelihood(state, looks);
  });
  return with / all.sum([&](const std::vector<std::size_t>& state) { return all.likelihood(state, looks); });
}

TEST(EventChances, EveryCombinationAgreesWithEnumeration) {
  constexpr unsigned kNetworks = 40;
  for (unsigned seed = 0; seed < kNetworks; ++seed) {
    testing::RandomSmall random(seed);
    const InstanceNetwork& network = random.network();
    const std::vector<Observation> looks = random.observations();
    const auto cause = [&](int i) { return static_cast<std::size_t>(network.find("c" + std::to_string(i))); };
    // Overlapping events, the flag over c2, c3, c4 among them, and one that never happens.
    const std::vector<CauseEvent> events = {{cause(0)}, {cause(1), cause(2)}, {cause(5)}, {}, {cause(3), cause(0)}};
    const EventChances chances = event_chances(network, looks, events);
    // Two sure looks at one finding may contradict each other.
    const testing::Enumeration whole(network);
    if (whole.sum([&](const auto& state) { return whole.likelihood(state, looks); }) == 0) {
      EXPECT_EQ(chances.status, Status::kImpossible) << "seed " << seed;
      continue;
    }
    ASSERT_EQ(chances.status, Status::kDone) << "seed " << seed;
    double sum = 0;
    for (std::size_t c = 0; c < chances.chance.size(); ++c) {
      sum += chances.chance[c];
      EXPECT_NEAR(chances.chance[c], chance_by_enumeration(network, looks, events, c), kSame) << "seed " << seed << " combination " << c;
    }
    EXPECT_NEAR(sum, 1, kSame);
  }
}

TEST(EventChances, WithoutEventsThereIsOneCombination) {
  testing::RandomSmall random(1);
  const EventChances chances = event_chances(random.network(), {}, {});
  ASSERT_EQ(chances.status, Status::kDone);
  EXPECT_EQ(chances.chance, std::vector<double>{1.0});
}

TEST(EventChances, AFindingIsNoEvent) {
  testing::RandomSmall random(1);
  const auto finding = static_cast<std::size_t>(random.network().find("f0"));
  EXPECT_THROW((void)event_chances(random.network(), {}, {{finding}}), ContractError);
}

}  // namespace
}  // namespace headjoint::diagnosis
