#include "headjoint/diagnosis/event_chances.h"

#include <algorithm>
#include <numeric>

#include "headjoint/base/error.h"
#include "headjoint/diagnosis/internal/evidence.h"

namespace headjoint::diagnosis {
namespace {

using internal::CompiledNetwork;
using internal::LogValue;
using internal::Trial;

/// One trial for each set of the events from `first` on, `count` of them: all of the set held absent.
std::vector<Trial> absent_sets(const CompiledNetwork& compiled, const std::vector<CauseEvent>& events, std::size_t first,
                               std::size_t count) {
  std::vector<Trial> trials(std::size_t{1} << count);
  for (std::size_t set = 0; set < trials.size(); ++set)
    for (std::size_t i = 0; i < count; ++i)
      if ((set >> i) & 1U && !events[first + i].empty()) compiled.hold_all_absent(trials[set], events[first + i]);
  return trials;
}

/// From "at least these are absent" to "just these are absent", in place.
void exclude(std::vector<double>& absent, std::size_t events) {
  for (std::size_t i = 0; i < events; ++i)
    for (std::size_t set = 0; set < absent.size(); ++set)
      if (((set >> i) & 1U) == 0) absent[set] -= absent[set | (std::size_t{1} << i)];
}

}  // namespace

EventChances event_chances(const InstanceNetwork& network, const std::vector<Observation>& observations,
                           const std::vector<CauseEvent>& events) {
  require(events.size() <= kMostEvents, "too many events at once");
  for (const CauseEvent& event : events)
    for (const std::size_t i : event) require(i < network.instances.size() && network.instances[i].is_cause, "an event is made of causes");
  CompiledNetwork compiled(network, internal::combined(network, internal::looks_of(network, observations)), {false, true, {}});
  EventChances result;
  result.status = Status::kTooLarge;
  if (compiled.too_large()) return result;
  const LogValue evidence = compiled.tree().total(true);
  result.status = !(evidence.error < 1) || evidence.sign == 0             ? Status::kImpossible
                  : !(evidence.error <= kErrorBound) || evidence.sign < 0 ? Status::kInaccurate
                                                                          : Status::kDone;
  if (result.status != Status::kDone) return result;
  const std::size_t inner = events.size() / 2;
  const std::vector<Trial> outer_sets = absent_sets(compiled, events, inner, events.size() - inner);
  const std::vector<Trial> inner_sets = absent_sets(compiled, events, 0, inner);
  std::vector<double> absent(std::size_t{1} << events.size(), 0.0);
  for (std::size_t outer = 0; outer < outer_sets.size(); ++outer) {
    const internal::Marginals sums = compiled.tree().evaluate(outer_sets[outer], {{}, inner_sets});
    for (std::size_t set = 0; set < inner_sets.size(); ++set) absent[(outer << inner) | set] = sums.on_top[set].over(evidence);
  }
  exclude(absent, events.size());
  const std::size_t all = absent.size() - 1;
  for (double& chance : absent) chance = std::max(chance, 0.0);
  const double sum = std::accumulate(absent.begin(), absent.end(), 0.0);
  for (std::size_t there = 0; there < absent.size(); ++there) result.chance.push_back(absent[all & ~there] / sum);
  return result;
}

}  // namespace headjoint::diagnosis
