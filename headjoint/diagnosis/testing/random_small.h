#pragma once

#include <algorithm>
#include <random>
#include <string>
#include <vector>

#include "headjoint/diagnosis/finding.h"

namespace headjoint::diagnosis::testing {

/// A random pattern small enough to enumerate: binary and graded nodes, a flag, a hidden graded node with readings and a child.
class RandomSmall {
 public:
  explicit RandomSmall(unsigned seed) : random_(seed) {
    for (std::size_t i = 0; i < 5; ++i)
      add_cause(pick(2) == 0 && i > 1 ? Layer::kPath : Layer::kRoot, chance(.4), i == 0 ? "" : (i < 3 ? "first" : "second"));
    add_cause(Layer::kAny, 0, "");
    for (std::size_t i = 2; i < 5; ++i) link(i, pattern_.causes[5].name, {1.0});
    for (std::size_t effect = 1; effect < 5; ++effect)
      for (std::size_t cause = 0; cause < effect; ++cause)
        if (pick(2) == 0) link(cause, pattern_.causes[effect].name, {chance(1)});
    add_finding("hidden", FindingKind::kHidden, 3);
    for (std::size_t f = 0; f < 4; ++f) add_finding("f" + std::to_string(f), FindingKind::kTest, 2 + pick(2));
    for (const Finding& finding : pattern_.findings)
      for (std::size_t cause = 0; cause < 6; ++cause)
        if (pick(3) != 0) link(cause, finding.name, falling(finding.states.size() - 1, 1));
    pattern_.links.push_back({"hidden", "f3", falling(pattern_.findings[4].states.size() - 1, 1), "test", ""});
    add_reading("first_reading");
    add_reading("second_reading");
    network_ = build(pattern_, {}, {});
  }

  const InstanceNetwork& network() const { return network_; }

  /// Sure, doubtful and repeated looks at some of the findings.
  std::vector<Observation> observations() {
    std::vector<Observation> result;
    for (const Finding& finding : pattern_.findings) {
      if (finding.kind == FindingKind::kHidden) continue;
      for (std::size_t looks = pick(3); looks > 0; --looks) {
        Observation observation{finding.name, "", {}, finding.name, !finding.measures.empty() && pick(2) == 0};
        const std::size_t states = observation.over_measured ? 3 : finding.states.size();
        observation.likelihood = seen_state(states, pick(states));
        if (pick(2) == 0)
          for (double& value : observation.likelihood) value = chance(1);
        result.push_back(observation);
      }
    }
    return result;
  }

 private:
  std::size_t pick(std::size_t count) { return random_() % count; }
  double chance(double high) { return high * (0.02 + 0.96 * static_cast<double>(random_() % 10007) / 10007); }
  std::vector<double> falling(std::size_t count, double high) {
    std::vector<double> values;
    for (std::size_t i = 0; i < count; ++i) values.push_back(chance(high));
    std::sort(values.rbegin(), values.rend());
    return values;
  }
  void add_cause(Layer layer, double leak, const std::string& decision) {
    pattern_.causes.push_back(
        {"c" + std::to_string(pattern_.causes.size()), "c", layer, "engine", leak, 100 + chance(200), chance(1000), decision, "test", ""});
  }
  void add_finding(const std::string& name, FindingKind kind, std::size_t states) {
    Finding finding;
    finding.name = name;
    finding.kind = kind;
    finding.scope = "engine";
    for (std::size_t k = 0; k < states; ++k) finding.states.push_back("s" + std::to_string(k));
    finding.false_positive = falling(states - 1, .3);
    finding.minutes = 5;
    pattern_.findings.push_back(finding);
  }
  void add_reading(const std::string& name) {
    add_finding(name, FindingKind::kReading, 3);
    Finding& finding = pattern_.findings.back();
    finding.false_positive.clear();
    finding.measures = "hidden";
    for (std::size_t row = 0; row < 3; ++row) {
      const double a = chance(.5);
      const double b = chance(.5);
      finding.confusion.push_back({a, b, 1 - a - b});
    }
  }
  void link(std::size_t cause, const std::string& effect, std::vector<double> strength) {
    pattern_.links.push_back({pattern_.causes[cause].name, effect, std::move(strength), "test", ""});
  }

  std::mt19937 random_;
  Pattern pattern_;
  InstanceNetwork network_;
};

}  // namespace headjoint::diagnosis::testing
