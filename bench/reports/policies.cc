// Simulated engines that come in under suspicion: what fixed rules cost beside the choice of the program, in workshop hours a job.
// Every engine is drawn from the network; each rule sees the same signs; the cost is what its choice is expected to come to with what
// is truly wrong with the engine. Usage: policies [jobs] [engine file]

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <string>
#include <vector>

#include "headjoint/assess/engine_layout.h"
#include "headjoint/assess/finding.h"
#include "headjoint/assess/options_answer.h"
#include "headjoint/assess/repair_in_hand.h"
#include "headjoint/base/error.h"
#include "headjoint/base/file.h"
#include "headjoint/diagnosis/simulator.h"
#include "headjoint/joint/engine_file.h"

namespace headjoint {
namespace {

using namespace diagnosis;
using repair::Option;

constexpr int kMostChecks = 4;  // a workshop buys no more before it decides

/// What has been told and seen when the engine comes in: most of the story, a look under the bonnet, few tests.
bool is_looked_at(const Finding& finding, std::mt19937& random) {
  if (finding.kind == FindingKind::kHidden || finding.needs == "head_off" || finding.kind == FindingKind::kReading) return false;
  if (finding.kind == FindingKind::kTest) return random() % 10 == 0;
  return random() % 3 != 0;
}

/// The engine as the options see it, with chances after these looks.
struct Judged {
  assess::Assessment assessed;
  assess::RepairInHand in_hand;
  InstanceNetwork network;
  NextChecks ranked;
};

Judged judge(const jobs::Job& job, const InstanceNetwork& plain, const std::vector<Observation>& looks, const repair::ShopPrices& prices) {
  Judged judged{{}, {}, plain, {}};
  judged.assessed.job = job;
  judged.assessed.finding = assess::finding_of(plain, looks, {});
  judged.in_hand = assess::repair_in_hand(plain, looks, judged.assessed, {}, prices);
  if (judged.in_hand.status != "done") return judged;
  assess::set_costs(judged.network, judged.in_hand);
  assess::NextSteps steps = assess::next_steps(judged.network, looks, false);
  judged.assessed.next_checks = std::move(steps.checks);
  judged.ranked = std::move(steps.ranked);
  assess::take_rivals(judged.in_hand, judged.network, judged.ranked);
  return judged;
}

/// What an option comes to on this engine, knowing what is wrong with it; the causes cured along are those that were judged worth it.
double true_cost(const Judged& judged, const DrawnEngine& engine, Option option) {
  repair::RepairCase truth = judged.in_hand.repair_case;
  const auto state_of = [&](const std::vector<CauseEvent>& events) {
    std::size_t state = 0;
    for (std::size_t e = 0; e < events.size(); ++e)
      for (const std::size_t i : events[e])
        if (engine.state[i] > 0) state |= std::size_t{1} << e;
    return state;
  };
  std::fill(truth.leaks.begin(), truth.leaks.end(), 0.0);
  truth.leaks[state_of(judged.in_hand.leak_events)] = 1;
  std::fill(truth.parts.begin(), truth.parts.end(), 0.0);
  truth.parts[state_of(judged.in_hand.part_events)] = 1;
  for (repair::Rival& rival : truth.rivals) {
    rival.chance = rival.left = 0;
    for (std::size_t i = 0; i < judged.network.instances.size(); ++i) {
      if (!judged.network.instances[i].is_cause || judged.network.cause(i).decision != rival.decision || engine.state[i] == 0) continue;
      rival.chance = 1;
      rival.left = std::max(rival.left, judged.in_hand.prices.cost_of_minutes(judged.network.cause(i).left_minutes));
    }
  }
  const auto options = repair::option_costs(truth, judged.in_hand.prices, judged.in_hand.cured);
  return options[static_cast<std::size_t>(option)].expected_cost;
}

/// The program's own choice, its checks bought first.
double own_cost(const jobs::Job& job, const InstanceNetwork& plain, std::vector<Observation> looks, const DrawnEngine& engine,
                const repair::ShopPrices& prices, std::mt19937& random) {
  double spent = 0;
  for (int checks = 0;; ++checks) {
    const Judged judged = judge(job, plain, looks, prices);
    const assess::OptionsAnswer answer = assess::options_answer(judged.in_hand, judged.network, looks, judged.ranked, judged.assessed, {});
    if (answer.chosen == "check_more" && checks < kMostChecks) {
      const int instance = plain.find(answer.check.check, answer.check.where);
      looks.push_back(look_at(plain, engine, static_cast<std::size_t>(instance), random));
      spent += answer.check.cost;
      continue;
    }
    for (std::size_t o = 0; o < repair::kOptions; ++o)
      if (repair::name_of(static_cast<Option>(o)) == answer.after_check) return spent + true_cost(judged, engine, static_cast<Option>(o));
    return spent;
  }
}

/// Strip when the colour test changes; the test is made where it was not.
double by_colour_test(const jobs::Job& job, const InstanceNetwork& plain, std::vector<Observation> looks, const DrawnEngine& engine,
                      const repair::ShopPrices& prices, std::mt19937& random) {
  constexpr double kMinutes = 15 + 15 + 5;  // engine run warm, test, fluid
  const auto made = std::find_if(looks.begin(), looks.end(), [](const Observation& look) { return look.finding == "colour_test"; });
  double spent = 0;
  bool has_turned = made != looks.end() && made->likelihood.front() == 0;
  if (made == looks.end()) {
    looks.push_back(look_at(plain, engine, static_cast<std::size_t>(plain.find("colour_test")), random));
    spent = prices.cost_of_minutes(kMinutes);
    has_turned = looks.back().likelihood.front() == 0;
  }
  return spent + true_cost(judge(job, plain, looks, prices), engine, has_turned ? Option::kGasketAndHeadService : Option::kCureRival);
}

struct Mean {
  double mean = 0;
  double half = 0;  ///< 95 % interval
};

Mean mean_of(const std::vector<double>& values) {
  Mean result;
  for (const double value : values) result.mean += value / static_cast<double>(values.size());
  double square = 0;
  for (const double value : values) square += (value - result.mean) * (value - result.mean);
  result.half = 1.96 * std::sqrt(square / static_cast<double>(values.size() - 1) / static_cast<double>(values.size()));
  return result;
}

}  // namespace
}  // namespace headjoint

int main(int argc, char** argv) {
  using namespace headjoint;
  const std::size_t jobs = argc > 1 ? std::strtoul(argv[1], nullptr, 10) : 300;
  const std::string file = argc > 2 ? argv[2] : std::string(HEADJOINT_SOURCE_DIR) + "/data/engines/marlow-16.toml";
  jobs::Job job;
  job.engine = *joint::read_engine_text(read_file(file), file, joint::beside_file(file));
  const diagnosis::InstanceNetwork network = assess::network_of(job.engine, {});
  const auto prices = assess::shop_prices({}, {});
  const std::vector<std::string> names{"always strip", "never strip", "strip when the colour test turns", "the program's choice"};
  std::vector<std::vector<double>> cost(names.size());
  std::mt19937 random(2026);
  for (std::size_t j = 0; j < jobs; ++j) {
    const diagnosis::DrawnEngine engine = diagnosis::draw_engine(network, random);
    std::vector<diagnosis::Observation> looks;
    for (std::size_t i = 0; i < network.instances.size(); ++i)
      if (!network.instances[i].is_cause && is_looked_at(network.finding(i), random))
        looks.push_back(diagnosis::look_at(network, engine, i, random));
    const Judged judged = judge(job, network, looks, *prices);
    if (judged.in_hand.status != "done") continue;
    cost[0].push_back(true_cost(judged, engine, repair::Option::kGasketAndHeadService));
    cost[1].push_back(true_cost(judged, engine, repair::Option::kCureRival));
    cost[2].push_back(by_colour_test(job, network, looks, engine, *prices, random));
    cost[3].push_back(own_cost(job, network, looks, engine, *prices, random));
  }
  fmt::print("{} jobs on {}; expected cost of the choice with what is truly wrong, {} a job\n", cost[0].size(), job.engine.name,
             prices->unit);
  for (std::size_t p = 0; p < names.size(); ++p) {
    std::vector<double> saved;
    for (std::size_t j = 0; j < cost[p].size(); ++j) saved.push_back(cost[p][j] - cost.back()[j]);
    const Mean mean = mean_of(cost[p]);
    const Mean more = mean_of(saved);
    fmt::print("  {:<34}{:>7.2f} +- {:.2f}", names[p], mean.mean, mean.half);
    if (p + 1 < names.size()) fmt::print("   costs {:+.2f} +- {:.2f} more than the program's choice", more.mean, more.half);
    fmt::print("\n");
  }
}
