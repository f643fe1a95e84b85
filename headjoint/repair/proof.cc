#include "headjoint/repair/proof.h"

#include <algorithm>
#include <cmath>

#include "headjoint/base/error.h"
#include "headjoint/base/table_reader.h"
#include "headjoint/units/quantity_text.h"

namespace headjoint::repair {
namespace {

using leakage::HeatLoss;

constexpr double kEnd = 1e-9;  ///< nearest a chance comes to 0 or 1

double held(double chance) { return std::clamp(chance, kEnd, 1 - kEnd); }

/// Gauge reading of one law: the leak that gives `level` at the ratio before, at the ratio after.
double level_after(const leakage::Cranking& before, const leakage::Cranking& after, HeatLoss law, GaugePressure level) {
  const Area base = leakage::CompressionCurve(before.engine(), before.conditions(law)).leak(level);
  const leakage::CompressionCurve curve_before(before.engine(), before.conditions(law));
  const leakage::CompressionCurve curve_after(after.engine(), after.conditions(law));
  // A level above the tight cylinder's has no leak to fit: the rise then goes by the ratio of the two curves.
  return level.pascal() * curve_after.reading(base).pascal() / curve_before.reading(base).pascal();
}

PressureBand band_of(double expected, double low, double high) {
  return {GaugePressure::from_pascal(expected), GaugePressure::from_pascal(low), GaugePressure::from_pascal(high)};
}

}  // namespace

PressureBand expected_compression(const leakage::Cranking& cranking, std::optional<double> ratio_after,
                                  std::optional<GaugePressure> level) {
  leakage::Cranking after = cranking;
  if (ratio_after) after.compression_ratio = *ratio_after;
  cranking.check();
  after.check();
  if (!level) {
    const auto sound = leakage::CompressionModel(after).sound_level();
    return band_of((sound.low.pascal() + sound.high.pascal()) / 2, sound.low.pascal(), sound.high.pascal());
  }
  if (!(level->pascal() > 0)) throw InputError("level", "the level of a sound cylinder is not above 0");
  const bool is_unchanged = !ratio_after || (cranking.compression_ratio && *cranking.compression_ratio == *ratio_after);
  const double first = is_unchanged ? level->pascal() : level_after(cranking, after, HeatLoss::kWoschni, *level);
  const double second = is_unchanged ? level->pascal() : level_after(cranking, after, HeatLoss::kHohenberg, *level);
  return band_of((first + second) / 2, (1 - kLevelTolerance) * std::min(first, second), (1 + kLevelTolerance) * std::max(first, second));
}

PressureBand expected_leak_down(const leakage::LeakDownTest& test, std::optional<double> most_loss, const leakage::LeakSizes& sizes) {
  const double supply = test.supply.pascal();
  if (!(supply > 0)) throw InputError("supply", "the supply pressure is not above 0");
  const double most = most_loss.value_or(sizes.healthy_loss_high + sizes.healthy_loss_spread);
  if (!(most >= 0 && most < 1)) throw InputError("most_loss", "the greatest loss is not a share between 0 and 1");
  const double usual = std::min((sizes.healthy_loss_low + sizes.healthy_loss_high) / 2, most);
  return band_of((1 - usual) * supply, (1 - most) * supply, supply);
}

PressureBand expected_hold(leakage::PressureHold hold) {
  constexpr int kHalvings = 40;
  const auto verdict_at = [&](double end) {
    hold.end = GaugePressure::from_pascal(end);
    return leakage::judge_pressure_hold(hold).verdict;
  };
  const double start = hold.start.pascal();
  double falls = 0, holds = start;
  if (verdict_at(0) == leakage::HoldVerdict::kHolds) falls = holds = 0;
  for (int i = 0; i < kHalvings && holds > falls; ++i) {
    const double middle = (falls + holds) / 2;
    (verdict_at(middle) == leakage::HoldVerdict::kHolds ? holds : falls) = middle;
  }
  return band_of(start, holds, start + hold.gauge_step.pascal());
}

Result<SecondFailure> read_second_failure(std::string_view toml, const std::string& source) {
  const auto document = read_toml(toml, source);
  if (!document) return document.problems();
  Problems problems;
  SecondFailure table;
  TableReader reader(*document, {}, problems);
  const auto number = [](TableReader& from, const std::string& key, double& into, double least, double most) {
    std::optional<double> value;
    (void)from.required(key);
    from.number(key, value, least, most);
    into = value.value_or(into);
  };
  reader.text("source", table.source);
  number(reader, "joint_done_well", table.joint_done_well, 0.001, 0.5);
  number(reader, "cured_but_wrong", table.cured_but_wrong, 0.001, 0.5);
  number(reader, "spread", table.spread, 1, 100);
  reader.tables("driver", table.drivers, [&](TableReader& inner, FailureDriver& driver) {
    inner.text("when", driver.when);
    number(inner, "factor", driver.factor, 0.01, 100);
    inner.text("text", driver.text);
    inner.text("mend", driver.mend);
  });
  reader.finish();
  if (has_errors(problems)) return problems;
  return table;
}

JointPrior joint_prior(const SecondFailure& table, const Facts& facts) {
  JointPrior prior;
  double factor = 1;
  for (const FailureDriver& driver : table.drivers) {
    if (!holds(driver.when, facts)) continue;
    factor *= driver.factor;
    prior.drivers.push_back(driver);
  }
  std::stable_sort(prior.drivers.begin(), prior.drivers.end(),
                   [](const FailureDriver& a, const FailureDriver& b) { return a.factor > b.factor; });
  prior.chance.value = updated(table.joint_done_well, factor);
  prior.chance.low = updated(prior.chance.value, 1 / table.spread);
  prior.chance.high = updated(prior.chance.value, table.spread);
  return prior;
}

double updated(double chance, double factor) {
  if (!(chance >= 0 && chance <= 1)) throw ContractError("a chance lies between 0 and 1");
  if (!(factor >= 0)) throw ContractError("a factor on the odds is 0 or more");
  if (chance == 0 || chance == 1) return chance;
  if (std::isinf(factor)) return 1;
  const double odds = factor * chance / (1 - chance);
  return odds / (1 + odds);
}

double odds_factor(double before, double after) {
  const double b = held(before), a = held(after);
  return (a / (1 - a)) / (b / (1 - b));
}

double any_of(const std::vector<double>& chances) {
  double none = 1;
  for (const double chance : chances) none *= 1 - std::clamp(chance, 0.0, 1.0);
  return 1 - none;
}

}  // namespace headjoint::repair
