// Speed of the diagnosis on the sample pattern: posterior of all causes, the whole diagnosis, the ranking of the next check.

#include <benchmark/benchmark.h>

#include "headjoint/diagnosis/internal/evidence.h"
#include "headjoint/diagnosis/next_check.h"
#include "headjoint/diagnosis/testing/sample_pattern.h"

namespace headjoint::diagnosis {
namespace {

/// Cylinders under heads of at most eight.
InstanceNetwork network_of(std::size_t cylinders) { return testing::sample_network(cylinders, cylinders > 8 ? 2 : 1); }

void BM_Compile(benchmark::State& state) {
  const auto cylinders = static_cast<std::size_t>(state.range(0));
  const InstanceNetwork network = network_of(cylinders);
  const auto looks = internal::combined(network, internal::looks_of(network, testing::typical(network, cylinders)));
  for (auto _ : state) benchmark::DoNotOptimize(internal::CompiledNetwork(network, looks, {}).cells());
}
BENCHMARK(BM_Compile)->Arg(4)->Arg(8)->Arg(16)->Unit(benchmark::kMillisecond);

void BM_Posterior(benchmark::State& state) {
  const auto cylinders = static_cast<std::size_t>(state.range(0));
  const InstanceNetwork network = network_of(cylinders);
  internal::CompiledNetwork compiled(network,
                                     internal::combined(network, internal::looks_of(network, testing::typical(network, cylinders))), {});
  internal::CauseChances chances(network, compiled);
  for (auto _ : state) {
    benchmark::DoNotOptimize(compiled.tree().total(false));
    benchmark::DoNotOptimize(chances.under({}));
  }
  state.counters["cells"] = compiled.cells();
}
BENCHMARK(BM_Posterior)->Arg(4)->Arg(8)->Arg(16)->Unit(benchmark::kMillisecond);

/// One observation taken away: only its way to the root is recomputed.
void BM_TotalWithoutOne(benchmark::State& state) {
  const auto cylinders = static_cast<std::size_t>(state.range(0));
  const InstanceNetwork network = network_of(cylinders);
  const auto looks = internal::looks_of(network, testing::typical(network, cylinders));
  internal::CompiledNetwork compiled(network, internal::combined(network, looks), {});
  internal::Trial trial;
  compiled.replace(trial, looks.front().instance, {}, internal::numbers_of(network.instances[looks.front().instance]));
  for (auto _ : state) benchmark::DoNotOptimize(compiled.tree().total(trial));
}
BENCHMARK(BM_TotalWithoutOne)->Arg(4)->Arg(8)->Arg(16)->Unit(benchmark::kMillisecond);

void BM_Diagnose(benchmark::State& state) {
  const auto cylinders = static_cast<std::size_t>(state.range(0));
  const InstanceNetwork network = network_of(cylinders);
  const auto observations = testing::typical(network, cylinders);
  for (auto _ : state) benchmark::DoNotOptimize(diagnose(network, observations));
}
BENCHMARK(BM_Diagnose)->Arg(4)->Arg(8)->Arg(16)->Unit(benchmark::kMillisecond);

void BM_RankChecks(benchmark::State& state) {
  const auto cylinders = static_cast<std::size_t>(state.range(0));
  const InstanceNetwork network = network_of(cylinders);
  const auto observations = testing::typical(network, cylinders);
  for (auto _ : state) benchmark::DoNotOptimize(rank_checks(network, observations));
}
BENCHMARK(BM_RankChecks)->Arg(4)->Arg(8)->Arg(16)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace headjoint::diagnosis
