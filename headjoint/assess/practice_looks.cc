#include "headjoint/assess/practice_looks.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "headjoint/assess/cranking_input.h"
#include "headjoint/base/error.h"
#include "headjoint/leakage/compression_model.h"
#include "headjoint/leakage/leak_down.h"

namespace headjoint::assess {
namespace {

using jobs::ReadingTest;
using Kind = jobs::ReadingValue::Kind;

// Classes of leak areas as leakage::LeakSizes has them; within a class any order of size is as likely.
constexpr double kSmallLeast_mm2 = 0.03, kSmallMost_mm2 = 0.2, kLargeMost_mm2 = 5;
constexpr double kCompressionSpread = 0.015;  ///< of one cranking; assumption
constexpr double kUsualCompression_bar = 12;  ///< where the engine file gives none
constexpr double kLeakDownSpread_psi = 1.0;
constexpr double kSupply_psi = 80;
constexpr double kPascalPerPsi = 6894.757;

double between(std::mt19937& random, double low, double high) { return low * std::pow(high / low, uniform(random)); }

std::optional<ReadingTest> cylinder_test(const std::string& finding) {
  if (finding == "compression") return ReadingTest::kCompression;
  if (finding == "leak_down") return ReadingTest::kLeakDown;
  if (finding == "starter_current") return ReadingTest::kStarterCurrent;
  return std::nullopt;
}

std::optional<ReadingTest> engine_test(const std::string& finding) {
  if (finding == "pressure_hold") return ReadingTest::kPressureHold;
  if (finding == "cold_rise") return ReadingTest::kColdRise;
  if (finding == "gas_reading") return ReadingTest::kGasInCoolant;
  return std::nullopt;
}

template <class T>
joint::Figure<T> figure(T value, std::string text) {
  joint::Figure<T> made;
  made.value = value;
  made.text = std::move(text);
  return made;
}

joint::Figure<GaugePressure> bar(double value) {
  const double shown = std::round(value * 100) / 100;
  return figure(GaugePressure::from_pascal(shown * 1e5), fmt::format("{:.2f} bar", shown));
}

jobs::ReadingValue pressure(double pascal, double step, std::string text) {
  jobs::ReadingValue value;
  value.kind = Kind::kPressure;
  value.pressure = GaugePressure::from_pascal(pascal);
  value.text = std::move(text);
  value.step_si = step;
  return value;
}

/// What a leak makes of the compression of a sound cylinder, by the cranking cycle. The cycle is run when it is first asked for.
class LossOfCompression {
 public:
  explicit LossOfCompression(const joint::Engine& engine) : engine_(engine) {}

  double ratio(Area leak) const {
    if (!curve_) {
      const auto crankable = crankable_engine(engine_);
      require(crankable.has_value(), "a practice engine cannot be cranked");
      leakage::CrankingConditions conditions;
      if (crankable->speed) conditions.speed = *crankable->speed;
      curve_.emplace(crankable->engine, conditions);
    }
    const Area base = Area::from_si(kBase_mm2 * 1e-6);
    return curve_->reading(base + leak).pascal() / curve_->reading(base).pascal();
  }

 private:
  static constexpr double kBase_mm2 = 0.5;  ///< rings and valves of a sound cylinder; assumption
  const joint::Engine& engine_;
  mutable std::optional<leakage::CompressionCurve> curve_;
};

}  // namespace

std::vector<std::string> places_of_finding(const diagnosis::InstanceNetwork& network, std::size_t row) {
  const diagnosis::Finding& finding = network.pattern.findings[row];
  std::vector<std::string> places;
  if (finding.scope == network.layout.whole) {
    if (network.find(finding.name) >= 0) places.emplace_back();
    return places;
  }
  for (const diagnosis::Location& location : network.layout.locations)
    if (location.scope == finding.scope && network.find(finding.name, location.name) >= 0) places.push_back(location.name);
  return places;
}

jobs::Job PracticeLooks::complaint() const {
  jobs::Job job;
  job.title = fmt::format("Practice, seed {}, {}", engine_.seed, name_of(engine_.level));
  job.engine = engine_.engine;
  job.history = engine_.history;
  for (std::size_t i = 0; i < engine_.network.instances.size(); ++i)
    if (!engine_.network.instances[i].is_cause && is_told_by_owner(engine_.network.finding(i))) (void)sign(job, i);
  return job;
}

std::vector<PracticeLook> PracticeLooks::look(jobs::Job& job, std::size_t row, const std::vector<std::string>& places) const {
  const diagnosis::Finding& finding = engine_.network.pattern.findings[row];
  require(finding.kind != diagnosis::FindingKind::kHidden, "nobody can look at a hidden finding");
  if (cylinder_test(finding.name)) return cylinder_readings(job, row, places);
  std::vector<PracticeLook> looks;
  for (const std::string& place : places) {
    const int instance = engine_.network.find(finding.name, place);
    require(instance >= 0, "this engine has no such finding there");
    const auto index = static_cast<std::size_t>(instance);
    looks.push_back(engine_test(finding.name) ? engine_reading(job, index) : sign(job, index));
  }
  return looks;
}

PracticeLook PracticeLooks::sign(jobs::Job& job, std::size_t instance) const {
  const diagnosis::Finding& finding = engine_.network.finding(instance);
  std::mt19937 random = practice_stream(engine_.seed, engine_.network.instances[instance].name);
  const diagnosis::Observation shown = diagnosis::look_at(engine_.network, engine_.truth, instance, random);
  const auto state =
      static_cast<std::size_t>(std::max_element(shown.likelihood.begin(), shown.likelihood.end()) - shown.likelihood.begin());
  const std::string place = engine_.network.place(instance);
  job.signs.push_back({finding.name, place, finding.states[state], {}, {}});
  return {finding.name, place, engine_.network.text(instance), finding.states[state], state > 0};
}

std::vector<PracticeLook> PracticeLooks::cylinder_readings(jobs::Job& job, std::size_t row, const std::vector<std::string>& places) const {
  const diagnosis::Finding& finding = engine_.network.pattern.findings[row];
  const ReadingTest test = *cylinder_test(finding.name);
  auto reading = std::find_if(job.readings.begin(), job.readings.end(), [&](const jobs::Reading& one) { return one.test == test; });
  if (reading == job.readings.end()) {
    jobs::Reading fresh;
    fresh.test = test;
    fresh.engine = "warm";
    fresh.values.resize(static_cast<std::size_t>(engine_.engine.general.cylinders));
    if (test == ReadingTest::kCompression) fresh.plugs = "all out";
    if (test == ReadingTest::kLeakDown) {
      fresh.supply = figure(GaugePressure::from_pascal(kSupply_psi * kPascalPerPsi), "80 psi");
      fresh.orifice = figure(Length::from_si(0.04 * 0.0254), "0.040 in");
      fresh.piston = "top";
    }
    job.readings.push_back(fresh);
    reading = job.readings.end() - 1;
  }
  const std::vector<jobs::ReadingValue> all = test == ReadingTest::kCompression ? compressions()
                                              : test == ReadingTest::kLeakDown  ? leak_downs()
                                                                                : starter_pulls();
  std::vector<PracticeLook> looks;
  for (const std::string& place : places) {
    const auto cylinder = static_cast<std::size_t>(std::stoi(place)) - 1;
    require(cylinder < all.size(), "a cylinder that is not there");
    reading->values[cylinder] = all[cylinder];
    looks.push_back({finding.name, place, engine_.network.text(static_cast<std::size_t>(engine_.network.find(finding.name, place))),
                     all[cylinder].text, false});
  }
  return looks;
}

PracticeLook PracticeLooks::engine_reading(jobs::Job& job, std::size_t instance) const {
  const diagnosis::Finding& finding = engine_.network.finding(instance);
  std::mt19937 random = practice_stream(engine_.seed, finding.name);
  const bool is_there = engine_.is_there(instance);
  jobs::Reading reading;
  reading.test = *engine_test(finding.name);
  std::string answer;
  switch (reading.test) {
    case ReadingTest::kPressureHold: {
      const double fall = is_there ? between(random, 0.12, 0.6) : between(random, 0.004, 0.03);
      reading.start = bar(1.0);
      reading.end = bar(1.0 - fall);
      reading.duration = figure(Duration::from_si(600), "10 min");
      reading.engine = "cold";
      answer = fmt::format("1.00 bar, {} after 10 min", reading.end->text);
      break;
    }
    case ReadingTest::kColdRise: {
      const double rise = is_there ? between(random, 0.35, 1.0) : between(random, 0.02, 0.1);
      reading.start = bar(0);
      reading.end = bar(rise);
      reading.duration = figure(Duration::from_si(180), "3 min");
      reading.engine = "cold";
      answer = fmt::format("0 bar, {} after 3 min at idle", reading.end->text);
      break;
    }
    default: {
      const double share = is_there ? between(random, 0.6, 5.0) : between(random, 0.03, 0.12);
      reading.carbon_dioxide = figure(joint::Share{std::round(share * 100) / 1e4}, fmt::format("{:.2f} %", share));
      answer = reading.carbon_dioxide->text + " carbon dioxide";
      break;
    }
  }
  job.readings.push_back(std::move(reading));
  return {finding.name, {}, engine_.network.text(instance), answer, false};
}

Area PracticeLooks::leak_of(const std::string& cylinder) const {
  const diagnosis::InstanceNetwork& network = engine_.network;
  const int leak = network.find("cylinder_leak", cylinder);
  if (leak < 0) return Area::from_si(0);
  const std::size_t size = engine_.truth.state[static_cast<std::size_t>(leak)];
  if (size == 0) return Area::from_si(0);
  // Neighbours over one breach lose through the same hole: that is why they read alike.
  std::string hole = "cylinder " + cylinder;
  for (const diagnosis::Influence& parent : network.instances[static_cast<std::size_t>(leak)].parents)
    if (engine_.is_there(parent.parent) && network.instances[parent.parent].name.starts_with("gas_to_neighbour@"))
      hole = network.instances[parent.parent].name;
  std::mt19937 random = practice_stream(engine_.seed, "leak of " + hole);
  const double small = between(random, kSmallLeast_mm2, kSmallMost_mm2);
  const double large = between(random, 2 * kSmallMost_mm2, kLargeMost_mm2);
  return Area::from_si((size == 1 ? small : large) * 1e-6);
}

std::vector<jobs::ReadingValue> PracticeLooks::compressions() const {
  constexpr double kStep = 1e4;  // 0.1 bar
  const auto& maker = engine_.engine.general.expected_compression;
  std::mt19937 of_engine = practice_stream(engine_.seed, "level of compression");
  double level = (maker ? maker->value.bar() : kUsualCompression_bar) * (1 + 0.03 * normal(of_engine));
  const auto holds = [&](const char* cause) {
    const int instance = engine_.network.find(cause);
    return instance >= 0 && engine_.is_there(static_cast<std::size_t>(instance));
  };
  if (holds("worn_engine")) level *= 0.9;
  if (holds("worn_seats")) level *= 0.93;
  const LossOfCompression loss(engine_.engine);
  std::vector<jobs::ReadingValue> values;
  for (int cylinder = 1; cylinder <= engine_.engine.general.cylinders; ++cylinder) {
    const std::string place = std::to_string(cylinder);
    std::mt19937 random = practice_stream(engine_.seed, "compression@" + place);
    const Area leak = leak_of(place);
    const double ratio = leak.si() > 0 ? loss.ratio(leak) : 1;
    const double shown = std::round(std::max(0.0, level * ratio * (1 + kCompressionSpread * normal(random))) * 10) / 10;
    values.push_back(pressure(shown * 1e5, kStep, fmt::format("{:.1f} bar", shown)));
  }
  return values;
}

std::vector<jobs::ReadingValue> PracticeLooks::leak_downs() const {
  leakage::LeakDownTest test;
  test.supply = GaugePressure::from_pascal(kSupply_psi * kPascalPerPsi);
  test.orifice = leakage::TesterOrifice::drilled(Length::from_si(0.04 * 0.0254));
  std::mt19937 of_engine = practice_stream(engine_.seed, "level of leak-down");
  const double level = 0.03 + 0.04 * uniform(of_engine);
  std::vector<jobs::ReadingValue> values;
  for (int cylinder = 1; cylinder <= engine_.engine.general.cylinders; ++cylinder) {
    const std::string place = std::to_string(cylinder);
    std::mt19937 random = practice_stream(engine_.seed, "leak_down@" + place);
    const double sound = std::clamp(level + 0.01 * normal(random), 0.01, 0.12);
    const auto rings = leakage::leak_area_from_leak_down(test, GaugePressure::from_pascal(test.supply.pascal() * (1 - sound)));
    const auto reads = leakage::leak_down_reading(test, Area::from_si(rings.leak.area.si() + leak_of(place).si()));
    const double psi = std::clamp(std::round(reads.pascal() / kPascalPerPsi + kLeakDownSpread_psi * normal(random)), 0.0, kSupply_psi);
    values.push_back(pressure(psi * kPascalPerPsi, kPascalPerPsi, fmt::format("{:.0f} psi", psi)));
  }
  return values;
}

std::vector<jobs::ReadingValue> PracticeLooks::starter_pulls() const {
  std::vector<double> shares;
  for (int cylinder = 1; cylinder <= engine_.engine.general.cylinders; ++cylinder) {
    const std::string place = std::to_string(cylinder);
    std::mt19937 random = practice_stream(engine_.seed, "starter_current@" + place);
    const double leak_mm2 = leak_of(place).si() * 1e6;
    const double middle = leak_mm2 > 0.2 ? 0.75 : leak_mm2 > 0 ? 0.95 : 0.97;
    shares.push_back(middle + (leak_mm2 > 0.2 ? 0.08 : 0.025) * normal(random));
  }
  const double most = *std::max_element(shares.begin(), shares.end());
  std::vector<jobs::ReadingValue> values;
  for (const double share : shares) {
    jobs::ReadingValue value;
    value.kind = Kind::kLoss;
    value.loss = std::round(100 * std::clamp(share / most, 0.0, 1.0)) / 100;
    value.step_si = 0.01;
    value.text = fmt::format("{:.0f} %", 100 * value.loss);
    values.push_back(std::move(value));
  }
  return values;
}

}  // namespace headjoint::assess
