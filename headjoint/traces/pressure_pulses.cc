#include "headjoint/traces/pressure_pulses.h"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

#include "headjoint/base/error.h"
#include "headjoint/base/text.h"
#include "headjoint/traces/internal/cycle_places.h"
#include "headjoint/traces/internal/spectrum.h"

namespace headjoint::traces {
namespace {

using Status = PulseFinding::Status;

constexpr std::size_t kSteps = 720;
constexpr double kTurn_deg = 720;
constexpr int kHarmonics = 6;
constexpr int kFewestCycles = 10;

struct Cycle {
  double rpm = 0;
  std::vector<double> values;  ///< by crank angle from the sync cylinder's firing dead centre
};

double sample(const Signal& signal, double time_s) {
  const double index = std::clamp((time_s - signal.start_s) * signal.rate_Hz, 0.0, static_cast<double>(signal.values.size() - 1));
  const std::size_t i = std::min(static_cast<std::size_t>(index), signal.values.size() - 2);
  return std::lerp(static_cast<double>(signal.values[i]), static_cast<double>(signal.values[i + 1]), index - static_cast<double>(i));
}

/// Cycles of usual length, resampled; the slow drift over a cycle is taken out by a straight line.
std::vector<Cycle> cycles_of(const Signal& pressure, const PulseQuestion& question) {
  const std::vector<double> times = pulse_times(question.sync);
  std::vector<Cycle> cycles;
  const double end = pressure.start_s + pressure.duration_s();
  for (std::size_t k = 1; k < times.size(); ++k) {
    const double length = times[k] - times[k - 1];
    const double start = times[k - 1] - question.sync_deg / kTurn_deg * length;
    constexpr double kSlowest_rpm = 100, kFastest_rpm = 8000;
    if (!(length > 120 / kFastest_rpm && length < 120 / kSlowest_rpm) || start < pressure.start_s || start + length > end) continue;
    Cycle cycle{120 / length, std::vector<double>(kSteps)};
    const double first = sample(pressure, start), drift = sample(pressure, start + length) - first;
    double mean = 0;
    for (std::size_t i = 0; i < kSteps; ++i) {
      const double share = static_cast<double>(i) / kSteps;
      cycle.values[i] = sample(pressure, start + share * length) - drift * share;
      mean += cycle.values[i] / kSteps;
    }
    for (double& value : cycle.values) value -= mean;
    cycles.push_back(std::move(cycle));
  }
  return cycles;
}

/// Complex amplitude of each harmonic of the cycle, 1 to `most`.
std::vector<std::complex<double>> harmonics(const std::vector<double>& values, int most) {
  const std::vector<std::complex<double>> lines = spectrum(values);
  std::vector<std::complex<double>> result;
  for (int h = 1; h <= most; ++h) result.push_back(lines[static_cast<std::size_t>(h)] * (2.0 / static_cast<double>(values.size())));
  return result;
}

/// Harmonics that one cylinder makes and all together do not.
bool is_of_one(int harmonic, int cylinders) { return cylinders == 1 || harmonic % cylinders != 0; }

std::vector<double> single_of(const std::vector<double>& average, int cylinders) {
  const auto lines = harmonics(average, kHarmonics);
  std::vector<double> single(kSteps, 0.0);
  for (int h = 1; h <= kHarmonics; ++h) {
    if (!is_of_one(h, cylinders)) continue;
    for (std::size_t i = 0; i < kSteps; ++i) {
      const double angle = 2 * std::numbers::pi * h * static_cast<double>(i) / kSteps;
      single[i] += (lines[static_cast<std::size_t>(h - 1)] * std::polar(1.0, angle)).real();
    }
  }
  return single;
}

double place_of_top(const std::vector<double>& values) {
  const auto top = static_cast<std::size_t>(std::max_element(values.begin(), values.end()) - values.begin());
  const double before = values[(top + kSteps - 1) % kSteps], at = values[top], after = values[(top + 1) % kSteps];
  const double bend = before - 2 * at + after, aside = bend < 0 ? 0.5 * (before - after) / bend : 0;
  return static_cast<double>(top) + std::clamp(aside, -1.0, 1.0);
}

/// Difference of two angles in the cycle, -360 to 360.
double apart(double a, double b) {
  const double turns = (a - b) / kTurn_deg;
  return (turns - std::round(turns)) * kTurn_deg;
}

PulseBand averaged(const std::vector<const Cycle*>& cycles, int cylinders) {
  PulseBand band;
  band.cycles = static_cast<int>(cycles.size());
  band.average.assign(kSteps, 0.0);
  const double count = static_cast<double>(cycles.size());
  std::vector<double> squares(kSteps);
  for (const Cycle* cycle : cycles) {
    band.rpm += cycle->rpm / count;
    for (std::size_t i = 0; i < kSteps; ++i) {
      band.average[i] += cycle->values[i] / count;
      squares[i] += cycle->values[i] * cycle->values[i] / count;
    }
  }
  double variance = 0;
  for (std::size_t i = 0; i < kSteps; ++i) variance += std::max(0.0, squares[i] - band.average[i] * band.average[i]) / kSteps;
  band.standard_error = std::sqrt(variance / std::max(1.0, count - 1));
  band.single = single_of(band.average, cylinders);
  band.peak_deg = place_of_top(band.single);
  const auto [least, most] = std::minmax_element(band.single.begin(), band.single.end());
  band.strength = *most - *least;
  return band;
}

/// Power of the harmonics of one cylinder over what the scatter between cycles leaves by chance; and how far the peak may be off, from the
/// averages of four quarters of the cycles.
void judge(PulseBand& band, const std::vector<const Cycle*>& cycles, int cylinders) {
  constexpr std::size_t kParts = 4;
  double power = 0, chance = 0;
  std::vector<std::vector<std::complex<double>>> parts;
  for (const Cycle* cycle : cycles) parts.push_back(harmonics(cycle->values, kHarmonics));
  const auto whole = harmonics(band.average, kHarmonics);
  for (int h = 1; h <= kHarmonics; ++h) {
    if (!is_of_one(h, cylinders)) continue;
    const auto k = static_cast<std::size_t>(h - 1);
    double scatter = 0;
    for (const auto& part : parts) scatter += std::norm(part[k] - whole[k]);
    const double count = static_cast<double>(parts.size());
    chance += scatter / (count * (count - 1));
    power += std::norm(whole[k]);
  }
  band.signal_to_noise = chance > 0 ? power / chance : power > 0 ? 1e9 : 0;
  double squares = 0;
  for (std::size_t part = 0; part < kParts; ++part) {
    std::vector<const Cycle*> some;
    for (std::size_t i = part; i < cycles.size(); i += kParts) some.push_back(cycles[i]);
    const double away = apart(averaged(some, cylinders).peak_deg, band.peak_deg);
    squares += away * away;
  }
  band.peak_error_deg = std::max(2.0, std::sqrt(squares / (kParts * (kParts - 1))));
}

using CycleBand = std::vector<const Cycle*>;

/// Fastest over slowest of a band, slowest first; the few cycles on the way from one speed to the next, at its ends, left out.
double spread_of(const CycleBand& band) {
  const std::size_t aside = band.size() / 20;
  return band[band.size() - 1 - aside]->rpm / band[aside]->rpm;
}

/// Where a band is to be parted: at its widest step of speed, in its middle when the speed only drifts; 0 when it is even enough or short.
std::size_t parting(const CycleBand& band) {
  constexpr double kWorthParting = 1.2, kStep = 1.05;
  constexpr std::size_t kFewest = kFewestCycles;
  if (band.size() < 2 * kFewest || spread_of(band) < kWorthParting) return 0;
  std::size_t best = band.size() / 2;
  double widest = kStep;
  for (std::size_t i = kFewest; i + kFewest <= band.size(); ++i)
    if (const double step = band[i]->rpm / band[i - 1]->rpm; step > widest) widest = step, best = i;
  return best;
}

/// Up to four bands of speed; one when it hardly changes.
std::vector<CycleBand> by_speed(const std::vector<Cycle>& cycles) {
  constexpr std::size_t kMostBands = 4;
  const auto spread = [](const CycleBand& band) { return parting(band) > 0 ? spread_of(band) : 0; };
  std::vector<CycleBand> bands(1);
  for (const Cycle& cycle : cycles) bands.front().push_back(&cycle);
  std::stable_sort(bands.front().begin(), bands.front().end(), [](const Cycle* a, const Cycle* b) { return a->rpm < b->rpm; });
  while (bands.size() < kMostBands) {
    const auto widest = std::max_element(bands.begin(), bands.end(), [&](const auto& a, const auto& b) { return spread(a) < spread(b); });
    const auto at = static_cast<std::ptrdiff_t>(parting(*widest));
    if (at == 0) break;
    CycleBand faster(widest->begin() + at, widest->end());
    widest->resize(static_cast<std::size_t>(at));
    bands.insert(widest + 1, std::move(faster));
  }
  return bands;
}

/// Likelihood of every cylinder with the delay integrated out.
std::vector<SuspectCylinder> suspects_of(const std::vector<PulseBand>& bands, const PulseQuestion& question) {
  const auto n = static_cast<double>(question.firing_order.size());
  const auto first = std::find(question.firing_order.begin(), question.firing_order.end(), question.sync_cylinder);
  const double first_place = static_cast<double>(first - question.firing_order.begin());
  constexpr int kDelays = 400;
  std::vector<SuspectCylinder> suspects;
  double total = 0;
  for (std::size_t i = 0; i < question.firing_order.size(); ++i) {
    const double fires = kTurn_deg * (static_cast<double>(i) - first_place) / n;
    SuspectCylinder suspect{question.firing_order[i], 0, {}};
    double best = -1;
    for (int d = 0; d < kDelays; ++d) {
      const double delay = question.longest_delay.si() * (d + 0.5) / kDelays;
      // the angle error is common to all bands: its weighted mean counts once, the rest by each band's own error
      double weights = 0, mean = 0, squares = 0;
      for (const PulseBand& band : bands) {
        const double weight = 1 / (band.peak_error_deg * band.peak_error_deg);
        const double off = apart(band.peak_deg, fires + question.after_dead_centre.degrees() + 6 * band.rpm * delay);
        weights += weight;
        mean += weight * off;
        squares += weight * off * off;
      }
      mean /= weights;
      const double common = question.angle_error.degrees() * question.angle_error.degrees() + 1 / weights;
      const double likelihood = std::exp(-0.5 * (squares - weights * mean * mean + mean * mean / common));
      suspect.confidence += likelihood;
      if (likelihood > best) best = likelihood, suspect.delay = Duration::from_si(delay);
    }
    total += suspect.confidence;
    suspects.push_back(suspect);
  }
  for (SuspectCylinder& suspect : suspects) suspect.confidence = total > 0 ? suspect.confidence / total : 1 / n;
  std::stable_sort(suspects.begin(), suspects.end(), [](const auto& a, const auto& b) { return a.confidence > b.confidence; });
  return suspects;
}

/// Spectrum over crank angle of up to 32 cycles in a row: lines of the engine stand at multiples of a half order, all else between them.
std::vector<OrderLine> orders_of(const std::vector<Cycle>& cycles, int cylinders) {
  constexpr std::size_t kMostCycles = 32, kJoin = 4;
  const std::size_t count = std::min(kMostCycles, cycles.size());
  const std::size_t blocks = cycles.size() / count;
  const int most = 4 * cylinders;
  std::vector<double> power(kSteps / kJoin * count / 2 + 1);
  for (std::size_t block = 0; block < blocks; ++block) {
    std::vector<double> values;
    for (std::size_t k = block * count; k < (block + 1) * count; ++k)
      for (std::size_t i = 0; i < kSteps; i += kJoin) {
        double sum = 0;
        for (std::size_t j = 0; j < kJoin; ++j) sum += cycles[k].values[i + j];
        values.push_back(sum / kJoin);
      }
    const auto lines = spectrum(values);
    for (std::size_t i = 0; i < power.size() && i < lines.size(); ++i)
      power[i] += std::norm(lines[i] * (2.0 / static_cast<double>(values.size()))) / static_cast<double>(blocks);
  }
  std::vector<OrderLine> orders;
  for (int h = 1; h <= most && static_cast<std::size_t>(h) * count < power.size(); ++h) {
    const std::size_t at = static_cast<std::size_t>(h) * count;
    std::vector<double> near;
    for (std::size_t i = at - count / 2; i < at + count / 2 && i < power.size(); ++i)
      if (i != at && i > 0) near.push_back(power[i]);
    double noise = 0;
    if (!near.empty()) {
      std::nth_element(near.begin(), near.begin() + static_cast<std::ptrdiff_t>(near.size() / 2), near.end());
      noise = near[near.size() / 2];
    }
    orders.push_back({h / 2.0, std::sqrt(power[at]), std::sqrt(noise)});
  }
  return orders;
}

void add_notes(PulseFinding& finding) {
  if (finding.bands.size() == 1)
    finding.notes.emplace_back(
        "One speed only: the delay from the cylinder to the sensor cannot be told from the crank angle. Record again at two more speeds, "
        "for instance idle, 1500 and 2500 rpm.");
  if (finding.status == Status::kNone)
    finding.notes.push_back("A pulse of " + number_text(finding.smallest, 2) +
                            " (unit of the trace) once a cycle would have stood out; a smaller one would not.");
}

}  // namespace

PulseFinding find_pulses(const Signal& pressure, const PulseQuestion& question) {
  std::vector<int> sorted = question.firing_order;
  std::sort(sorted.begin(), sorted.end());
  if (sorted.empty() || sorted.size() > 16) throw InputError("firing_order", "1 to 16 cylinders");
  for (std::size_t i = 0; i < sorted.size(); ++i)
    if (sorted[i] != static_cast<int>(i) + 1) throw InputError("firing_order", "every cylinder once");
  const int cylinders = static_cast<int>(sorted.size());
  PulseFinding finding;
  finding.status = Status::kNoSync;
  if (pressure.values.size() < 2) return finding;
  const std::vector<Cycle> cycles = cycles_of(pressure, question);
  finding.cycles = static_cast<int>(cycles.size());
  if (cycles.empty()) return finding;
  const auto fastest = std::max_element(cycles.begin(), cycles.end(), [](const Cycle& a, const Cycle& b) { return a.rpm < b.rpm; });
  finding.needed_rate_Hz = 4 * kHarmonics * fastest->rpm / 120;
  finding.status = pressure.rate_Hz < finding.needed_rate_Hz ? Status::kTooSlowlySampled : Status::kTooFew;
  if (finding.status == Status::kTooSlowlySampled || finding.cycles < kFewestCycles) return finding;
  double together = 0;
  for (const auto& some : by_speed(cycles)) {
    finding.bands.push_back(averaged(some, cylinders));
    judge(finding.bands.back(), some, cylinders);
    together += finding.bands.back().signal_to_noise;
    finding.smallest = std::max(finding.smallest, 6 * finding.bands.back().standard_error * std::sqrt(2.0 * kHarmonics / kSteps) * 2);
  }
  finding.orders = orders_of(cycles, cylinders);
  // by chance the ratio is 1 in the mean; of one band it exceeds 3.5, of four together 2.25, in fewer than 1 of 1000
  const double count = static_cast<double>(finding.bands.size());
  const bool stands_out = together / count > 1 + 2.5 / std::sqrt(count);
  finding.status = stands_out ? Status::kFound : Status::kNone;
  if (finding.status == Status::kFound) {
    std::vector<PulseBand> clear;
    for (const PulseBand& band : finding.bands)
      if (band.signal_to_noise > 2) clear.push_back(band);
    if (clear.empty()) clear = finding.bands;
    finding.suspects = suspects_of(clear, question);
  }
  add_notes(finding);
  return finding;
}

}  // namespace headjoint::traces
