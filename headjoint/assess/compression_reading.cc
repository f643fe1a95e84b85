#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <memory>
#include <utility>

#include "headjoint/assess/cranking_input.h"
#include "headjoint/assess/internal/reading_words.h"
#include "headjoint/assess/readings.h"
#include "headjoint/base/error.h"
#include "headjoint/joint/places.h"
#include "headjoint/leakage/compression.h"
#include "headjoint/leakage/leak_size.h"
#include "headjoint/units/quantity_text.h"

namespace headjoint::assess {
namespace {

/// Alike and below what the engine should reach: the shares between the cylinders say nothing of each alone.
bool level_is_low(const leakage::CompressionComparison& comparison, const jobs::Reading& reading) {
  return reading.throttle != "closed" && comparison.level.kind == leakage::LevelFinding::Kind::kLow;
}

using leakage::LeakArea;

std::string verdict_text(leakage::Verdict verdict) {
  switch (verdict) {
    case leakage::Verdict::kNotJudged:
      return "not judged";
    case leakage::Verdict::kPass:
      return "kept";
    case leakage::Verdict::kBorderline:
      return "borderline";
    case leakage::Verdict::kFail:
      return "broken";
  }
  return {};
}

std::string rule_text(const leakage::RuleResult& rule) {
  switch (rule.rule) {
    case leakage::CompressionRule::kLowestToHighest:
      return fmt::format("Lowest is {:.0f} % of highest; at least {:.0f} %: {} ({}).", 100 * rule.value, 100 * rule.limit,
                         verdict_text(rule.verdict), rule.source);
    case leakage::CompressionRule::kSpread:
      return fmt::format("Spread {:.0f} % of the highest; at most {:.0f} %: {} ({}).", 100 * rule.value, 100 * rule.limit,
                         verdict_text(rule.verdict), rule.source);
    case leakage::CompressionRule::kAdjacentPair:
      break;
  }
  return {};
}

/// Whether an earlier reading that counts showed about the same pressure in this cylinder.
bool is_confirmed(const jobs::Job& job, const jobs::Reading& last, std::size_t cylinder, GaugePressure pressure) {
  constexpr double kAgreement = 5e4;  // Pa; two crankings of one cylinder by one person. Common practice, no source
  return std::any_of(job.readings.begin(), job.readings.end(), [&](const jobs::Reading& earlier) {
    const bool is_same_test =
        earlier.test == last.test && earlier.counts() && earlier.place != last.place && cylinder < earlier.values.size();
    return is_same_test && earlier.values[cylinder].kind == jobs::ReadingValue::Kind::kPressure &&
           std::abs(earlier.values[cylinder].pressure.pascal() - pressure.pascal()) <= kAgreement;
  });
}

leakage::CompressionTest compression_test(const jobs::Reading& reading, const jobs::Job& job, const leakage::Ambient& ambient) {
  leakage::CompressionTest test;
  const joint::Engine& engine = job.engine;
  for (std::size_t i = 0; i < reading.values.size(); ++i) {
    leakage::CompressionReading entry;
    if (reading.values[i].kind == jobs::ReadingValue::Kind::kPressure) {
      entry.pressure = reading.values[i].pressure;
      entry.confirmed = is_confirmed(job, reading, i, *entry.pressure);
    }
    test.readings.push_back(entry);
  }
  for (const joint::Bridge& bridge : joint::bridges(engine)) {
    if (static_cast<std::size_t>(bridge.second) > test.readings.size()) continue;
    test.neighbours.emplace_back(static_cast<std::size_t>(bridge.first - 1), static_cast<std::size_t>(bridge.second - 1));
  }
  test.cranking = cranking_of(engine);
  test.firing = firing_of(engine);
  test.plugs = reading.plugs == "one out" && !test.firing.empty() ? leakage::Plugs::kIn : leakage::Plugs::kOut;
  if (engine.general.expected_compression) test.maker_level = engine.general.expected_compression->value;
  if (reading.resolution) test.gauge_step = reading.resolution->value;
  test.ambient = ambient.pressure;
  return test;
}

CompressionCylinder compression_cylinder(const leakage::CompressionComparison& comparison, const leakage::CompressionTest& test,
                                         std::size_t index) {
  const leakage::CylinderCompression& found = comparison.cylinders[index];
  CompressionCylinder cylinder;
  cylinder.cylinder = static_cast<int>(index) + 1;
  if (found.state == leakage::ReadingState::kNotTaken) {
    cylinder.status = "not taken";
    return cylinder;
  }
  cylinder.reading_bar = test.readings[index].pressure->bar();
  if (comparison.reference) cylinder.expected_bar = comparison.reference->bar();
  cylinder.ratio = found.ratio;
  if (found.state != leakage::ReadingState::kPlausible) {
    cylinder.status = "not used: " + found.note;
    return cylinder;
  }
  cylinder.status = status_text(found.extra.status);
  cylinder.leak_area_mm2 = mm2(found.extra.area);
  cylinder.low_mm2 = mm2(found.extra.low);
  cylinder.high_mm2 = high_mm2(found.extra);
  return cylinder;
}

/// Neighbours that both read low say by their equality whether a breach joins them; pairs that do not both read low say nothing.
void add_pair_observations(const leakage::CompressionComparison& comparison, ReadTest<Compression>& read) {
  for (const leakage::PairBreach& pair : comparison.pairs) {
    const std::string first = cylinder_name(pair.first), second = cylinder_name(pair.second);
    const std::string text = fmt::format("compression {} and {}: low{}", first, second, pair.is_equal ? " and equal" : ", not equal");
    read.observations.push_back({"equal_pair", first + "-" + second, diagnosis::seen_state(2, pair.is_equal ? 1 : 0), text});
  }
}

std::string pair_text(const leakage::PairBreach& pair, const std::string& first, const std::string& second) {
  if (!pair.is_equal)
    return fmt::format(
        "{} and {} are neighbours and both low, but {:.0f} % apart: more than a breach between them makes. Two causes are likelier.", first,
        second, 100 * std::abs(pair.difference));
  std::string text = fmt::format("{} and {} are neighbours, low and equal: the mark of a breach between them", first, second);
  if (pair.breach.status == LeakArea::Status::kMeasured && pair.breach.high)
    text += fmt::format(", of {:.2f} mm² ({:.2f} to {:.2f}) if all that both lack goes across", mm2(pair.breach.area), mm2(pair.breach.low),
                        mm2(*pair.breach.high));
  return text + ". Both may also leak into one water space. Confirm by leak-down: air at the neighbour's plug hole.";
}

void add_pairs(const leakage::CompressionComparison& comparison, Compression& shown) {
  for (const leakage::PairBreach& pair : comparison.pairs) {
    const std::string first = cylinder_name(pair.first), second = cylinder_name(pair.second);
    const bool has_area = pair.breach.status != LeakArea::Status::kNotRun;
    constexpr double kUnknown = std::numeric_limits<double>::quiet_NaN();
    shown.pairs.push_back({first + "-" + second, pair_text(pair, first, second), pair.is_equal, has_area ? mm2(pair.breach.area) : kUnknown,
                           has_area ? mm2(pair.breach.low) : kUnknown, has_area ? high_mm2(pair.breach) : kUnknown, pair.difference,
                           pair.expected_difference});
  }
}

void add_rules(const leakage::CompressionComparison& comparison, Compression& shown) {
  for (const leakage::RuleResult& rule : comparison.rules) {
    if (rule.rule == leakage::CompressionRule::kLowestToHighest) shown.lowest_over_highest = rule.value;
    if (rule.rule != leakage::CompressionRule::kAdjacentPair && rule.verdict != leakage::Verdict::kNotJudged)
      shown.notes.push_back(rule_text(rule));
  }
}

std::string level_word(leakage::LevelFinding::Kind kind) {
  switch (kind) {
    case leakage::LevelFinding::Kind::kNotJudged:
      return "";
    case leakage::LevelFinding::Kind::kUsual:
      return "usual";
    case leakage::LevelFinding::Kind::kLow:
      return "low";
    case leakage::LevelFinding::Kind::kHigh:
      return "high";
  }
  return "";
}

/// What all cylinders share, and how the areas came about.
void add_level(const leakage::CompressionComparison& comparison, const jobs::Reading& reading, Compression& shown) {
  if (!comparison.model) return;
  const LeakArea base = comparison.model->base();
  shown.base_mm2 = mm2(base.area);
  shown.base_low_mm2 = mm2(base.low);
  shown.base_high_mm2 = high_mm2(base);
  shown.level = level_word(comparison.level.kind);
  shown.usual_low_bar = comparison.level.usual_low.bar();
  shown.usual_high_bar = comparison.level.usual_high.bar();
  const bool is_shut = reading.throttle == "closed";
  if (is_shut)
    shown.notes.push_back(
        "The throttle was closed: all cylinders read low, so the level says nothing; the ratios hold. Take it again with the throttle "
        "open.");
  if (!is_shut && !comparison.note.empty()) shown.notes.push_back(comparison.note);
  shown.notes.push_back(
      "Leak areas are what a cylinder leaks beyond the healthy ones, by the engine's own cranking cycle. The range holds heat loss, speed "
      "drift, gauge and what "
      "is not known of the engine. The gauge cannot tell rings, valve and gasket apart; a leak-down at its outlets can.");
}

/// Pressure against crank angle of a sound cylinder and of the lowest that was measured, plugs out.
void add_traces(const leakage::CompressionComparison& comparison, Compression& shown) {
  constexpr double kStep = 2, kFirst = -180;
  if (!comparison.model) return;
  const leakage::Cranking& cranking = comparison.model->cranking();
  const auto trace = [&](const std::string& name, Area extra) {
    const leakage::CylinderLeaks leaks{.rings = comparison.model->base(leakage::HeatLoss::kWoschni) + extra};
    const auto run = leakage::simulate_cylinder(cranking.engine(), cranking.conditions(leakage::HeatLoss::kWoschni), leaks,
                                                {.trace_step = Angle::from_degrees(kStep)});
    if (!run) return;
    PressureTrace drawn{name, kFirst, kStep, {}};
    constexpr std::size_t kHalfTurn = 90;  // points of the trace before -180 and after +180 deg
    for (std::size_t i = kHalfTurn; i + kHalfTurn < run->trace.size(); ++i) drawn.bar_abs.push_back(run->trace[i].bar());
    shown.traces.push_back(std::move(drawn));
  };
  trace("a sound cylinder", Area{});
  const leakage::CylinderCompression* lowest = nullptr;
  for (const leakage::CylinderCompression& cylinder : comparison.cylinders) {
    const bool is_measured =
        cylinder.extra.status == LeakArea::Status::kMeasured || cylinder.extra.status == LeakArea::Status::kTooLargeToMeasure;
    if (is_measured && (lowest == nullptr || cylinder.ratio < lowest->ratio)) lowest = &cylinder;
  }
  if (lowest == nullptr) return;
  const auto index = static_cast<std::size_t>(lowest - comparison.cylinders.data());
  trace("cylinder " + cylinder_name(index), lowest->extra.area);
}

}  // namespace

Result<ReadTest<Compression>> judge_compression(const jobs::Reading& reading, const jobs::Job& job, const leakage::Ambient& ambient) {
  const leakage::CompressionTest test = compression_test(reading, job, ambient);
  ReadTest<Compression> read;
  leakage::CompressionComparison comparison;
  try {
    comparison = leakage::compare_compression(test);
  } catch (const InputError& error) {
    return problem_at(reading.place, "compression: " + std::string(error.what()));
  }
  for (std::size_t i = 0; i < comparison.cylinders.size(); ++i) read.shown.cylinders.push_back(compression_cylinder(comparison, test, i));
  add_rules(comparison, read.shown);
  add_pairs(comparison, read.shown);
  add_level(comparison, reading, read.shown);
  add_traces(comparison, read.shown);
  if (comparison.smallest_visible.high) read.shown.smallest_leak_mm2 = mm2(*comparison.smallest_visible.high);
  if (!test.cranking)
    read.shown.notes.push_back("Bore and stroke are not in the engine file: readings are compared, leak areas are not given.");
  if (!comparison.note.empty() && (!comparison.reference || level_is_low(comparison, reading))) {
    if (!comparison.reference) read.shown.notes.push_back(comparison.note);
    read.not_counted.push_back("compression: " + comparison.note);
  }
  if (!comparison.reference) return read;
  add_pair_observations(comparison, read);
  const auto model = comparison.model ? comparison.model
                                      : std::make_shared<const leakage::CompressionModel>(
                                            leakage::Cranking{.displacement = 400 * unit_of<Volume>("cm3")}, comparison.reference);
  const double step = std::clamp(test.gauge_step.pascal() / comparison.reference->pascal(), 1e-4, 0.5);
  for (std::size_t i = 0; i < comparison.cylinders.size(); ++i) {
    const leakage::CylinderCompression& cylinder = comparison.cylinders[i];
    const std::string label = fmt::format("compression {}: {}", cylinder_name(i), reading.values[i].text);
    if (cylinder.state == leakage::ReadingState::kPlausible) {
      if (level_is_low(comparison, reading) && cylinder.ratio >= leakage::kLowRatio) continue;  // alike and low: no sign of being sound
      const auto areas = leakage::leak_area_likelihood_of_compression(std::min(cylinder.ratio, 3.0), step, *model);
      read.areas.push_back({read.observations.size(), areas});
      read.observations.push_back({"compression", cylinder_name(i), states_of(areas.classes()), label, true});
    } else if (cylinder.state != leakage::ReadingState::kNotTaken) {
      read.not_counted.push_back(label + ": " + cylinder.note);
    }
  }
  return read;
}

}  // namespace headjoint::assess
