#include "headjoint/leakage/compression.h"

#include <algorithm>
#include <cmath>

#include "headjoint/leakage/internal/arguments.h"
#include "headjoint/leakage/internal/median.h"

namespace headjoint::leakage {
namespace {

constexpr double kLargestReading = 100e5;        // Pa; well above any cranking diesel
constexpr double kRoundingOfTyping = 1e-9;       // a limit met exactly in another unit counts as met
constexpr double kLowestToHighest = 0.75;        // TM 5-4210-230-14&P-1 Add. 2
constexpr double kGoodSpread = 0.10;             // common practice
constexpr double kSpreadLimit = 0.15;            // common practice
constexpr double kFarAbove = 1.20;               // over the next highest; 10 cm3 of liquid in 400 cm3 at ratio 10 give 1.30
constexpr double kAgreement = 0.15;              // spread within which the others count as agreeing
constexpr std::size_t kFewestToDoubtTheTop = 4;  // of three, two low neighbours and one sound cylinder look just the same
constexpr double kBarPerPsi = 14.503774;         // psi in one bar
constexpr double kSlipWindow = 0.30;             // a slip of unit lands this near the other readings
constexpr double kOneAtmosphere = 1.0e5, kNearAtmosphere = 0.08e5, kClearlyAbove = 5e5;  // Pa

/// All readings as numbers, with what is thought of each.
struct Readings {
  std::vector<double> pascal;  // 0 where not taken
  std::vector<CylinderCompression> cylinders;

  [[nodiscard]] std::vector<double> in_state(ReadingState state, std::size_t except) const {
    std::vector<double> values;
    for (std::size_t i = 0; i < pascal.size(); ++i)
      if (i != except && cylinders[i].state == state) values.push_back(pascal[i]);
    return values;
  }
  [[nodiscard]] std::vector<double> usable() const { return in_state(ReadingState::kPlausible, pascal.size()); }
};

void check_reading(GaugePressure pressure, std::size_t index) {
  const std::string name = "reading of cylinder " + std::to_string(index + 1);
  if (!(pressure.pascal() >= 0)) throw InputError(name, "must be a gauge pressure of at least 0");
  if (!(pressure.pascal() <= kLargestReading))
    throw InputError(name, pressure_text(pressure) + " is above 100 bar: psi typed as bar, or a digit too many");
}

Readings checked_readings(const CompressionTest& test) {
  check_argument(!test.readings.empty(), "readings", "at least one cylinder is needed");
  check_positive(test.gauge_step.pascal(), "gauge step");
  check_positive(test.ambient.pascal(), "ambient pressure");
  for (const auto& [first, second] : test.neighbours)
    require(first < test.readings.size() && second < test.readings.size() && first != second, "neighbours must be two cylinders");
  Readings readings;
  for (std::size_t i = 0; i < test.readings.size(); ++i) {
    CylinderCompression& cylinder = readings.cylinders.emplace_back();
    const auto& pressure = test.readings[i].pressure;
    readings.pascal.push_back(pressure ? pressure->pascal() : 0);
    if (!pressure) continue;
    check_reading(*pressure, i);
    cylinder.state = ReadingState::kPlausible;
  }
  return readings;
}

/// Why one reading looks like a slip beside the middle of the others; empty when it does not.
std::string slip_of(double pascal, double others) {
  const auto near = [](double value, double target) { return std::abs(value / target - 1) <= kSlipWindow; };
  if (std::abs(pascal - kOneAtmosphere) <= kNearAtmosphere && others >= kClearlyAbove)
    return "about 1 bar: a gauge that shows absolute pressure, or a dead cylinder; take it again and confirm it";
  if (near(pascal * kBarPerPsi, others))
    return "fits the others if typed in bar among psi; or a dead cylinder; take it again and confirm it";
  if (near(pascal / kBarPerPsi, others)) return "fits the others if typed in psi among bar; take it again and confirm it";
  return "";
}

void doubt_slips(const CompressionTest& test, Readings& readings) {
  std::vector<std::string> slips(readings.pascal.size());
  for (std::size_t i = 0; i < readings.pascal.size(); ++i) {
    const std::vector<double> others = readings.in_state(ReadingState::kPlausible, i);
    if (readings.cylinders[i].state != ReadingState::kPlausible || test.readings[i].confirmed || others.size() < 2) continue;
    slips[i] = slip_of(readings.pascal[i], median_of_first_half(others, std::greater<>()));
  }
  for (std::size_t i = 0; i < slips.size(); ++i) {
    if (slips[i].empty()) continue;
    readings.cylinders[i].state = ReadingState::kLikelySlip;
    readings.cylinders[i].note = slips[i];
  }
}

void doubt_the_top(const CompressionTest& test, Readings& readings) {
  std::vector<double> sorted = readings.usable();
  if (sorted.size() < kFewestToDoubtTheTop) return;
  std::sort(sorted.begin(), sorted.end(), std::greater<>());
  const double top = sorted[0], next = sorted[1], lowest = sorted.back();
  if (!(top > kFarAbove * next) || !(next - lowest <= kAgreement * next)) return;
  for (std::size_t i = 0; i < readings.pascal.size(); ++i) {
    if (readings.cylinders[i].state != ReadingState::kPlausible || readings.pascal[i] != top || test.readings[i].confirmed) continue;
    readings.cylinders[i].state = ReadingState::kImplausiblyHigh;
    readings.cylinders[i].note =
        "far above all others: oil, fuel or coolant in this bore, or all others low; look into the bore before cranking again";
  }
}

void fill_ratios(const CompressionTest& test, const CompressionComparison& result, Readings& readings) {
  const double step = test.gauge_step.pascal(), reference = result.reference->pascal();
  for (std::size_t i = 0; i < readings.pascal.size(); ++i) {
    CylinderCompression& cylinder = readings.cylinders[i];
    if (cylinder.state == ReadingState::kNotTaken) continue;
    cylinder.ratio = readings.pascal[i] / reference;
    if (cylinder.state != ReadingState::kPlausible || !result.model) continue;
    cylinder.extra = result.model->extra_leak(cylinder.ratio, std::max(0.0, readings.pascal[i] - step) / reference,
                                              (readings.pascal[i] + step) / reference);
  }
}

RuleResult level_rule(const Readings& readings) {
  RuleResult rule{CompressionRule::kLowestToHighest,
                  Verdict::kNotJudged,
                  0,
                  kLowestToHighest,
                  {},
                  "US Army TM 5-4210-230-14&P-1 Addendum 2: lowest at least 75 % of highest; the engine maker's limit comes first"};
  const std::vector<double> usable = readings.usable();
  if (usable.size() < 2) return rule;
  const auto [lowest, highest] = std::minmax_element(usable.begin(), usable.end());
  if (!(*highest > 0)) return rule;
  rule.value = *lowest / *highest;
  rule.verdict = rule.value < kLowestToHighest - kRoundingOfTyping ? Verdict::kFail : Verdict::kPass;
  for (std::size_t i = 0; i < readings.pascal.size(); ++i)
    if (readings.cylinders[i].state == ReadingState::kPlausible && readings.pascal[i] < (kLowestToHighest - kRoundingOfTyping) * *highest)
      rule.cylinders.push_back(i);
  return rule;
}

RuleResult spread_rule(const RuleResult& level) {
  RuleResult rule{CompressionRule::kSpread,
                  Verdict::kNotJudged,
                  0,
                  kSpreadLimit,
                  {},
                  "common practice, no source: 10 % good, 15 % the limit; the engine maker's limit comes first"};
  if (level.verdict == Verdict::kNotJudged) return rule;
  rule.value = 1 - level.value;
  rule.verdict = rule.value <= kGoodSpread + kRoundingOfTyping    ? Verdict::kPass
                 : rule.value <= kSpreadLimit + kRoundingOfTyping ? Verdict::kBorderline
                                                                  : Verdict::kFail;
  return rule;
}

/// What two low neighbours say about a breach between them; without cranking data only whether they are equal.
PairBreach judge_pair(const CompressionTest& test, const CompressionComparison& result, const Readings& readings, std::size_t first,
                      std::size_t second) {
  const double a = readings.cylinders[first].ratio, b = readings.cylinders[second].ratio;
  PairBreach pair;
  if (result.model && a > 0 && b > 0) {
    const bool is_coupled = test.plugs == Plugs::kIn && test.firing.size() == test.readings.size();
    const Angle apart = is_coupled ? Angle::from_radians(test.firing[second].radians() - test.firing[first].radians()) : Angle{};
    pair = pair_breach(*result.model, is_coupled ? Plugs::kIn : Plugs::kOut, apart, a, b,
                       test.gauge_step.pascal() / result.reference->pascal());
  } else {
    pair.difference = a + b > 0 ? (a - b) / ((a + b) / 2) : 0;
    pair.is_equal = std::abs(pair.difference) <= kPairEquality;
  }
  pair.first = first;
  pair.second = second;
  return pair;
}

std::vector<PairBreach> low_pairs(const CompressionTest& test, const CompressionComparison& result, const Readings& readings) {
  const auto is_low = [&](std::size_t i) {
    return readings.cylinders[i].state == ReadingState::kPlausible && readings.cylinders[i].ratio < kLowRatio;
  };
  std::vector<PairBreach> pairs;
  for (const auto& [first, second] : test.neighbours)
    if (is_low(first) && is_low(second)) pairs.push_back(judge_pair(test, result, readings, first, second));
  return pairs;
}

RuleResult pair_rule(const PairBreach& pair) {
  return {CompressionRule::kAdjacentPair,
          Verdict::kFail,
          std::abs(pair.difference - pair.expected_difference),
          kPairEquality,
          {pair.first, pair.second},
          "two neighbours low with no rise from oil: US Army TM 5-4210-230-14&P-1 Addendum 2; equal within 5 %: assumption "
          "from the cycle model"};
}

constexpr const char* kNoLevel =
    "no cylinder is near the level of a sound engine, so nothing is judged. Wrong unit? About 1 bar in all: an absolute gauge, or air "
    "pressure; about 12 psi: bar typed as psi. Otherwise throttle shut, slow cranking, valve timing, or all worn";

/// The engine's model, fitted to the healthy level.
std::shared_ptr<const CompressionModel> fitted_model(const CompressionTest& test, double reference) {
  if (!test.cranking) return nullptr;
  Cranking cranking = *test.cranking;
  cranking.ambient = test.ambient;
  return std::make_shared<CompressionModel>(cranking, GaugePressure::from_pascal(reference));
}

}  // namespace

CompressionComparison compare_compression(const CompressionTest& test) {
  Readings readings = checked_readings(test);
  doubt_slips(test, readings);
  doubt_the_top(test, readings);

  CompressionComparison result;
  const std::vector<double> usable = readings.usable();
  const double reference = usable.empty() ? 0 : median_of_first_half(usable, std::greater<>());
  result.rules = {level_rule(readings)};
  result.rules.push_back(spread_rule(result.rules.front()));
  if (reference > 0) {
    if (reference < kClearlyAbove) {  // nothing to measure by: every share of it would look sound
      for (RuleResult& rule : result.rules) rule.verdict = Verdict::kNotJudged;
      result.note = kNoLevel;
      result.cylinders = std::move(readings.cylinders);
      return result;
    }
    result.reference = GaugePressure::from_pascal(reference);
    result.reference_sea_level = GaugePressure::from_pascal(reference * kStandardPressure.pascal() / test.ambient.pascal());
    result.model = fitted_model(test, reference);
    fill_ratios(test, result, readings);
    result.pairs = low_pairs(test, result, readings);
    for (const PairBreach& pair : result.pairs)
      if (pair.is_equal) result.rules.push_back(pair_rule(pair));
    const double step = test.gauge_step.pascal() / reference;
    if (result.model) {
      result.smallest_visible = result.model->extra_leak(1, std::max(0.0, 1 - step), 1 + step);
      result.level = judge_level(*result.model, *result.reference, std::max(0.0, result.rules[1].value), test.maker_level);
      result.note = result.level.note;
    }
  }
  result.cylinders = std::move(readings.cylinders);
  return result;
}

}  // namespace headjoint::leakage
