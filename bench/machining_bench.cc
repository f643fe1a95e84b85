#include <benchmark/benchmark.h>

#include <cmath>
#include <random>
#include <string>

#include "headjoint/base/error.h"
#include "headjoint/base/file.h"
#include "headjoint/joint/engine_file.h"
#include "headjoint/machining/consequences.h"
#include "headjoint/machining/shim_plan.h"

namespace headjoint::machining {
namespace {

constexpr unsigned kSeed = 20260;

Length mm(double value) { return Length::from_si(value * 1e-3); }

/// Valves out of adjustment both ways, a drawer of worn and odd sizes, sizes by 0.05 mm on sale.
ShimTask bench_task(std::int64_t valves, std::int64_t drawer) {
  std::mt19937 random(kSeed);
  std::uniform_real_distribution<double> lash(0.05, 0.50), shim(2.2, 2.9);
  const auto rounded = [&](double value) { return std::round(value * 200) / 200; };
  ShimTask task;
  for (std::int64_t i = 0; i < valves; ++i) {
    const double target = i % 2 == 0 ? 0.20 : 0.30;
    task.valves.push_back({"v", mm(rounded(lash(random))), mm(rounded(shim(random))), mm(target - 0.03), mm(target + 0.03), mm(target), 1});
  }
  for (std::int64_t i = 0; i < drawer; ++i) task.drawer.push_back(mm(rounded(shim(random))));
  task.sale = SizesOnSale{mm(2.0), mm(3.0), mm(0.05)};
  return task;
}

void shim_plan(benchmark::State& state) {
  const ShimTask task = bench_task(state.range(0), state.range(1));
  for (auto _ : state) {
    const ShimPlan plan = plan_shims(task);
    if (plan.status != ShimPlan::Status::kProven) state.SkipWithError("not proven");
    benchmark::DoNotOptimize(plan);
  }
}
BENCHMARK(shim_plan)->Args({16, 50})->Args({32, 200})->Args({64, 1000})->Unit(benchmark::kMillisecond);

void all_consequences(benchmark::State& state) {
  const std::string path = std::string(HEADJOINT_SOURCE_DIR) + "/data/engines/ostery-v30.toml";
  const auto engine = joint::read_engine_text(read_file(path), path, joint::beside_file(path));
  Cut cut;
  cut.head = mm(0.15);
  for (auto _ : state) benchmark::DoNotOptimize(consequences_of(*engine, cut));
}
BENCHMARK(all_consequences)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace headjoint::machining
