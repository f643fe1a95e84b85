// Function-level times of the leakage module.
#include <benchmark/benchmark.h>

#include <cmath>
#include <vector>

#include "headjoint/leakage/compression.h"
#include "headjoint/leakage/compression_repeat.h"
#include "headjoint/leakage/cylinder_cycle.h"
#include "headjoint/leakage/leak_down.h"
#include "headjoint/leakage/leak_size.h"

namespace headjoint::leakage {
namespace {

const GaugePressure kSupply = GaugePressure::from_pascal(80 * 6894.757);
const GaugePressure kReading = GaugePressure::from_pascal(60 * 6894.757);
LeakDownTest test_at_eighty() { return {.supply = kSupply, .orifice = TesterOrifice::drilled(Length::from_si(1.016e-3))}; }
Cranking cranking() { return {.displacement = Volume::from_si(400e-6)}; }

void mass_flow_choked(benchmark::State& state) {
  const GasState in{AbsolutePressure::from_pascal(7e5), kStandardTemperature}, out{kStandardPressure, kStandardTemperature};
  for (auto _ : state) benchmark::DoNotOptimize(mass_flow(Area::from_si(1e-6), in, out));
}
BENCHMARK(mass_flow_choked);

void mass_flow_subcritical(benchmark::State& state) {
  const GasState in{AbsolutePressure::from_pascal(1.2e5), kStandardTemperature}, out{kStandardPressure, kStandardTemperature};
  for (auto _ : state) benchmark::DoNotOptimize(mass_flow(Area::from_si(1e-6), in, out));
}
BENCHMARK(mass_flow_subcritical);

void leak_down_inverse(benchmark::State& state) {
  const LeakDownTest test = test_at_eighty();
  for (auto _ : state) benchmark::DoNotOptimize(leak_area_from_leak_down(test, kReading));
}
BENCHMARK(leak_down_inverse);

void leak_down_forward(benchmark::State& state) {
  for (auto _ : state) benchmark::DoNotOptimize(leak_down_reading(kSupply, 1.0586));
}
BENCHMARK(leak_down_forward);

void compression_of_sixteen(benchmark::State& state) {
  CompressionTest test;
  for (int i = 0; i < 16; ++i) test.readings.push_back({GaugePressure::from_pascal((12 - 0.1 * i) * 1e5)});
  for (std::size_t i = 0; i + 1 < 16; ++i) test.neighbours.push_back({i, i + 1});
  test.cranking = cranking();
  for (auto _ : state) benchmark::DoNotOptimize(compare_compression(test));
}
BENCHMARK(compression_of_sixteen);

void leak_size_by_leak_down(benchmark::State& state) {
  const LeakDownTest test = test_at_eighty();
  for (auto _ : state) benchmark::DoNotOptimize(leak_size_from_leak_down(test, kReading, 0.05));
}
BENCHMARK(leak_size_by_leak_down);

void leak_size_by_compression(benchmark::State& state) {
  const CompressionModel model(cranking());
  for (auto _ : state) benchmark::DoNotOptimize(leak_size_from_compression(0.8, 0.017, model));
}
BENCHMARK(leak_size_by_compression);

CrankingEngine square_engine(const std::vector<int>& order) {
  return {.bore = Length::from_si(0.08),
          .stroke = Length::from_si(0.08),
          .rod = Length::from_si(0.14),
          .firing = CrankingEngine::evenly_firing(order)};
}
CylinderLeaks rings(double square_mm) { return {.rings = Area::from_si(square_mm * 1e-6)}; }

/// One closed cycle as far as its peak, with its accuracy beside its time.
void closed_cycle(benchmark::State& state) {
  const double tolerance = std::pow(10.0, -static_cast<double>(state.range(0)));
  const CrankingEngine engine = square_engine({1});
  const double exact = simulate_cylinder(engine, {}, rings(1), {.tolerance = 1e-12})->peak.pascal();
  const auto run = [&] { return simulate_cylinder(engine, {}, rings(1), {.tolerance = tolerance})->peak.pascal(); };
  for (auto _ : state) benchmark::DoNotOptimize(run());
  state.counters["tolerance"] = tolerance;
  state.counters["peak_error"] = std::abs(run() / exact - 1);
}
BENCHMARK(closed_cycle)->DenseRange(4, 10, 2)->Unit(benchmark::kMicrosecond);

/// Two turns of run-in and two that count, all bridges breached.
void six_coupled_cylinders(benchmark::State& state) {
  const CrankingEngine engine = square_engine({1, 5, 3, 6, 2, 4});
  const std::vector<CylinderLeaks> leaks(6, rings(0.5));
  std::vector<BridgeLeak> bridges;
  for (std::size_t i = 0; i + 1 < 6; ++i) bridges.push_back({i, i + 1, Area::from_si(0.3e-6)});
  for (auto _ : state) benchmark::DoNotOptimize(simulate_cranking(engine, {}, leaks, bridges));
}
BENCHMARK(six_coupled_cylinders)->Unit(benchmark::kMillisecond);

/// Six readings to areas with bands: engine known or not, plugs out or in with a low pair.
void six_readings_to_areas(benchmark::State& state) {
  CompressionTest test;
  for (double bar : {12.4, 12.3, 9.1, 9.2, 12.2, 11.9}) test.readings.push_back({GaugePressure::from_pascal(bar * 1e5)});
  for (std::size_t i = 0; i + 1 < 6; ++i) test.neighbours.emplace_back(i, i + 1);
  test.cranking = cranking();
  if (state.range(0) > 0) {
    test.cranking->compression_ratio = 10;
    test.cranking->intake_closing = Angle::from_degrees(50);
    test.plugs = Plugs::kIn;
    test.firing = CrankingEngine::evenly_firing({1, 5, 3, 6, 2, 4});
  }
  for (auto _ : state) benchmark::DoNotOptimize(compare_compression(test));
}
BENCHMARK(six_readings_to_areas)->Arg(0)->Arg(1)->Unit(benchmark::kMillisecond);

void model_of_an_engine(benchmark::State& state) {
  for (auto _ : state) benchmark::DoNotOptimize(CompressionModel(cranking(), GaugePressure::from_pascal(12e5)));
}
BENCHMARK(model_of_an_engine)->Unit(benchmark::kMillisecond);

void gauge_over_six_strokes(benchmark::State& state) {
  const CrankingEngine engine = square_engine({1});
  for (auto _ : state) benchmark::DoNotOptimize(simulate_cranking(engine, {}, {rings(0.5)}, {}, FittedGauge{}));
}
BENCHMARK(gauge_over_six_strokes)->Unit(benchmark::kMillisecond);

void two_speeds(benchmark::State& state) {
  const TwoSpeeds readings{Speed::from_rpm(150), Speed::from_rpm(300), GaugePressure::from_pascal(9e5), GaugePressure::from_pascal(11e5)};
  for (auto _ : state) benchmark::DoNotOptimize(compare_speeds(cranking(), readings));
}
BENCHMARK(two_speeds)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace headjoint::leakage
