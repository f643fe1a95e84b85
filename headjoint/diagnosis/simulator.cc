#include "headjoint/diagnosis/simulator.h"

#include <algorithm>
#include <cmath>

#include "headjoint/base/error.h"

namespace headjoint::diagnosis {
namespace {

/// A number in 0 ... 1, the same on every platform.
double uniform(std::mt19937& random) { return (static_cast<double>(random()) + 0.5) / 4294967296.0; }

double at_most(const Instance& instance, const std::vector<std::size_t>& state, std::size_t k) {
  if (k + 1 >= instance.states) return 1;
  double chance = 1 - instance.leak[k];
  for (const Influence& influence : instance.parents)
    if (state[influence.parent] > 0) chance *= 1 - influence.strength[k];
  return chance;
}

double moved(double value, std::mt19937& random) {
  if (value <= 0 || value >= 1) return value;
  const double factor = random() % 2 == 0 ? std::sqrt(10.0) : 1 / std::sqrt(10.0);
  return value * factor / (1 - value + value * factor);
}

}  // namespace

DrawnEngine draw_engine(const InstanceNetwork& network, std::mt19937& random) {
  DrawnEngine engine;
  engine.state.assign(network.instances.size(), 0);
  for (std::size_t i = 0; i < network.instances.size(); ++i) {
    const Instance& instance = network.instances[i];
    if (instance.measures >= 0) continue;
    const double x = uniform(random);
    while (engine.state[i] + 1 < instance.states && x > at_most(instance, engine.state, engine.state[i])) ++engine.state[i];
  }
  return engine;
}

Observation look_at(const InstanceNetwork& network, const DrawnEngine& engine, std::size_t instance, std::mt19937& random) {
  require(!network.instances[instance].is_cause, "only findings can be looked at");
  const Finding& finding = network.finding(instance);
  std::size_t shown = engine.state[instance];
  if (const int measured = network.instances[instance].measures; measured >= 0) {
    const std::vector<double>& row = finding.confusion[engine.state[static_cast<std::size_t>(measured)]];
    double left = uniform(random);
    for (shown = 0; shown + 1 < row.size() && left > row[shown]; ++shown) left -= row[shown];
  }
  return {finding.name, network.place(instance), seen_state(network.instances[instance].states, shown), network.text(instance), false};
}

InstanceNetwork disturbed(InstanceNetwork network, std::mt19937& random) {
  for (Instance& instance : network.instances) {
    for (double& leak : instance.leak) leak = moved(leak, random);
    std::sort(instance.leak.rbegin(), instance.leak.rend());
    for (Influence& influence : instance.parents) {
      for (double& strength : influence.strength) strength = moved(strength, random);
      std::sort(influence.strength.rbegin(), influence.strength.rend());
    }
  }
  return network;
}

}  // namespace headjoint::diagnosis
