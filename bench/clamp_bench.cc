#include <benchmark/benchmark.h>

#include "headjoint/clamp/sealing_chance.h"
#include "headjoint/clamp/test_joints.h"
#include "headjoint/clamp/tightening.h"
#include "headjoint/numerics/banded_cholesky.h"

namespace headjoint::clamp {
namespace {

using namespace testing;

ClampOptions grid_of(const benchmark::State& state) { return {.grid = length(static_cast<double>(state.range(0)))}; }

void yardstick_band_factor(benchmark::State& state) {
  numerics::BandedMatrix matrix(9135, 110);  // the size of 430 x 170 mm at 5 mm
  for (std::size_t j = 0; j < 9135; ++j) {
    for (std::size_t i = j + 1; i < std::min<std::size_t>(9135, j + 111); ++i) matrix.add(i, j, 0.3);
    matrix.add(j, j, 100);
  }
  numerics::BandedCholesky cholesky(matrix);
  for (auto _ : state) benchmark::DoNotOptimize(cholesky.factor(matrix));
}
BENCHMARK(yardstick_band_factor)->Unit(benchmark::kMillisecond);

void set_up(benchmark::State& state) {
  const ClampModel model = four_cylinder();
  for (auto _ : state) benchmark::DoNotOptimize(ClampedJoint(model, grid_of(state)));
}
BENCHMARK(set_up)->Arg(5)->Arg(10)->Unit(benchmark::kMillisecond);

/// First solve after set-up, bolts as forces, closed everywhere.
void full_contact(benchmark::State& state) {
  const ClampModel model = four_cylinder();
  for (auto _ : state) {
    state.PauseTiming();
    ClampedJoint joint(model, grid_of(state));
    state.ResumeTiming();
    benchmark::DoNotOptimize(joint.solve({}));
  }
}
BENCHMARK(full_contact)->Arg(3)->Arg(5)->Arg(10)->Unit(benchmark::kMillisecond);

/// First solve after set-up with gas that lifts a bore and its neighbours, bolts locked.
void with_lift_off(benchmark::State& state) {
  const ClampModel model = four_cylinder();
  ClampLoads loads;
  loads.gas[2] = bar(400);
  for (auto _ : state) {
    state.PauseTiming();
    ClampedJoint joint(model, grid_of(state));
    state.ResumeTiming();
    const ClampResult result = joint.solve(loads);
    state.counters["open_share"] = result.summary.open_area_fraction;
    state.counters["steps"] = result.summary.steps;
  }
}
BENCHMARK(with_lift_off)->Arg(3)->Arg(5)->Arg(10)->Unit(benchmark::kMillisecond);

/// A figure dragged in the page: the same joint again with another preload.
void dragged(benchmark::State& state) {
  ClampedJoint joint(four_cylinder(), grid_of(state));
  ClampLoads loads;
  loads.gas[2] = bar(80);
  double preload = 40;
  for (auto _ : state) {
    preload = preload > 50 ? 40 : preload + 0.5;
    loads.preload = kilonewton(preload);
    benchmark::DoNotOptimize(joint.solve(loads));
  }
}
BENCHMARK(dragged)->Arg(5)->Arg(10)->Unit(benchmark::kMillisecond);

/// Ten bolts, three passes.
void tighten_thirty_steps(benchmark::State& state) {
  ClampedJoint joint(four_cylinder(), grid_of(state));
  const TighteningPlan plan = even_plan(joint.model(), kilonewton(45), 3);
  for (auto _ : state) benchmark::DoNotOptimize(tighten(joint, plan));
}
BENCHMARK(tighten_thirty_steps)->Arg(5)->Arg(10)->Unit(benchmark::kMillisecond);

/// One thread's half of a thousand samples; every bore fires in turn.
void five_hundred_samples(benchmark::State& state) {
  ClampedJoint joint(four_cylinder(), grid_of(state));
  SealCase seal_case;
  for (int i = 1; i <= 4; ++i) seal_case.firing[i] = bar(90);
  seal_case.scatter.face = length(0.01);
  for (auto _ : state) benchmark::DoNotOptimize(sample_sealing(joint, seal_case, 1, 0, 500));
  state.counters["MB"] = static_cast<double>(joint.memory_bytes()) / 1e6;
}
BENCHMARK(five_hundred_samples)->Arg(5)->Arg(10)->Unit(benchmark::kMillisecond);

/// The slab of bench/calculix: its figures are the counters.
void calculix_slab(benchmark::State& state) {
  const bool lifts = state.range(0) == 1;
  ClampModel model = slab(box(300, 120), 72e3, 0.33, 15, lifts ? 60 : 5, {}, 22.5676);  // washer of 400 mm2
  model.bolts.at = lifts ? std::vector<PlanPoint>{{150, 60}} : std::vector<PlanPoint>{{50, 30}, {250, 30}, {50, 90}, {250, 90}};
  ClampLoads loads;
  loads.preload = kilonewton(20);
  for (auto _ : state) {
    const ClampResult result = clamp(model, loads, {.grid = length(5)});
    const PressureField& f = result.field;
    const auto cell = [&](double x, double y) {
      return static_cast<std::size_t>(y / f.dy_mm) * static_cast<std::size_t>(f.columns) + static_cast<std::size_t>(x / f.dx_mm);
    };
    state.counters["touching_mm2"] = result.summary.contact_area_mm2 - result.summary.open_area_mm2;
    state.counters["reaction_N"] = result.summary.reaction_N;
    state.counters["bolt_um"] = result.bolts[0].movement.si() * 1e6;
    state.counters["centre_um"] = 1e3 * f.movement_mm[cell(149, 59)];
    state.counters["corner_um"] = 1e3 * f.movement_mm[cell(1, 1)];
  }
}
BENCHMARK(calculix_slab)->Arg(0)->Arg(1)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace headjoint::clamp
