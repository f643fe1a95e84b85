#include <benchmark/benchmark.h>

#include <cmath>
#include <string>

#include "headjoint/base/text.h"
#include "headjoint/faces/coverage.h"
#include "headjoint/faces/cut.h"
#include "headjoint/faces/flatness.h"
#include "headjoint/faces/joined_lines.h"
#include "headjoint/faces/local_flatness.h"
#include "headjoint/faces/straightedge.h"
#include "headjoint/faces/surface.h"

namespace headjoint::faces {
namespace {

double fraction(double value) { return value - std::floor(value); }

/// Points spread evenly without a pattern over 420 x 180 mm: waves, a bow and a slope.
FacePoints scattered_face(std::int64_t count) {
  FacePoints points;
  for (std::int64_t i = 0; i < count; ++i) {
    const auto k = static_cast<double>(i);
    const double x = 420 * fraction(0.6180339887498949 * k);
    points.x_mm.push_back(x);
    points.y_mm.push_back(180 * fraction(0.7548776662466927 * k));
    points.z_mm.push_back(0.03 * std::sin(12.9898 * k) + 0.05 * (x / 420 - 0.5) * (x / 420 - 0.5) + 0.0001 * x);
  }
  return points;
}

/// A grid in micrometre steps: many ties.
FacePoints rounded_grid(std::int64_t side) {
  FacePoints points;
  for (std::int64_t i = 0; i < side; ++i) {
    for (std::int64_t j = 0; j < side; ++j) {
      const double x = 420.0 * static_cast<double>(i) / static_cast<double>(side - 1);
      const double y = 180.0 * static_cast<double>(j) / static_cast<double>(side - 1);
      points.x_mm.push_back(x);
      points.y_mm.push_back(y);
      points.z_mm.push_back(std::round(20 * std::sin(x / 50) * std::cos(y / 30)) / 1000);
    }
  }
  return points;
}

std::string as_csv(const FacePoints& points) {
  std::string text = "x_mm,y_mm,z_mm\n";
  for (std::size_t i = 0; i < points.size(); ++i)
    text += number_text(points.x_mm[i], 7) + "," + number_text(points.y_mm[i], 7) + "," + number_text(points.z_mm[i], 6) + "\n";
  return text;
}

void minimum_zone(benchmark::State& state) {
  const FacePoints points = scattered_face(state.range(0));
  for (auto _ : state) benchmark::DoNotOptimize(minimum_zone_flatness(points));
  const MinimumZone zone = minimum_zone_flatness(points);
  state.counters["walks"] = zone.walks;
  state.counters["flatness_mm"] = zone.flatness.si() * 1e3;
}
BENCHMARK(minimum_zone)->Arg(24)->Arg(150)->Arg(1'000)->Arg(10'000)->Arg(100'000)->Arg(1'000'000)->Unit(benchmark::kMillisecond);

void minimum_zone_with_ties(benchmark::State& state) {
  const FacePoints points = rounded_grid(state.range(0));
  for (auto _ : state) benchmark::DoNotOptimize(minimum_zone_flatness(points));
  state.counters["walks"] = minimum_zone_flatness(points).walks;
}
BENCHMARK(minimum_zone_with_ties)->Arg(100)->Arg(1'000)->Unit(benchmark::kMillisecond);

void least_squares(benchmark::State& state) {
  const FacePoints points = scattered_face(state.range(0));
  for (auto _ : state) benchmark::DoNotOptimize(least_squares_flatness(points));
}
BENCHMARK(least_squares)->Arg(10'000)->Arg(1'000'000)->Unit(benchmark::kMillisecond);

void without_each_contact(benchmark::State& state) {
  const FacePoints points = scattered_face(state.range(0));
  const MinimumZone zone = minimum_zone_flatness(points);
  for (auto _ : state) benchmark::DoNotOptimize(flatness_without_each_contact(points, zone));
}
BENCHMARK(without_each_contact)->Arg(150)->Arg(10'000)->Unit(benchmark::kMillisecond);

void read_points(benchmark::State& state) {
  const std::string text = as_csv(scattered_face(state.range(0)));
  for (auto _ : state) benchmark::DoNotOptimize(read_face_points(text, "face.csv"));
}
BENCHMARK(read_points)->Arg(10'000)->Arg(1'000'000)->Unit(benchmark::kMillisecond);

void cut_along_a_line(benchmark::State& state) {
  const FacePoints points = scattered_face(state.range(0));
  const CutDatum lengthwise{CutDatum::Kind::kLine, {1, 0, 0}, 0, kNoLength};
  for (auto _ : state) benchmark::DoNotOptimize(least_cut_held(points, lengthwise));
}
BENCHMARK(cut_along_a_line)->Arg(150)->Arg(10'000)->Arg(1'000'000)->Unit(benchmark::kMillisecond);

void worst_window(benchmark::State& state) {
  const FacePoints points = rounded_grid(state.range(0));
  for (auto _ : state) benchmark::DoNotOptimize(local_flatness(points, Length::from_si(0.150)));
}
BENCHMARK(worst_window)->Arg(9)->Arg(21)->Arg(100)->Unit(benchmark::kMillisecond);

/// Eight lines of three spots, read with blades in steps of 0.02 mm: what a mechanic types.
void join_straightedge_lines(benchmark::State& state) {
  const std::string text =
      "line,x_mm,y_mm,enters_mm,stops_mm\n"
      "a,0,0,0,0.02\na,200,0,0.04,0.06\na,400,0,0,0.02\nb,0,150,0,0.02\nb,200,150,0.06,0.08\nb,400,150,0,0.02\n"
      "c,0,0,0,0.02\nc,0,75,0,0.02\nc,0,150,0,0.02\nd,400,0,0,0.02\nd,400,75,0.02,0.04\nd,400,150,0,0.02\n"
      "e,0,0,0,0.02\ne,200,75,0.06,0.08\ne,400,150,0,0.02\nf,0,150,0,0.02\nf,200,75,0.04,0.06\nf,400,0,0,0.02\n"
      "g,0,75,0,0.02\ng,200,75,0.04,0.06\ng,400,75,0,0.02\nh,200,0,0,0.02\nh,200,75,0,0.02\nh,200,150,0,0.02\n";
  const auto lines = read_measured_lines(text, "lines.csv");
  for (auto _ : state) benchmark::DoNotOptimize(join_lines(*lines));
}
BENCHMARK(join_straightedge_lines)->Unit(benchmark::kMillisecond);

void join_by_triangles(benchmark::State& state) {
  const FacePoints points = scattered_face(state.range(0));
  for (auto _ : state) benchmark::DoNotOptimize(joined_by_triangles(points));
}
BENCHMARK(join_by_triangles)->Arg(150)->Arg(2'000)->Arg(20'000)->Unit(benchmark::kMillisecond);

void coverage(benchmark::State& state) {
  const FacePoints points = scattered_face(state.range(0));
  for (auto _ : state) benchmark::DoNotOptimize(coverage_of(points));
}
BENCHMARK(coverage)->Arg(150)->Arg(10'000)->Arg(1'000'000)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace headjoint::faces
