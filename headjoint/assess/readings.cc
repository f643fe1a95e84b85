#include "headjoint/assess/readings.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <memory>
#include <set>
#include <utility>

#include "headjoint/assess/knowledge.h"
#include "headjoint/base/error.h"
#include "headjoint/joint/places.h"
#include "headjoint/leakage/compression.h"
#include "headjoint/leakage/leak_down.h"
#include "headjoint/leakage/leak_size.h"
#include "headjoint/leakage/sensitivity.h"
#include "headjoint/units/quantity_text.h"

namespace headjoint::assess {
namespace {

using leakage::LeakArea;

constexpr double kSquareMillimetre = 1e-6;
constexpr double kPsi = 6894.757293168;
constexpr const char* kAssumedOrifice = "0.040 in";
constexpr double kAssumedSupplyPsi = 80;
/// Loss of sound rings and valves when the engine's own level is not known. Common practice, no source.
constexpr double kTypicalHealthyLoss = 0.06;

double mm2(Area area) { return area.si() / kSquareMillimetre; }

/// Upper limit of the band; not a number where the test sets none.
double high_mm2(const LeakArea& leak) { return leak.high ? mm2(*leak.high) : std::numeric_limits<double>::quiet_NaN(); }

std::string status_text(LeakArea::Status status) {
  switch (status) {
    case LeakArea::Status::kNotRun:
      return "not judged";
    case LeakArea::Status::kMeasured:
      return "measured";
    case LeakArea::Status::kBelowLimit:
      return "no leak shown";
    case LeakArea::Status::kTooLargeToMeasure:
      return "too large to measure";
  }
  return {};
}

std::vector<double> states_of(const leakage::LeakSizeLikelihood& likelihood) {
  return {likelihood.none, likelihood.small, likelihood.large};
}

/// A fault of one reading as a problem at its place.
Problem problem_at(const Place& place, const std::string& what) {
  return {place, what, {}, "correct the reading, or mark it void with the reason"};
}

std::string cylinder_name(std::size_t index) { return std::to_string(index + 1); }

// ---- leak-down ----

struct LeakDownSetting {
  leakage::LeakDownTest test;
  double orifice_mm = 0;
  std::vector<std::string> notes;
};

bool shows_loss_only(const jobs::Reading& reading) {
  return std::none_of(reading.values.begin(), reading.values.end(),
                      [](const auto& value) { return value.kind == jobs::ReadingValue::Kind::kPressure; });
}

Result<LeakDownSetting> leak_down_setting(const jobs::Reading& reading, const leakage::Ambient& ambient, const TesterDetails& details) {
  LeakDownSetting setting;
  setting.test.ambient = ambient;
  if (reading.supply) {
    setting.test.supply = reading.supply->value;
  } else if (shows_loss_only(reading)) {
    setting.test.supply = GaugePressure::from_pascal(kAssumedSupplyPsi * kPsi);
    setting.notes.push_back("The tester's supply pressure was not given: 80 psi assumed.");
  } else {
    return Problem{reading.place, "the leak-down has no supply pressure", "supply = \"80 psi\"",
                   "give the regulator pressure the tester was set to"};
  }
  if (details.effective_area) {
    setting.test.orifice = leakage::TesterOrifice::calibrated(*details.effective_area);
  } else {
    Length bore = parse<Length>(kAssumedOrifice).value();
    if (reading.orifice)
      bore = reading.orifice->value;
    else
      setting.notes.push_back(
          "The tester's orifice was not given: 0.040 in assumed. Per cent scales of different testers are not the same.");
    setting.orifice_mm = bore.si() * 1e3;
    setting.test.orifice =
        details.discharge ? leakage::TesterOrifice::drilled(bore, *details.discharge) : leakage::TesterOrifice::drilled(bore);
    setting.notes.push_back(
        fmt::format("The orifice's discharge coefficient is an assumption: all areas together may be {:.0f} % lower or {:.0f} % higher. "
                    "Calibrate with drilled jets.",
                    100 * (1 - setting.test.orifice.low_factor), 100 * (setting.test.orifice.high_factor - 1)));
  }
  if (reading.resolution)
    setting.test.gauge_step = reading.resolution->value;
  else if (reading.loss_resolution)
    setting.test.gauge_step = GaugePressure::from_pascal(reading.loss_resolution->value.fraction * setting.test.supply.pascal());
  return setting;
}

/// Cylinder-side pressure of a value, or empty when nothing was read.
std::optional<GaugePressure> cylinder_pressure(const jobs::ReadingValue& value, GaugePressure supply) {
  if (value.kind == jobs::ReadingValue::Kind::kPressure) return value.pressure;
  if (value.kind == jobs::ReadingValue::Kind::kLoss) return GaugePressure::from_pascal((1 - value.loss) * supply.pascal());
  return std::nullopt;
}

LeakDownCylinder leak_down_cylinder(const leakage::LeakDownTest& test, GaugePressure pressure) {
  const leakage::LeakDown result = leakage::leak_area_from_leak_down(test, pressure);
  LeakDownCylinder cylinder;
  cylinder.status = status_text(result.leak.status);
  cylinder.reading_bar = pressure.bar();
  cylinder.ratio = result.area_ratio;
  cylinder.loss = result.loss_fraction;
  cylinder.leak_area_mm2 = mm2(result.leak.area);
  cylinder.low_mm2 = mm2(result.leak.low);
  cylinder.high_mm2 = high_mm2(result.leak);
  cylinder.flow_L_per_min = result.flow.in(unit_of<VolumeFlow>("L/min"));
  cylinder.is_suspect = result.above_loss_rule;
  return cylinder;
}

std::vector<Caution> cautions_of_check(std::string_view finding) {
  const int row = head_joint_pattern().finding(finding);
  return row < 0 ? std::vector<Caution>{} : cautions_of(head_joint_pattern().findings[static_cast<std::size_t>(row)].cautions);
}

/// Smallest leak that shows beyond a sound cylinder's own loss; 0 when the gauge step swallows everything.
double smallest_by_leak_down(const leakage::LeakDownTest& test, double healthy_loss) {
  const auto sound = GaugePressure::from_pascal((1 - healthy_loss) * test.supply.pascal());
  if (!(sound.pascal() > test.gauge_step.pascal())) return 0;
  return mm2(leakage::smallest_leak_by_leak_down(test, sound));
}

// ---- compression ----

/// Cranking conditions, when the engine file has what they need.
std::optional<leakage::Cranking> cranking_of(const joint::Engine& engine) {
  const joint::General& general = engine.general;
  if (!general.bore || !general.stroke) return std::nullopt;
  constexpr double kQuarterPi = 0.78539816339744830962;
  leakage::Cranking cranking;
  cranking.displacement = kQuarterPi * (general.bore->value * general.bore->value * general.stroke->value);
  if (general.cranking_speed) cranking.speed = general.cranking_speed->value;
  return cranking;
}

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
void add_pair_observations(const leakage::CompressionComparison& comparison, const leakage::CompressionTest& test,
                           ReadTest<Compression>& read) {
  std::set<std::pair<std::size_t, std::size_t>> equal;
  for (const leakage::RuleResult& rule : comparison.rules)
    if (rule.rule == leakage::CompressionRule::kAdjacentPair) equal.emplace(rule.cylinders.at(0), rule.cylinders.at(1));
  for (const auto& [first, second] : test.neighbours) {
    const auto is_low = [&](std::size_t i) {
      return comparison.cylinders[i].state == leakage::ReadingState::kPlausible && comparison.cylinders[i].ratio < leakage::kLowRatio;
    };
    const bool is_equal = equal.contains({first, second});
    if (!is_equal && !(is_low(first) && is_low(second))) continue;
    const std::string text =
        fmt::format("compression {} and {}: low{}", cylinder_name(first), cylinder_name(second), is_equal ? " and equal" : ", not equal");
    read.observations.push_back(
        {"equal_pair", cylinder_name(first) + "-" + cylinder_name(second), diagnosis::seen_state(2, is_equal ? 1 : 0), text});
  }
}

void add_rules(const leakage::CompressionComparison& comparison, Compression& shown) {
  for (const leakage::RuleResult& rule : comparison.rules) {
    if (rule.rule == leakage::CompressionRule::kLowestToHighest) shown.lowest_over_highest = rule.value;
    if (rule.rule != leakage::CompressionRule::kAdjacentPair) {
      if (rule.verdict != leakage::Verdict::kNotJudged) shown.notes.push_back(rule_text(rule));
      continue;
    }
    const std::string first = cylinder_name(rule.cylinders.at(0));
    const std::string second = cylinder_name(rule.cylinders.at(1));
    shown.pairs.push_back(
        {first + "-" + second,
         fmt::format("{} and {} are neighbours, low and equal: the mark of a breach between them ({}).", first, second, rule.source)});
  }
}

}  // namespace

leakage::Ambient ambient_of(const jobs::History& history) {
  leakage::Ambient ambient;
  if (history.ambient_pressure) ambient.pressure = history.ambient_pressure->value;
  if (history.outside_temperature) ambient.temperature = history.outside_temperature->value;
  return ambient;
}

Result<ReadTest<LeakDown>> judge_leak_down(const jobs::Reading& reading, const leakage::Ambient& ambient, const TesterDetails& details) {
  const auto setting = leak_down_setting(reading, ambient, details);
  if (!setting) return setting.problems();
  const leakage::LeakDownTest& test = setting->test;
  ReadTest<LeakDown> read;
  read.shown.supply_bar = test.supply.bar();
  read.shown.orifice_mm = setting->orifice_mm;
  read.shown.orifice_area_mm2 = mm2(test.orifice.effective_area);
  read.shown.notes = setting->notes;
  read.shown.cautions = cautions_of_check("leak_down");
  Problems problems;
  std::vector<double> losses;
  for (std::size_t i = 0; i < reading.values.size(); ++i) {
    LeakDownCylinder cylinder;
    cylinder.status = reading.values[i].kind == jobs::ReadingValue::Kind::kInaccessible ? "not accessible" : "not taken";
    if (const auto pressure = cylinder_pressure(reading.values[i], test.supply)) {
      try {
        cylinder = leak_down_cylinder(test, *pressure);
        losses.push_back(cylinder.loss);
      } catch (const InputError& error) {
        problems.push_back(problem_at(reading.values[i].place, "leak-down of cylinder " + cylinder_name(i) + ": " + error.what()));
      }
    }
    cylinder.cylinder = static_cast<int>(i) + 1;
    read.shown.cylinders.push_back(cylinder);
  }
  if (has_errors(problems)) return problems;
  const std::optional<double> healthy = leakage::healthy_leak_down_loss(losses);
  read.shown.smallest_leak_mm2 = smallest_by_leak_down(test, healthy.value_or(kTypicalHealthyLoss));
  for (std::size_t i = 0; i < reading.values.size(); ++i) {
    const auto pressure = cylinder_pressure(reading.values[i], test.supply);
    if (!pressure) continue;
    const auto likelihood = leakage::leak_size_from_leak_down(test, *pressure, healthy);
    const LeakDownCylinder& shown = read.shown.cylinders[i];
    read.observations.push_back({"leak_down", cylinder_name(i), states_of(likelihood),
                                 fmt::format("leak-down {}: {:.0f} % lost", cylinder_name(i), 100 * shown.loss), true});
  }
  return read;
}

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
  if (comparison.smallest_visible.high) read.shown.smallest_leak_mm2 = mm2(*comparison.smallest_visible.high);
  if (!test.cranking)
    read.shown.notes.push_back("Bore and stroke are not in the engine file: readings are compared, leak areas are not given.");
  if (!comparison.reference) return read;
  add_pair_observations(comparison, test, read);
  const auto model = comparison.model ? comparison.model
                                      : std::make_shared<const leakage::CompressionModel>(
                                            leakage::Cranking{.displacement = 400 * unit_of<Volume>("cm3")}, comparison.reference);
  const double step = std::clamp(test.gauge_step.pascal() / comparison.reference->pascal(), 1e-4, 0.5);
  for (std::size_t i = 0; i < comparison.cylinders.size(); ++i) {
    const leakage::CylinderCompression& cylinder = comparison.cylinders[i];
    const std::string label = fmt::format("compression {}: {}", cylinder_name(i), reading.values[i].text);
    if (cylinder.state == leakage::ReadingState::kPlausible) {
      const auto likelihood = leakage::leak_size_from_compression(std::min(cylinder.ratio, 3.0), step, *model);
      read.observations.push_back({"compression", cylinder_name(i), states_of(likelihood), label, true});
    } else if (cylinder.state != leakage::ReadingState::kNotTaken) {
      read.not_counted.push_back(label + ": " + cylinder.note);
    }
  }
  return read;
}

}  // namespace headjoint::assess
