// Speed of the diagnosis on the sample pattern: posterior of all causes, the whole diagnosis, the ranking of the next check.

#include <benchmark/benchmark.h>

#include <map>
#include <utility>

#include "headjoint/diagnosis/internal/evidence.h"
#include "headjoint/diagnosis/next_check.h"
#include "headjoint/diagnosis/testing/sample_pattern.h"
#include "headjoint/diagnosis/testing/shipped_pattern.h"

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

// ---- the shipped network with everything fitted that can be ----

enum Job : std::int64_t { kWhole, kAllAbsent, kAllPositive };

const InstanceNetwork& shipped_network(std::size_t cylinders, std::size_t heads) {
  static std::map<std::pair<std::size_t, std::size_t>, InstanceNetwork> networks;
  const auto key = std::make_pair(cylinders, heads);
  if (!networks.contains(key))
    networks.emplace(
        key, build(testing::shipped_pattern(HEADJOINT_SOURCE_DIR), testing::engine_layout(cylinders, heads), testing::everything_fitted()));
  return networks.at(key);
}

std::vector<Observation> job_of(const InstanceNetwork& network, std::int64_t job) {
  return job == kWhole ? testing::whole_job(network) : testing::all_looked_at(network, job == kAllAbsent ? 0 : 9);
}

/// Order search, tree, running bound and every posterior: all that one diagnosis without bands and weights takes.
void BM_ShippedFirst(benchmark::State& state) {
  const InstanceNetwork& network = shipped_network(static_cast<std::size_t>(state.range(0)), static_cast<std::size_t>(state.range(1)));
  const auto observations = job_of(network, state.range(2));
  DiagnosisOptions options;
  options.bands = options.weights = false;
  for (auto _ : state) benchmark::DoNotOptimize(diagnose(network, observations, options));
}

/// The tree standing: every posterior from tables filled anew.
void BM_ShippedPosterior(benchmark::State& state) {
  const InstanceNetwork& network = shipped_network(static_cast<std::size_t>(state.range(0)), static_cast<std::size_t>(state.range(1)));
  const auto looks = internal::looks_of(network, job_of(network, state.range(2)));
  internal::CompiledNetwork compiled(network, internal::combined(network, looks), {});
  internal::CauseChances chances(network, compiled);
  for (auto _ : state) {
    benchmark::DoNotOptimize(compiled.tree().total(false));
    benchmark::DoNotOptimize(chances.under({}));
  }
  state.counters["cells"] = compiled.cells();
}

void BM_ShippedRanking(benchmark::State& state) {
  const InstanceNetwork& network = shipped_network(static_cast<std::size_t>(state.range(0)), static_cast<std::size_t>(state.range(1)));
  const auto observations = job_of(network, state.range(2));
  CheckOptions options;
  options.pack_candidates = 0;
  options.target = "joint_failed";
  for (auto _ : state) benchmark::DoNotOptimize(rank_checks(network, observations, options));
}

void layouts(benchmark::internal::Benchmark* bench) {
  bench->ArgNames({"cylinders", "heads", "job"})->Unit(benchmark::kMillisecond);
  for (const auto& [cylinders, heads] : {std::pair{4, 1}, {6, 2}, {16, 1}, {16, 2}})
    for (const std::int64_t job : {kWhole, kAllAbsent, kAllPositive}) bench->Args({cylinders, heads, job});
}
BENCHMARK(BM_ShippedFirst)->Apply(layouts);
BENCHMARK(BM_ShippedPosterior)->Apply(layouts);
BENCHMARK(BM_ShippedRanking)->Args({4, 1, kWhole})->Args({16, 1, kWhole})->Args({16, 2, kWhole})->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace headjoint::diagnosis
