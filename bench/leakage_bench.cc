// Function-level times of the leakage module.
#include <benchmark/benchmark.h>

#include "headjoint/leakage/compression.h"
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
  for (auto _ : state) benchmark::DoNotOptimize(leak_size_from_compression(0.8, 0.017, cranking()));
}
BENCHMARK(leak_size_by_compression);

}  // namespace
}  // namespace headjoint::leakage
