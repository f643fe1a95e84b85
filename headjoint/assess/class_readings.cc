#include "headjoint/assess/class_readings.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace headjoint::assess {
namespace {

/// A bell over the reading, or over its logarithm; `floor` is the density of a reading that says nothing.
struct Spread {
  double middle = 0;
  double sigma = 1;
};

double density(double x, Spread spread) {
  const double z = (x - spread.middle) / spread.sigma;
  return std::exp(-z * z / 2) / spread.sigma;
}

/// P(x | state) for each spread, mixed with a broad one and scaled to a largest of 1. Beyond the outer middles the odds stand still: two
/// bells of unequal width would turn them round again.
std::vector<double> likelihood(double x, const std::vector<Spread>& states) {
  std::vector<double> middles;
  for (const Spread& spread : states) middles.push_back(spread.middle);
  const auto [low, high] = std::minmax_element(middles.begin(), middles.end());
  const double held = std::clamp(x, *low, *high);
  std::vector<double> result;
  double broad = 0;
  for (const Spread& spread : states) broad = std::max(broad, density(held, spread));
  for (const Spread& spread : states) result.push_back((1 - kWrongReading) * density(held, spread) + kWrongReading * broad);
  const double most = *std::max_element(result.begin(), result.end());
  for (double& value : result) value /= most;
  return result;
}

constexpr double kLeastRead = 1e-3;  ///< readings below are as good as nothing on a logarithmic scale

double log_of(double value) { return std::log(std::max(value, kLeastRead)); }

double per(double change, Duration duration, double seconds) { return change * seconds / std::max(duration.si(), 1.0); }

}  // namespace

std::vector<double> pressure_hold_likelihood(GaugePressure start, GaugePressure end, Duration duration) {
  constexpr double kTenMinutes = 600;
  constexpr double kUnseen_bar = 0.005;
  const double fall = std::max(per(start.bar() - end.bar(), duration, kTenMinutes), kUnseen_bar);
  return likelihood(std::log(fall), {{std::log(0.01), 0.8}, {std::log(0.25), 1.0}});
}

std::vector<double> cold_rise_likelihood(GaugePressure start, GaugePressure end, Duration duration) {
  constexpr double kMinute = 60;
  constexpr double kUnseen_bar = 0.005;
  const double rise = std::max(per(end.bar() - start.bar(), duration, kMinute), kUnseen_bar);
  return likelihood(std::log(rise), {{std::log(0.02), 0.7}, {std::log(0.3), 1.0}});
}

std::vector<double> gas_likelihood(double carbon_dioxide, double hydrocarbons_ppm) {
  if (carbon_dioxide >= 0) return likelihood(log_of(100 * carbon_dioxide), {{std::log(0.06), 0.7}, {std::log(2.0), 1.0}});
  return likelihood(std::log(std::max(hydrocarbons_ppm, 1.0)), {{std::log(40.0), 1.0}, {std::log(800.0), 1.1}});
}

std::vector<double> water_in_oil_likelihood(double share) {
  return likelihood(log_of(100 * share), {{std::log(0.02), 0.8}, {std::log(0.6), 1.1}});
}

std::vector<double> release_torque_likelihood(std::span<const Torque> torques) {
  std::vector<double> sorted;
  for (const Torque torque : torques) sorted.push_back(torque.si());
  std::sort(sorted.begin(), sorted.end());
  const double median = sorted.empty() ? 0 : sorted[sorted.size() / 2];
  if (!(median > 0)) return {1, 1};
  return likelihood(sorted.front() / median, {{0.88, 0.07}, {0.5, 0.2}});
}

std::vector<double> with_shut_leaks(std::vector<double> likelihood, const std::string& engine) {
  const double shut = engine == "cold" ? 0.2 : 0.1;
  for (std::size_t state = 1; state < likelihood.size(); ++state) likelihood[state] = (1 - shut) * likelihood[state] + shut * likelihood[0];
  return likelihood;
}

std::vector<diagnosis::Observation> class_observations(const jobs::Reading& reading, const diagnosis::InstanceNetwork& network) {
  std::vector<diagnosis::Observation> result;
  const auto observe = [&](const std::string& finding, const std::string& place, std::vector<double> states, std::string label) {
    if (network.find(finding, place) >= 0) result.push_back({finding, place, std::move(states), std::move(label)});
  };
  const auto between = [&](const char* what) {
    return fmt::format("{} {} to {} in {}", what, reading.start->text, reading.end->text, reading.duration->text);
  };
  switch (reading.test) {
    case jobs::ReadingTest::kPressureHold:
      observe("pressure_hold", "", pressure_hold_likelihood(reading.start->value, reading.end->value, reading.duration->value),
              between("cooling pressure held:"));
      break;
    case jobs::ReadingTest::kColdRise:
      observe("cold_rise", "", cold_rise_likelihood(reading.start->value, reading.end->value, reading.duration->value),
              between("cooling pressure from cold:"));
      break;
    case jobs::ReadingTest::kGasInCoolant: {
      const double co2 = reading.carbon_dioxide ? reading.carbon_dioxide->value.fraction : -1;
      const double hc = reading.hydrocarbons_ppm ? reading.hydrocarbons_ppm->value : -1;
      observe("gas_reading", "", gas_likelihood(co2, hc),
              co2 >= 0 ? fmt::format("carbon dioxide over the coolant: {:.2f} %", 100 * co2)
                       : fmt::format("hydrocarbons over the coolant: {:.0f} ppm", hc));
      break;
    }
    case jobs::ReadingTest::kWaterInOil:
      observe("crackle", "", water_in_oil_likelihood(reading.water->value.fraction), "water in the oil: " + reading.water->text);
      break;
    case jobs::ReadingTest::kReleaseTorque: {
      std::vector<Torque> torques;
      for (const auto& torque : reading.torques) torques.push_back(torque.value);
      const std::string head = std::to_string(reading.head.value_or(1));
      observe("release_torque", head, release_torque_likelihood(torques), fmt::format("loosening torques of head {}", head));
      break;
    }
    case jobs::ReadingTest::kStarterCurrent:
    case jobs::ReadingTest::kCompression:
    case jobs::ReadingTest::kLeakDown:
      break;
  }
  return result;
}

}  // namespace headjoint::assess
