// Times of the traces module, and how often it names the right cylinder.
#include <benchmark/benchmark.h>
#include <sys/resource.h>

#include <cmath>
#include <cstdio>
#include <random>

#include "headjoint/traces/recording.h"
#include "headjoint/traces/relative_compression.h"
#include "headjoint/traces/starter_fit.h"
#include "headjoint/traces/testing/cranked_examples.h"
#include "headjoint/traces/testing/wav_bytes.h"

namespace headjoint::traces {
namespace {

constexpr std::size_t kTenMillion = 10'000'000;

/// Eight minutes of cranking at 20 kHz: one real cycle of the starter model over and over, with noise.
std::vector<std::int16_t> long_cranking() {
  TraceLength length;
  length.rate_Hz = 20000;
  length.cranking_s = 6;
  CrankingTrace trace = crank_engine(testing::four_with_leak(3, 1), length);
  testing::add_noise(trace.current_A, 4, 1);
  const std::vector<float>& values = trace.current_A.values;
  const auto from = static_cast<std::size_t>(trace.first_cylinder_s[3] * 20000),
             to = static_cast<std::size_t>(trace.first_cylinder_s[8] * 20000);
  std::vector<std::int16_t> samples(20000, 0);
  while (samples.size() < kTenMillion) samples.push_back(static_cast<std::int16_t>(30 * values[from + samples.size() % (to - from)]));
  return samples;
}

/// A file that is there without being held: memory shows only what the reader keeps.
class RepeatedBytes final : public ByteSource {
 public:
  RepeatedBytes(const std::string& bytes, std::uint64_t total) : bytes_(bytes), left_(total), total_(total) {}
  std::size_t read(std::span<char> buffer) override {
    std::size_t done = 0;
    while (done < buffer.size() && left_ > 0) {
      const std::size_t now = std::min({buffer.size() - done, bytes_.size() - at_, static_cast<std::size_t>(left_)});
      std::memcpy(buffer.data() + done, bytes_.data() + at_, now);
      done += now;
      left_ -= now;
      at_ += now;
      if (at_ == bytes_.size()) at_ = kRepeatFrom;
    }
    return done;
  }
  [[nodiscard]] std::optional<std::uint64_t> size() const override { return total_; }

 private:
  static constexpr std::size_t kRepeatFrom = 44;  // behind the head of a WAV file
  const std::string& bytes_;
  std::size_t at_ = 0;
  std::uint64_t left_, total_;
};

double peak_memory_MB() {
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  return static_cast<double>(usage.ru_maxrss) / 1024;
}

RelativeCompression read_and_compare(ByteSource& bytes) {
  ReadingWishes wishes;
  wishes.channels = {ChannelWish{.unit = "A"}};
  const auto recording = read_recording(bytes, "bench", wishes);
  return compare_cylinders(recording->channels[0].signal, testing::question_of_four());
}

void relative_compression_of_two_gigabytes_of_wav(benchmark::State& state) {
  std::string wav = testing::wav_bytes(std::vector<std::int16_t>(1 << 20, 0), 44100);
  for (std::size_t i = 44; i < wav.size(); ++i) wav[i] = static_cast<char>(i * 2654435761U >> 24U);
  for (char& byte : std::span(wav).subspan(40, 4)) byte = '\xFF';  // length not known
  const double before = peak_memory_MB();
  for (auto _ : state) {
    RepeatedBytes bytes(wav, 2'000'000'000);
    benchmark::DoNotOptimize(read_and_compare(bytes));
  }
  state.counters["memory_MB"] = peak_memory_MB() - before;
}
BENCHMARK(relative_compression_of_two_gigabytes_of_wav)->Unit(benchmark::kMillisecond)->Iterations(1);

const std::string& long_wav() {
  static const std::string bytes = testing::wav_bytes(long_cranking(), 20000);
  return bytes;
}

void relative_compression_of_ten_million_from_wav(benchmark::State& state) {
  for (auto _ : state) {
    RepeatedBytes bytes(long_wav(), long_wav().size());
    const RelativeCompression result = read_and_compare(bytes);
    if (result.found.status != CrankingEvents::Status::kFound) state.SkipWithError("nothing found");
  }
}
BENCHMARK(relative_compression_of_ten_million_from_wav)->Unit(benchmark::kMillisecond);

void reading_ten_million_from_wav(benchmark::State& state) {
  for (auto _ : state) {
    RepeatedBytes bytes(long_wav(), long_wav().size());
    benchmark::DoNotOptimize(read_recording(bytes, "bench", {}));
  }
}
BENCHMARK(reading_ten_million_from_wav)->Unit(benchmark::kMillisecond);

void relative_compression_of_ten_million_from_table(benchmark::State& state) {
  std::string table = "time_s,current_A\n";
  const std::vector<std::int16_t> samples = long_cranking();
  for (std::size_t i = 0; i < samples.size(); ++i) {
    char row[40];
    table.append(
        row, static_cast<std::size_t>(std::snprintf(row, sizeof row, "%.5f,%.2f\n", static_cast<double>(i) / 20000, samples[i] / 30.0)));
  }
  state.counters["table_MB"] = static_cast<double>(table.size()) / 1e6;
  for (auto _ : state) {
    RepeatedBytes bytes(table, table.size());
    const RelativeCompression result = read_and_compare(bytes);
    if (result.found.status != CrankingEvents::Status::kFound) state.SkipWithError("nothing found");
  }
}
BENCHMARK(relative_compression_of_ten_million_from_table)->Unit(benchmark::kMillisecond);

void window_of_ten_million(benchmark::State& state) {
  Envelope envelope;
  std::vector<float> values(kTenMillion);
  for (std::size_t i = 0; i < values.size(); ++i) values[i] = std::sin(static_cast<float>(i % 6283) * 1e-3F);
  envelope.add(values);
  const auto width = static_cast<std::uint64_t>(state.range(0));
  for (auto _ : state) benchmark::DoNotOptimize(envelope.windows(12345, 12345 + width, 1200));
}
BENCHMARK(window_of_ten_million)->Arg(9'900'000)->Arg(100'000)->Arg(5'000)->Unit(benchmark::kMicrosecond);

void fitting_the_areas_of_four(benchmark::State& state) {
  const CrankingTrace trace = crank_engine(testing::four_with_leak(3, 1), {});
  const RelativeCompression compared = compare_cylinders(trace.current_A, testing::question_of_four());
  for (auto _ : state) benchmark::DoNotOptimize(fit_leaks(compared, CrankedEngine{}, CrankingKind::kStarterCurrent));
}
BENCHMARK(fitting_the_areas_of_four)->Unit(benchmark::kMillisecond);

/// A four as a workshop meets it: noise, sagging battery, unlike sound cylinders, another speed, sync missing every third time.
struct Trial {
  Signal signal;
  CrankingQuestion question;
  CrankingTrace trace;
};
Trial trial(std::mt19937& random, int weak, double extra_mm2, bool with_sync, CrankingKind kind) {
  const auto between = [&](double low, double high) { return std::uniform_real_distribution<double>(low, high)(random); };
  CrankedEngine engine = testing::four_with_leak(weak, extra_mm2);
  for (Area& leak : engine.leaks) leak += testing::square_mm(between(-0.08, 0.08));
  engine.starter.battery_V = between(11, 13);
  engine.starter.friction_Nm = between(18, 35);
  TraceLength length;
  length.cranking_s = between(4, 7);
  length.start_deg = between(0, 720);
  length.battery_sag_V_per_s = between(0, 0.15);
  Trial one{{}, testing::question_of_four(), crank_engine(engine, length)};
  one.question.kind = kind;
  if (with_sync) one.question.sync = testing::sync_of(one.trace);
  const bool is_current = kind == CrankingKind::kStarterCurrent, is_voltage = kind == CrankingKind::kBatteryVoltage;
  one.signal = is_current ? one.trace.current_A : is_voltage ? one.trace.voltage_V : one.trace.speed_rpm;
  testing::add_noise(one.signal, (is_current ? 10 : is_voltage ? 0.06 : 3) * between(0.2, 1), static_cast<unsigned>(random()));
  return one;
}

/// Whether the only weak place is that cylinder's: by name, or without sync by where its dead centres lie.
bool names(const RelativeCompression& result, const Trial& trial, int cylinder) {
  int place = 0, weak = 0;
  for (const RelativeValue& value : result.values)
    if (value.is_weak) place = value.place, ++weak;
  if (weak != 1) return false;
  if (result.is_synchronised) return result.values[static_cast<std::size_t>(place - 1)].cylinder == cylinder;
  const double centre = trial.trace.first_cylinder_s[trial.trace.first_cylinder_s.size() / 2];
  const PlacedEvent* nearest = &result.events.front();
  for (const PlacedEvent& event : result.events)
    if (std::abs(event.event.time_s - centre) < std::abs(nearest->event.time_s - centre)) nearest = &event;
  const std::vector<int> order{1, 3, 4, 2};
  return order[static_cast<std::size_t>((place - nearest->place + 4) % 4)] == cylinder;
}

void naming_the_cylinder(benchmark::State& state) {
  const auto kind = static_cast<CrankingKind>(state.range(0));
  constexpr int kTrials = 300;
  constexpr unsigned kSeed = 20260;
  std::mt19937 random(kSeed);
  int right = 0, alarms = 0;
  for (auto _ : state)
    for (int i = 0; i < kTrials; ++i) {
      const int cylinder = 1 + i % 4;
      const Trial faulty = trial(random, cylinder, 1, i % 3 != 0, kind), sound = trial(random, 0, 0, i % 3 != 0, kind);
      right += names(compare_cylinders(faulty.signal, faulty.question), faulty, cylinder);
      const RelativeCompression healthy = compare_cylinders(sound.signal, sound.question);
      bool alarm = healthy.values.empty();
      for (const RelativeValue& value : healthy.values) alarm = alarm || value.is_weak;
      alarms += alarm;
    }
  state.counters["named_right_of_100"] = 100.0 * right / kTrials;
  state.counters["false_alarms_of_100"] = 100.0 * alarms / kTrials;
}
BENCHMARK(naming_the_cylinder)->Arg(0)->Arg(1)->Arg(2)->Unit(benchmark::kMillisecond)->Iterations(1);

}  // namespace
}  // namespace headjoint::traces
