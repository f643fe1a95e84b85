#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "headjoint/assess/after_skim.h"
#include "headjoint/assess/cranking_input.h"
#include "headjoint/assess/knowledge.h"
#include "headjoint/assess/proof.h"
#include "headjoint/assess/readings.h"
#include "headjoint/assess/repair_facts.h"
#include "headjoint/base/error.h"
#include "headjoint/diagnosis/instances.h"
#include "headjoint/joint/figure_file.h"
#include "headjoint/repair/proof.h"

namespace headjoint::assess {
namespace {

using Kind = jobs::ReadingValue::Kind;

constexpr double kLeastToMost = 85;  ///< per cent, lowest compression of the highest; common practice, no source
constexpr double kWeakestPull = 90;  ///< per cent of the strongest, starter current; 0.97 less 1.65 x 0.04, spreads of class_readings
constexpr double kUsualSupply_psi = 80;

const jobs::Reading* last_proof(const jobs::Job& job, jobs::ReadingTest test) {
  const auto found = std::find_if(job.proof_readings.rbegin(), job.proof_readings.rend(),
                                  [&](const jobs::Reading& reading) { return reading.test == test && reading.counts(); });
  return found == job.proof_readings.rend() ? nullptr : &*found;
}

const jobs::ReadingValue* value_of(const jobs::Reading* reading, int cylinder) {
  if (reading == nullptr || static_cast<std::size_t>(cylinder) > reading->values.size()) return nullptr;
  return &reading->values[static_cast<std::size_t>(cylinder - 1)];
}

template <class T>
std::string limit_source(const joint::OptionalFigure<T>& figure, const char* key) {
  return std::string(key) + (figure->source.empty() ? " of the engine file" : ": " + figure->source);
}

void set_band(ProofCheck& check, const repair::PressureBand& band) {
  check.unit = "bar";
  check.expected = band.expected.bar();
  check.accept_low = band.low.bar();
  check.accept_high = band.high.bar();
}

/// Compression of every cylinder, and the lowest against the highest.
class CompressionChecks {
 public:
  CompressionChecks(const Assessment& all, const RepairedEngine& repaired, Proof& into) : all_(all), repaired_(repaired), into_(into) {}

  void add(std::vector<ProofCheck>& checks) {
    const joint::Engine& before = all_.job.engine;
    const auto cranking = cranking_of(before);
    if (!cranking) {
      into_.missing.insert(into_.missing.end(), {"engine.bore", "engine.stroke"});
    } else {
      if (!before.general.expected_compression) into_.missing.emplace_back("engine.expected_compression");
      band_ = repair::expected_compression(*cranking, repaired_.ratio_after, maker_level());
      limit_by_maker();
    }
    const jobs::Reading* reading = last_proof(all_.job, jobs::ReadingTest::kCompression);
    for (int cylinder = 1; cylinder <= before.general.cylinders; ++cylinder) add_cylinder(checks, cylinder, reading);
    add_evenness(checks, reading);
  }

 private:
  /// The maker's figure brought to the air pressure of the place: gauge readings go with it.
  std::optional<GaugePressure> maker_level() const {
    const auto& level = all_.job.engine.general.expected_compression;
    if (!level) return std::nullopt;
    const auto& air = all_.job.history.ambient_pressure;
    const double share = air ? air->value.pascal() / leakage::kStandardPressure.pascal() : 1;
    return GaugePressure::from_pascal(level->value.pascal() * share);
  }

  void limit_by_maker() {
    why_ = all_.job.engine.general.expected_compression
               ? "the engine maker's figure" +
                     std::string(repaired_.ratio_after && repaired_.ratio_before ? ", by the cranking cycle at the ratio after" : "") +
                     "; limits 10 % either way (common practice)"
               : "the cranking cycle of a usual sound engine, a wide band; the engine file has no expected_compression";
    if (all_.job.history.ambient_pressure) why_ += "; for the air pressure of the job";
    const auto& least = all_.job.engine.limits ? all_.job.engine.limits->compression_least : joint::OptionalFigure<GaugePressure>{};
    if (!least) return;
    band_->low = least->value;
    why_ += "; least by " + limit_source(least, "limits.compression_least");
  }

  void add_cylinder(std::vector<ProofCheck>& checks, int cylinder, const jobs::Reading* reading) {
    ProofCheck check;
    check.check = fmt::format("compression of cylinder {}", cylinder);
    check.test = "compression";
    check.where = std::to_string(cylinder);
    check.unit = "bar";
    if (band_) set_band(check, *band_);
    check.expected_text = band_ ? fmt::format("{:.1f} bar", *check.expected) : "level with the others";
    check.why = band_ ? why_ : "no bore and stroke in the engine file: only the evenness is judged";
    const jobs::ReadingValue* value = value_of(reading, cylinder);
    if (value != nullptr && value->kind == Kind::kPressure) {
      read_.push_back(value->pressure.bar());
      judge(check, value->pressure.bar(), value->text);
    }
    checks.push_back(std::move(check));
  }

  void add_evenness(std::vector<ProofCheck>& checks, const jobs::Reading*) {
    if (all_.job.engine.general.cylinders < 2) return;
    ProofCheck check;
    check.check = "lowest compression of the highest";
    check.test = "compression_evenness";
    check.unit = "%";
    check.expected = 100;
    check.accept_low = kLeastToMost;
    check.accept_high = 100;
    check.expected_text = "100 %";
    check.why = "a leak at the joint lowers one cylinder, or two neighbours alike; wear lowers all (common practice, no source)";
    if (read_.size() > 1) {
      const auto [low, high] = std::minmax_element(read_.begin(), read_.end());
      const double share = *high > 0 ? 100 * *low / *high : 0;
      judge(check, share, fmt::format("{:.0f} %", share));
    }
    checks.push_back(std::move(check));
  }

  const Assessment& all_;
  const RepairedEngine& repaired_;
  Proof& into_;
  std::optional<repair::PressureBand> band_;
  std::string why_;
  std::vector<double> read_;
};

void add_leak_down(const Assessment& all, std::vector<ProofCheck>& checks) {
  const jobs::Reading* reading = last_proof(all.job, jobs::ReadingTest::kLeakDown);
  std::optional<double> most;
  std::string why = "losses of sound rings and valves, 2 to 10 %, and 2 % of spread (common practice, no source)";
  if (all.job.engine.limits && all.job.engine.limits->leak_down_most) {
    most = all.job.engine.limits->leak_down_most->value.fraction;
    why = limit_source(all.job.engine.limits->leak_down_most, "limits.leak_down_most");
  }
  leakage::LeakDownTest test;
  test.supply = reading != nullptr && reading->supply ? reading->supply->value : GaugePressure::from_pascal(kUsualSupply_psi * 6894.757);
  const repair::PressureBand band = repair::expected_leak_down(test, most);
  const double supply = test.supply.pascal();
  for (int cylinder = 1; cylinder <= all.job.engine.general.cylinders; ++cylinder) {
    ProofCheck check;
    check.check = fmt::format("leak-down of cylinder {}", cylinder);
    check.test = "leak_down";
    check.where = std::to_string(cylinder);
    check.why = why;
    const jobs::ReadingValue* value = value_of(reading, cylinder);
    const bool in_pressure = value != nullptr && value->kind == Kind::kPressure;
    if (in_pressure) {
      set_band(check, band);
      check.expected_text = fmt::format("{:.2f} bar of {:.2f} bar", *check.expected, test.supply.bar());
      judge(check, value->pressure.bar(), value->text);
    } else {
      check.unit = "%";
      check.expected = 100 * (1 - band.expected.pascal() / supply);
      check.accept_low = 0;
      check.accept_high = 100 * (1 - band.low.pascal() / supply);
      check.expected_text = fmt::format("{:.0f} % lost", *check.expected);
      if (value != nullptr && value->kind == Kind::kLoss) judge(check, 100 * value->loss, value->text);
    }
    checks.push_back(std::move(check));
  }
}

/// Only where it was taken: few workshops prove a repair by the starter's current.
void add_starter(const Assessment& all, std::vector<ProofCheck>& checks) {
  const jobs::Reading* reading = last_proof(all.job, jobs::ReadingTest::kStarterCurrent);
  for (int cylinder = 1; reading != nullptr && cylinder <= all.job.engine.general.cylinders; ++cylinder) {
    const jobs::ReadingValue* value = value_of(reading, cylinder);
    if (value == nullptr || value->kind != Kind::kLoss) continue;
    ProofCheck check;
    check.check = fmt::format("starter's pull on cylinder {}", cylinder);
    check.test = "starter_current";
    check.where = std::to_string(cylinder);
    check.unit = "%";
    check.expected = 97;
    check.accept_low = kWeakestPull;
    check.accept_high = 100;
    check.expected_text = "97 % of the strongest";
    check.why = "sound cylinders of one engine differ by about 4 % (common practice, no source)";
    judge(check, 100 * value->loss, value->text);
    checks.push_back(std::move(check));
  }
}

/// Signs that must be absent: what a leak of the joint shows, whatever brought the engine in, and all that was looked at afterwards.
class SignChecks {
 public:
  SignChecks(const Assessment& all, std::vector<ProofCheck>& checks) : all_(all), checks_(checks) {}

  void add() {
    const bool is_liquid = all_.job.engine.general.cooling == joint::CooledBy::kLiquid;
    if (is_liquid)
      for (const char* name : {"colour_test", "bubbles", "pressure_overnight", "milky_oil", "weep_at_joint"}) ask(name, "", kUsual);
    for (const jobs::Sign& sign : all_.job.signs)
      if (!sign.is_void() && !is_absent(sign.state) && checks_.size() < kMost) ask(sign.name, sign.where, kBroughtIn);
    for (const jobs::Sign& sign : all_.job.proof_signs) ask(sign.name, sign.where, kUsual);
    for (const jobs::Sign& sign : all_.job.proof_signs) answer(sign);
  }

 private:
  static constexpr const char* kUsual = "a sound joint shows none of it";
  static constexpr const char* kBroughtIn = "seen before the repair: it must be gone";
  static constexpr std::size_t kMost = 80;
  static constexpr double kLongTest_min = 30;  ///< a part taken out and tested: it was renewed or is known by now

  static bool is_absent(const std::string& state) { return state == "absent" || state == "none"; }

  void ask(const std::string& name, const std::string& where, const char* why) {
    const int row = head_joint_pattern().finding(name);
    if (row < 0) return;
    const diagnosis::Finding& finding = head_joint_pattern().findings[static_cast<std::size_t>(row)];
    const bool can_be_asked = finding.kind == diagnosis::FindingKind::kSymptom || finding.kind == diagnosis::FindingKind::kTest;
    if (!can_be_asked || finding.needs == "head_off") return;
    if (why == kBroughtIn && finding.kind == diagnosis::FindingKind::kTest && finding.minutes >= kLongTest_min) return;
    for (ProofCheck& check : checks_)
      if (check.test == name && check.where == where) {
        if (why == kBroughtIn) check.why = why;
        return;
      }
    ProofCheck check;
    check.check = diagnosis::text_at(finding.text, where);
    check.test = name;
    check.where = where;
    check.expected_text = finding.states.size() > 2 ? finding.states.front() : "absent";
    check.why = why;
    checks_.push_back(std::move(check));
  }

  void answer(const jobs::Sign& sign) {
    for (ProofCheck& check : checks_) {
      if (check.test != sign.name || check.where != sign.where || check.accept_low) continue;
      check.reading = sign.state;
      check.verdict = sign.is_void() ? "void" : is_absent(sign.state) ? "absent" : "seen";
    }
  }

  const Assessment& all_;
  std::vector<ProofCheck>& checks_;
};

/// What was taken off and what goes between, as it was in the end.
std::optional<machining::Cut> cut_made(const jobs::Job& job, std::string& note) {
  std::optional<machining::Cut> cut = ordered_cut(job);
  if (job.repair && (job.repair->head_removed || job.repair->deck_removed)) {
    if (!cut) cut.emplace();
    if (job.repair->head_removed) cut->head = job.repair->head_removed->value;
    if (job.repair->deck_removed) cut->deck = job.repair->deck_removed->value;
    note = "Ratio after what [repair] says was taken off.";
  } else if (cut) {
    note = "Ratio after the cut that was ordered; write what was taken off into [repair] when it differs.";
  }
  return cut;
}

}  // namespace

void judge(ProofCheck& check, double value, const std::string& typed) {
  constexpr double kRounding = 1e-9;
  check.value = value;
  check.reading = typed;
  if (check.accept_low && value < *check.accept_low - kRounding)
    check.verdict = "below";
  else if (check.accept_high && value > *check.accept_high + kRounding)
    check.verdict = "above";
  else if (check.accept_low || check.accept_high)
    check.verdict = "within";
}

RepairedEngine repaired_engine(const jobs::Job& job) {
  RepairedEngine repaired{job.engine, {}, {}, {}, {}};
  const auto cut = cut_made(job, repaired.note);
  if (job.engine.general.compression_ratio) repaired.ratio_before = job.engine.general.compression_ratio->value;
  if (!cut) return repaired;
  const auto judged = judge_cut(job.engine, *cut);
  const CutLine* line = judged ? judged->find("compression_ratio") : nullptr;
  if (line == nullptr || !line->before || !line->after) {
    if (line != nullptr) repaired.missing = line->missing;
    return repaired;
  }
  const double before = repaired.ratio_before.value_or(*line->before);
  repaired.ratio_before = before;
  repaired.ratio_after = before * *line->after / *line->before;
  repaired.engine.general.compression_ratio = joint::assumed(*repaired.ratio_after);
  const auto cranking = cranking_of(job.engine);
  if (!cranking || !job.engine.general.expected_compression) return repaired;
  try {
    repaired.engine.general.expected_compression = joint::assumed(
        repair::expected_compression(*cranking, repaired.ratio_after, job.engine.general.expected_compression->value).expected);
  } catch (const InputError&) {
    repaired.ratio_after.reset();  // outside what the cycle takes: the ratio of the file stands
    repaired.engine.general.compression_ratio = job.engine.general.compression_ratio;
  }
  return repaired;
}

std::vector<ProofCheck> proof_checks(const Assessment& all, const RepairedEngine& repaired, Proof& into) {
  std::vector<ProofCheck> checks;
  CompressionChecks(all, repaired, into).add(checks);
  add_leak_down(all, checks);
  add_starter(all, checks);
  if (all.job.engine.general.cooling == joint::CooledBy::kLiquid) add_cooling_checks(all, repaired.engine, checks, into);
  SignChecks(all, checks).add();
  return checks;
}

}  // namespace headjoint::assess
