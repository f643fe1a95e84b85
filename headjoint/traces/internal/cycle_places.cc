#include "headjoint/traces/internal/cycle_places.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace headjoint::traces {
namespace {

/// Number of every event, counted on over missing ones.
std::vector<int> counted(const std::vector<CompressionEvent>& events, double frequency_Hz) {
  std::vector<int> numbers;
  double usual = 1 / frequency_Hz;
  for (std::size_t i = 0; i < events.size(); ++i) {
    if (i == 0) {
      numbers.push_back(0);
      continue;
    }
    const double step = events[i].time_s - events[i - 1].time_s;
    const int count = std::max(1, static_cast<int>(std::lround(step / usual)));
    if (count == 1) usual += 0.2 * (step - usual);
    numbers.push_back(numbers.back() + count);
  }
  return numbers;
}

/// The number that an event at that time would have, in parts of an event.
double number_at(double time, const std::vector<CompressionEvent>& events, const std::vector<int>& numbers) {
  const auto after =
      std::upper_bound(events.begin(), events.end(), time, [](double t, const CompressionEvent& event) { return t < event.time_s; });
  const std::size_t i = std::clamp<std::size_t>(static_cast<std::size_t>(after - events.begin()), 1, events.size() - 1);
  const double share = (time - events[i - 1].time_s) / (events[i].time_s - events[i - 1].time_s);
  return numbers[i - 1] + share * (numbers[i] - numbers[i - 1]);
}

int wrapped(int number, int count) { return ((number % count) + count) % count; }

/// The place in the cycle of event 0 that most pulses agree on; empty when they do not.
struct Agreement {
  int offset = 0;
  double share = 0;
};
Agreement agreement(const std::vector<double>& numbers, double shift, int period) {
  std::map<int, int> votes;
  for (const double number : numbers) ++votes[wrapped(static_cast<int>(std::lround(number - shift)), period)];
  Agreement best;
  for (const auto& [offset, count] : votes)
    if (count > best.share * static_cast<double>(numbers.size())) best = {offset, count / static_cast<double>(numbers.size())};
  return best;
}

/// Where place 1 stands among the counted events, by the sync channel.
int synchronised_offset(RelativeCompression& result, const CrankingQuestion& question, const std::vector<int>& numbers) {
  const std::vector<CompressionEvent>& events = result.found.events;
  std::vector<double> at;
  for (const double time : pulse_times(*question.sync))
    if (time > events.front().time_s && time < events.back().time_s) at.push_back(number_at(time, events, numbers));
  constexpr std::size_t kFewest = 2;
  if (at.size() < kFewest) {
    result.notes.emplace_back("the sync channel holds no pulses while the engine is cranked: the cylinders cannot be named");
    return 0;
  }
  std::vector<double> steps;
  for (std::size_t i = 1; i < at.size(); ++i) steps.push_back(at[i] - at[i - 1]);
  std::nth_element(steps.begin(), steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2), steps.end());
  const double usual = steps[steps.size() / 2];
  const int n = question.cylinders;
  const double shift = question.sync_deg / 720 * n;
  const bool every_turn = n % 2 == 0 && std::abs(usual - n / 2.0) < 0.3 * n / 2.0;
  if (!every_turn && std::abs(usual - n) > 0.3 * n) {
    result.notes.emplace_back("the sync channel's pulses come neither once a cycle nor once a turn: they are not used");
    return 0;
  }
  const Agreement found = agreement(at, shift, every_turn ? n / 2 : n);
  constexpr double kMostAgree = 0.7;
  if (found.share < kMostAgree) {
    result.notes.emplace_back("the sync channel's pulses do not keep step with the compressions: they are not used");
    return 0;
  }
  result.is_synchronised = !every_turn;
  result.is_half_synchronised = every_turn;
  if (every_turn)
    result.notes.emplace_back("the sync channel's pulses come every turn: a cylinder and the one half a cycle later cannot be told apart");
  return found.offset;
}

}  // namespace

std::vector<double> pulse_times(const Signal& signal) {
  if (signal.values.empty()) return {};
  const auto [least, most] = std::minmax_element(signal.values.begin(), signal.values.end());
  const float high = *least + 0.6F * (*most - *least), low = *least + 0.4F * (*most - *least);
  std::vector<double> times;
  if (!(high > low)) return times;
  bool is_up = signal.values.front() > low;
  for (std::size_t i = 1; i < signal.values.size(); ++i) {
    const float before = signal.values[i - 1], now = signal.values[i];
    if (!is_up && now >= high) {
      const double share = now > before ? static_cast<double>((high - before) / (now - before)) : 0;
      times.push_back(signal.time_s(static_cast<double>(i - 1) + std::clamp(share, 0.0, 1.0)));
      is_up = true;
    }
    if (now <= low) is_up = false;
  }
  return times;
}

void place_events(RelativeCompression& result, const CrankingQuestion& question) {
  const std::vector<CompressionEvent>& events = result.found.events;
  const std::vector<int> numbers = counted(events, result.found.frequency_Hz);
  const int offset = question.sync ? synchronised_offset(result, question, numbers) : 0;
  const int n = question.cylinders;
  if (result.is_synchronised && !question.firing_order.empty()) {
    const auto first = std::find(question.firing_order.begin(), question.firing_order.end(), question.sync_cylinder);
    const auto at = first == question.firing_order.end() ? 0 : first - question.firing_order.begin();
    for (int i = 0; i < n; ++i) result.order.push_back(question.firing_order[static_cast<std::size_t>((at + i) % n)]);
  }
  const int first_cycle = offset > 0 ? offset - n : 0;
  for (std::size_t i = 0; i < events.size(); ++i) {
    PlacedEvent placed;
    placed.event = events[i];
    const int number = numbers[i] - first_cycle;
    placed.cycle = number / n;
    placed.place = wrapped(numbers[i] - offset, n) + 1;
    if (!result.order.empty()) placed.cylinder = result.order[static_cast<std::size_t>(placed.place - 1)];
    result.events.push_back(placed);
  }
}

}  // namespace headjoint::traces
