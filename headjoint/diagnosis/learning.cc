#include "headjoint/diagnosis/learning.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <tuple>

#include "headjoint/base/error.h"

namespace headjoint::diagnosis {
namespace {

using Key = std::tuple<LearntKind, std::string, std::string, std::size_t>;

struct Count {
  double shipped_sum = 0;
  std::size_t hits = 0;
  std::size_t cases = 0;
};
using Counts = std::map<Key, Count>;

void add(Counts& counts, Key key, double shipped, bool is_hit) {
  if (!(shipped > 0 && shipped < 1)) return;
  Count& count = counts[std::move(key)];
  count.shipped_sum += shipped;
  ++count.cases;
  if (is_hit) ++count.hits;
}

bool is_settled_by_closing(Layer layer) { return layer == Layer::kPath || layer == Layer::kRival || layer == Layer::kAny; }

/// What is known of every cause once the job is closed.
struct Outcome {
  std::vector<bool> is_known;
  std::vector<bool> is_there;
};

Outcome outcome_of(const InstanceNetwork& network, const std::vector<std::string>& found) {
  const std::size_t n = network.instances.size();
  Outcome outcome{std::vector<bool>(n, false), std::vector<bool>(n, false)};
  for (const std::string& name : found) {
    const int instance = network.find(name);
    require(instance >= 0 && network.instances[static_cast<std::size_t>(instance)].is_cause, "a closure names what the network lacks");
    outcome.is_known[static_cast<std::size_t>(instance)] = outcome.is_there[static_cast<std::size_t>(instance)] = true;
  }
  for (std::size_t i = 0; i < n; ++i) {
    const Instance& instance = network.instances[i];
    if (!instance.is_cause || !is_settled_by_closing(network.cause(i).layer)) continue;
    outcome.is_known[i] = true;
    if (network.cause(i).layer != Layer::kAny) continue;
    for (const Influence& parent : instance.parents) outcome.is_there[i] = outcome.is_there[i] || outcome.is_there[parent.parent];
  }
  return outcome;
}

/// The flag that stands for a row at any place, or -1.
int flag_of(const InstanceNetwork& network, std::size_t instance) {
  for (std::size_t i = 0; i < network.instances.size(); ++i) {
    if (!network.instances[i].is_cause || network.cause(i).layer != Layer::kAny) continue;
    const auto& parents = network.instances[i].parents;
    const bool is_of_one_row = std::all_of(parents.begin(), parents.end(), [&](const Influence& p) {
      return network.instances[p.parent].row == network.instances[instance].row && network.instances[p.parent].is_cause;
    });
    if (is_of_one_row && std::any_of(parents.begin(), parents.end(), [&](const Influence& p) { return p.parent == instance; }))
      return static_cast<int>(i);
  }
  return -1;
}

/// One case for each cause of the pattern that this engine could have.
void count_chances(const InstanceNetwork& network, const std::vector<double>& prior, const Outcome& outcome, Counts& counts) {
  std::map<std::size_t, std::vector<std::size_t>> places;  // of each row
  for (std::size_t i = 0; i < network.instances.size(); ++i) {
    if (!network.instances[i].is_cause) continue;
    const Layer layer = network.cause(i).layer;
    if (layer == Layer::kPath || layer == Layer::kRival) places[network.instances[i].row].push_back(i);
  }
  for (const auto& [row, instances] : places) {
    const int flag = instances.size() > 1 ? flag_of(network, instances.front()) : -1;
    double none = 1;
    for (const std::size_t i : instances) none *= 1 - prior[i];
    const double shipped = flag >= 0 ? prior[static_cast<std::size_t>(flag)] : 1 - none;
    const bool is_hit = std::any_of(instances.begin(), instances.end(), [&](std::size_t i) { return outcome.is_there[i]; });
    add(counts, {LearntKind::kChance, network.pattern.causes[row].name, {}, 1}, instances.size() == 1 ? prior[instances.front()] : shipped,
        is_hit);
  }
}

/// The state of a sure look, or -1.
int sure_state(const Observation& observation) {
  int state = -1;
  for (std::size_t s = 0; s < observation.likelihood.size(); ++s) {
    if (!(observation.likelihood[s] > 0)) continue;
    if (state >= 0) return -1;
    state = static_cast<int>(s);
  }
  return state;
}

void count_look(const InstanceNetwork& network, const Outcome& outcome, const Observation& observation, Counts& counts) {
  const int found = network.find(observation.finding, observation.place);
  require(found >= 0, "a closed case observes what the network lacks");
  const Instance& instance = network.instances[static_cast<std::size_t>(found)];
  const int state = sure_state(observation);
  if (observation.over_measured || instance.measures >= 0 || state < 0) return;
  const Influence* only = nullptr;
  for (const Influence& parent : instance.parents) {
    if (!outcome.is_known[parent.parent]) return;
    if (!outcome.is_there[parent.parent]) continue;
    if (only != nullptr) return;
    only = &parent;
  }
  for (std::size_t k = 0; k + 1 < instance.states; ++k) {
    const bool is_hit = static_cast<std::size_t>(state) > k;
    if (only == nullptr)
      add(counts, {LearntKind::kFalsePositive, {}, observation.finding, k + 1}, instance.leak[k], is_hit);
    else if (only->strength[k] > 0 && only->strength[k] < 1)
      add(counts, {LearntKind::kStrength, network.cause(only->parent).name, observation.finding, k + 1},
          1 - (1 - instance.leak[k]) * (1 - only->strength[k]), is_hit);
  }
}

// ---- learnt figures put into a pattern ----

double odds(double chance) { return chance / (1 - chance); }

/// Moved by a factor on the odds; what was outside the limits before may stay where it was.
double scaled(double chance, double factor) {
  if (!(chance > 0 && chance < 1)) return chance;
  const double moved = odds(chance) * factor;
  return std::clamp(moved / (1 + moved), std::min(chance, kLearntFloor), std::max(chance, kLearntCeiling));
}

void apply_chance(Pattern& pattern, const LearntNumber& number) {
  const double factor = odds(number.learnt) / odds(number.shipped);
  const int row = pattern.cause(number.cause);
  require(row >= 0, "a learnt chance of an unknown cause");
  Cause& cause = pattern.causes[static_cast<std::size_t>(row)];
  cause.chance = std::min(scaled(cause.chance, factor), std::max(cause.chance, kChanceCap));
  for (Link& link : pattern.links)
    if (link.effect == number.cause)
      for (double& strength : link.strength) strength = scaled(strength, factor);
}

void apply_false_positive(Pattern& pattern, const LearntNumber& number) {
  const int row = pattern.finding(number.sign);
  require(row >= 0, "a learnt figure of an unknown sign");
  std::vector<double>& grades = pattern.findings[static_cast<std::size_t>(row)].false_positive;
  require(number.grade >= 1 && number.grade <= grades.size(), "a learnt figure of an unknown grade");
  // Contexts multiply what the pattern says: the factor between shipped and learnt is what was learnt.
  double& grade = grades[number.grade - 1];
  grade = std::min(scaled(grade, odds(number.learnt) / odds(number.shipped)), std::max(grade, kChanceCap));
}

void apply_strength(Pattern& pattern, const LearntNumber& number) {
  const int row = pattern.finding(number.sign);
  const auto link = std::find_if(pattern.links.begin(), pattern.links.end(),
                                 [&](const Link& one) { return one.cause == number.cause && one.effect == number.sign; });
  require(row >= 0 && link != pattern.links.end(), "a learnt strength of an unknown link");
  const std::vector<double>& leak = pattern.findings[static_cast<std::size_t>(row)].false_positive;
  require(number.grade >= 1 && number.grade <= link->strength.size(), "a learnt strength of an unknown grade");
  const double shows_anyway = leak[number.grade - 1];
  const double net = number.learnt > shows_anyway ? net_strength(number.learnt, shows_anyway) : 0;
  link->strength[number.grade - 1] = std::clamp(net, kLearntFloor, kLearntCeiling);
}

/// A higher grade is never likelier than a lower one.
void keep_falling(std::vector<double>& grades) {
  for (std::size_t k = 1; k < grades.size(); ++k) grades[k] = std::min(grades[k], grades[k - 1]);
}

}  // namespace

std::string_view to_text(LearntKind kind) {
  switch (kind) {
    case LearntKind::kChance:
      return "chance";
    case LearntKind::kStrength:
      return "strength";
    case LearntKind::kFalsePositive:
      return "false_positive";
  }
  return "";
}

std::vector<double> chances_before(const InstanceNetwork& network) {
  DiagnosisOptions options;
  options.bands = options.weights = false;
  const Diagnosis before = diagnose(network, {}, options);
  require(before.status == Status::kDone, "a network without evidence can be evaluated");
  std::vector<double> chances(network.instances.size(), 0);
  for (const CausePosterior& cause : before.causes) chances[cause.instance] = cause.prior;
  return chances;
}

Learnt learn(std::span<const ClosedCase> cases, double equivalent_cases) {
  require(equivalent_cases >= kLeastEquivalentCases && equivalent_cases <= kMostEquivalentCases, "equivalent cases out of range");
  Learnt learnt;
  learnt.equivalent_cases = equivalent_cases;
  Counts counts;
  for (const ClosedCase& closed : cases) {
    require(closed.network != nullptr, "a closed case needs its network");
    if (!closed.is_verified) {
      ++learnt.left_out;
      continue;
    }
    ++learnt.closures;
    const Outcome outcome = outcome_of(*closed.network, closed.found);
    require(closed.before.empty() || closed.before.size() == closed.network->instances.size(), "one chance for each instance");
    count_chances(*closed.network, closed.before.empty() ? chances_before(*closed.network) : closed.before, outcome, counts);
    for (const Observation& observation : closed.observations) count_look(*closed.network, outcome, observation, counts);
  }
  for (const auto& [key, count] : counts) {
    const auto& [kind, cause, sign, grade] = key;
    const double shipped = count.shipped_sum / static_cast<double>(count.cases);
    learnt.numbers.push_back({kind, cause, sign, grade, shipped, count.hits, count.cases,
                              learnt_chance(shipped, equivalent_cases, count.hits, count.cases), wilson_interval(count.hits, count.cases)});
  }
  return learnt;
}

Pattern with_learnt(Pattern pattern, const Learnt& learnt) {
  for (const LearntNumber& number : learnt.numbers)
    if (number.kind == LearntKind::kFalsePositive) apply_false_positive(pattern, number);
  for (const LearntNumber& number : learnt.numbers)
    if (number.kind == LearntKind::kStrength) apply_strength(pattern, number);
  for (const LearntNumber& number : learnt.numbers)
    if (number.kind == LearntKind::kChance) apply_chance(pattern, number);
  if (learnt.numbers.empty()) return pattern;
  for (Finding& finding : pattern.findings) keep_falling(finding.false_positive);
  for (Link& link : pattern.links) keep_falling(link.strength);
  return pattern;
}

}  // namespace headjoint::diagnosis
